"""Small answers whose numbers carry a spread when an input did: one function of named inputs, evaluated once."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from climbwright.answers.spread import lay_out, sampled, standard_deviation
from climbwright.arrays import Floats, Number

__all__ = ["Single", "answer_with_spread", "estimated"]


@dataclass(frozen=True, slots=True)
class Single:
    """One number or one list of numbers, SI; nan where it does not exist, spread None where nothing has one.

    `percentiles` and `without` are those of `sampled`, None where the spread is linear.
    """

    value: Floats
    spread: Floats | None = None
    percentiles: Floats | None = None
    without: Floats | None = None


def estimated(cases: Floats, drawn: bool) -> Single:
    """A number with its spread from its cases: draws, or each input up and down."""
    return Single(cases[0], *sampled(cases)) if drawn else Single(cases[0], standard_deviation(cases))


def answer_with_spread(
    function: Callable[[Mapping[str, Number]], Mapping[str, Floats]], inputs: Mapping[str, Number], draws: int = 0
) -> dict[str, Single]:
    """Evaluate a function of named inputs, with the spread of each result.

    Parameters
    ----------
    function : callable
        Takes the inputs by name and answers results by name; broadcasts.
    inputs : mapping
        Floats, arrays of one length, `Measured`, or None.
    draws : int
        Cases drawn at random for the spreads; 0 for linear spreads.

    Returns
    -------
    dict of str to Single
        Results of the length of the arrays, or floats.
    """
    given = dict(inputs)
    lengths = [np.shape(value) for value in given.values() if isinstance(value, np.ndarray)]
    laid, cases = lay_out(given, 1 if lengths else 0, draws)
    results = function(laid)
    if cases == 1:
        return {name: Single(value) for name, value in results.items()}
    shape = (cases, *np.broadcast_shapes(*lengths))
    wide = {name: np.broadcast_to(value, shape) for name, value in results.items()}
    return {name: estimated(value, draws > 0) for name, value in wide.items()}
