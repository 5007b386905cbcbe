"""Why a stall speed changed: the weight, the balance, or the lift of the wing.

A stall speed is a product: the root of the weight, the root of what the wing carries for each unit of weight, which the
centre of gravity decides through the load on the tail, and what lift the wing has. Each cause has the share of
the change that it has on average over all orders in which the three could be changed, as changes have.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from climbwright.answers.phases.flight import Evaluation
from climbwright.answers.phases.stalls import wing_load
from climbwright.answers.shares import share_weights
from climbwright.arrays import Floats

__all__ = ["CAUSES", "stall_causes"]

CAUSES = ("weight", "balance", "lift")


def stall_causes(
    evaluations: Sequence[Evaluation], groups: Sequence[Sequence[int]], shape: tuple[int, ...]
) -> NDArray[np.float64]:
    """Parts of the change of the first configuration's calibrated stall speed. [m/s]

    Parameters
    ----------
    evaluations : sequence of Evaluation
        Of each group, with its flight.
    groups : sequence of sequence of int
        Which aeroplanes each evaluation holds, the baseline being 0.
    shape : tuple of int
        Of cases, aeroplanes, loadings and conditions.

    Returns
    -------
    numpy.ndarray, shape (cases, causes, options, loadings, conditions)
        They add up to the change against the baseline.
    """
    mass, carried, speed = (np.full(shape, np.nan) for _ in range(3))
    flights = [evaluation.flight for evaluation in evaluations if evaluation.flight is not None]
    for flight, group in zip(flights, groups, strict=True):
        first = flight.aircraft.stalls[0]
        mass[:, group] = flight.loaded.mass
        carried[:, group] = wing_load(first, flight.aircraft, flight.loaded)
        speed[:, group] = flight.stalls[first.configuration]
    by_weight, by_balance = (_root_against_first(each) for each in (mass, carried))
    by_lift = speed[:, 1:] / speed[:, :1] / (by_weight * by_balance)
    made = np.ones((2, 2, 2, *by_lift.shape))  # lift, balance, weight: as the bits of a subset's number
    made[1] *= by_lift
    made[:, 1] *= by_balance
    made[:, :, 1] *= by_weight
    one = flights[0]  # they fly in the same air
    values = one.calibrated(one.true(speed[:, :1] * made.reshape(8, *by_lift.shape)))
    parts: NDArray[np.float64] = np.einsum("ks,sc...->ck...", share_weights(len(CAUSES)), values)
    return parts


def _root_against_first(values: Floats) -> Floats:
    return np.sqrt(values[:, 1:] / values[:, :1])
