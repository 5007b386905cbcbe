"""Numbers of an aeroplane that were learned together, so that what is uncertain of them is shared.

A correlation is kept as the lower root of its matrix [1]_: each number then strays along independent directions of one
standard deviation, as many as there are numbers, and one that is replaced later takes nothing from the others.

References
----------
.. [1] G. H. Golub and C. F. Van Loan, *Matrix Computations*, sec. 4.2: the Cholesky factorization.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from climbwright.aircraft.description import Aircraft, Covariance
from climbwright.arrays import Floats, Measured, Number
from climbwright.refusal import Refusal

__all__ = ["LEARNED", "kind_of", "learned_number", "root", "tied", "with_numbers"]

# What may be learned of an aeroplane: part, number and kind; a stall's stands after its place in the list
LEARNED = {
    ("drag", "parasite_area"): "area",
    ("drag", "span_efficiency"): "ratio",
    ("drag", "idle_propeller_area"): "area",
    ("engine", "power"): "power",
    ("engine", "power_margin"): "ratio",
    ("engine", "lapse_constant"): "ratio",
    ("propeller", "best_efficiency"): "ratio",
    ("propeller", "best_efficiency_speed"): "speed",
    ("propeller", "static_speed"): "rotational speed",
    ("propeller", "efficiency"): "ratio",
    ("propeller", "quality"): "ratio",
    ("propeller", "static_quality"): "ratio",
    ("propeller", "quality_speed"): "speed",
    ("stalls", "speed"): "speed",
    ("stalls", "maximum_lift_coefficient"): "ratio",
    ("stalls", "parasite_area_gain"): "area",
    ("airspeed_errors", "near_stall"): "ratio",
    ("airspeed_errors", "cruise"): "ratio",
}


def _place(pointer: str) -> tuple[str, int | None, str]:
    """Part, place in its list, and number that a pointer names.

    Raises
    ------
    KeyError
        It names nothing that is learned.
    """
    words = pointer.split("/")[1:]
    place = int(words.pop(1)) if len(words) == 3 and words[1].isdigit() and words[0] == "stalls" else None
    part, name = words if len(words) == 2 else ("", "")
    if (part, name) not in LEARNED or (part == "stalls") != (place is not None):
        raise KeyError(pointer)
    return part, place, name


def kind_of(pointer: str) -> str:
    """Kind of quantity of a number that may be learned, by its JSON Pointer.

    Raises
    ------
    KeyError
        The pointer names nothing that is learned.
    """
    part, _, name = _place(pointer)
    return LEARNED[part, name]


def learned_number(aircraft: Aircraft, pointer: str) -> Number:
    """A number of an aeroplane by its JSON Pointer; None where the aeroplane has none there.

    Raises
    ------
    KeyError
        The pointer names nothing that is learned.
    """
    part, place, name = _place(pointer)
    node = getattr(aircraft, part)
    if place is not None:
        node = node[place] if place < len(node) else None
    return None if node is None else getattr(node, name)


def root(correlation: Sequence[Sequence[float]]) -> Floats:
    """Lower root of a correlation matrix; rounding may have taken it a hair below what a correlation can be.

    Raises
    ------
    numpy.linalg.LinAlgError
        It is no correlation.
    """
    table = np.asarray(correlation, dtype=float)
    return np.linalg.cholesky(table + 1e-9 * np.eye(len(table)))


def tied(aircraft: Aircraft, covariance: Covariance) -> Aircraft:
    """The aeroplane with its learned numbers sharing what is uncertain of them.

    Parameters
    ----------
    aircraft : Aircraft
        Each number that `covariance` names has a plus_minus.
    covariance : Covariance
        Names and their correlation, symmetric, with 1 along its diagonal.

    Raises
    ------
    Refusal
        A name is unknown or its number certain, or the matrix is no correlation.
    """
    where = "/covariance"
    try:
        lower = root(covariance.correlation)
    except np.linalg.LinAlgError:
        raise Refusal(
            f"{where}/correlation", "no numbers can be correlated like this: send the block as it was answered"
        ) from None
    shared: dict[str, Number] = {}
    for i, pointer in enumerate(covariance.parameters):
        try:
            number = learned_number(aircraft, pointer)
        except KeyError:
            raise Refusal(f"{where}/parameters/{i}", f"'{pointer}' is no number that is learned from flights") from None
        if not isinstance(number, Measured):
            message = f"{pointer} has no plus_minus: send it as it was answered, or leave it out of the covariance"
            raise Refusal(f"{where}/parameters/{i}", message)
        norm = float(np.linalg.norm(lower[i]))
        along = tuple((f"learned {k}", float(lower[i, k] / norm)) for k in range(i + 1) if lower[i, k] != 0.0)
        shared[pointer] = Measured(number.value, number.plus_minus, along)
    return replace(with_numbers(aircraft, shared), covariance=covariance)


def with_numbers(aircraft: Aircraft, numbers: Mapping[str, Number]) -> Aircraft:
    """The aeroplane with other numbers, by their JSON Pointers.

    Raises
    ------
    KeyError
        A pointer names nothing that is learned.
    """
    changes: dict[str, Any] = {}
    for pointer, number in numbers.items():
        part, place, name = _place(pointer)
        node = changes.get(part, getattr(aircraft, part))
        if place is None:
            changes[part] = replace(node, **{name: number})
        else:
            changes[part] = (*node[:place], replace(node[place], **{name: number}), *node[place + 1 :])
    return replace(aircraft, **changes)
