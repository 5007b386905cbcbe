"""Small answers whose numbers carry a spread when an input did: one function of named inputs, evaluated once."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from climbwright.answers.spread import lay_out, standard_deviation
from climbwright.arrays import Floats, Number

__all__ = ["Single", "answer_with_spread"]


@dataclass(frozen=True, slots=True)
class Single:
    """One number or one list of numbers, SI; nan where it does not exist, spread None where nothing has one."""

    value: Floats
    spread: Floats | None = None


def answer_with_spread(
    function: Callable[[Mapping[str, Number]], Mapping[str, Floats]], inputs: Mapping[str, Number]
) -> dict[str, Single]:
    """Evaluate a function of named inputs, with the spread of each result.

    Parameters
    ----------
    function : callable
        Takes the inputs by name and answers results by name; broadcasts.
    inputs : mapping
        Floats, arrays of one length, `Measured`, or None.

    Returns
    -------
    dict of str to Single
        Results of the length of the arrays, or floats.
    """
    given = dict(inputs)
    lengths = [np.shape(value) for value in given.values() if isinstance(value, np.ndarray)]
    laid, cases = lay_out(given, axes=1 if lengths else 0)
    results = function(laid)
    if cases == 1:
        return {name: Single(value) for name, value in results.items()}
    shape = (cases, *np.broadcast_shapes(*lengths))
    wide = {name: np.broadcast_to(value, shape) for name, value in results.items()}
    return {name: Single(value[0], standard_deviation(value)) for name, value in wide.items()}
