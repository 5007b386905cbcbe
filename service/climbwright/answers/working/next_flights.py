"""A plan of test flights, worked: why each flight narrows the answer, and by how much."""

import numpy as np

from climbwright.answers.calibration.observation import quantity_of
from climbwright.answers.calibration.plan import NextFlight
from climbwright.answers.working.step import Chain, Step

__all__ = ["narrowed"]


def narrowed(flight: NextFlight, kind: str) -> list[Step]:
    """Steps to the spread that a flight leaves.

    Parameters
    ----------
    flight : NextFlight
        As planned, after those that are flown before it.
    kind : str
        Kind of quantity of the answer.
    """
    chain, (answer, own, correlation) = Chain(), flight.told
    read = quantity_of(flight.observation.kind, flight.observation.measured).kind
    chain.give("s_a", np.float64(answer), kind, "answer-spread")
    chain.give("s_r", np.float64(flight.expected.plus_minus), read, "reading-spread")
    chain.give("s_b", np.float64(own), read, "aeroplane-spread")
    chain.give("k", np.float64(correlation), "ratio", "tied-to-answer")
    chain.step("reading-uncertain", "s", "sqrt(s_b^2 + s_r^2)", read, "tarantola")
    chain.step("spread-left", "s_l", "s_a*sqrt(1 - (k*s_b/s)^2)", kind, "tarantola", ends="spread_left")
    return chain.steps
