"""Quantities: a number with its unit and its spread, as requests take them and answers give them."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import KW_ONLY, dataclass
from typing import Any

from climbwright_client.errors import FieldError, NotSent

__all__ = ["Quantity", "QuantityLike", "RatioLike", "plain", "with_quantities"]

Number = float | int


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, and how sure it is.

    Parameters
    ----------
    value : float, list of float, or None
        None in an answer where there is no such value: `reason` says why.
    unit : str, optional
        As the service spells it: "kg", "ft/min", "1" of a ratio.
    plus_minus : float, optional
        One standard deviation, in the same unit.
    percentiles : mapping, optional
        In an answer with sampled spreads: the 5th, 50th and 95th percentile.
    share_without : float, optional
        In such an answer: the share of the aeroplanes drawn that have no such value.
    reason : str, optional
        In an answer: why there is no value.

    Examples
    --------
    >>> print(Quantity(483, "kg", plus_minus=5))
    483 +/- 5 kg
    >>> float(Quantity(483, "kg"))
    483.0
    """

    value: Number | Sequence[Number | None] | None
    unit: str | None = None
    _: KW_ONLY
    plus_minus: Number | Sequence[Number] | None = None
    percentiles: Mapping[str, float | None] | None = None
    share_without: float | None = None
    reason: str | None = None

    def __float__(self) -> float:
        """The number alone, in its unit.

        Raises
        ------
        ValueError
            There is none.
        """
        value: Any = self.value  # also one of numpy
        try:
            return float(value)
        except (TypeError, ValueError):
            raise ValueError(f"there is no number: {self.reason or 'the value is a list'}") from None

    def __str__(self) -> str:
        if self.value is None:
            return f"none: {self.reason}" if self.reason else "none"
        spread = "" if self.plus_minus is None else f" +/- {_short(self.plus_minus)}"
        unit = "" if self.unit in (None, "1") else f" {self.unit}"
        return f"{_short(self.value)}{spread}{unit}"


def _short(number: Any) -> str:
    return f"{number:.6g}" if isinstance(number, int | float) else str(number)


QuantityLike = Quantity | str | Mapping[str, Any]
RatioLike = QuantityLike | float

_FIELDS = {"value", "unit", "plus_minus", "percentiles", "share_without", "reason"}


def with_quantities(pairs: dict[str, Any]) -> Any:
    """A decoded object, as a Quantity where it is one; an `object_hook` of json."""
    if "value" in pairs and "unit" in pairs and pairs.keys() <= _FIELDS and not isinstance(pairs["value"], dict | str):
        return Quantity(**pairs)
    return pairs


def plain(value: Any, at: str = "") -> Any:
    """The same as JSON has it.

    Parameters
    ----------
    value : object
        Mappings, sequences, texts, numbers, quantities, and numpy's numbers and arrays.
    at : str
        JSON Pointer of the value in the request.

    Raises
    ------
    NotSent
        Something in it has no place in JSON.
    """
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        if math.isfinite(value):
            return float(value)
        raise _not_sent(at, f"{value} is no number that can be sent: send a finite one, or leave the field out")
    if isinstance(value, Quantity):
        return _plain_quantity(value, at)
    if isinstance(value, Mapping):
        for name in value:
            if not isinstance(name, str):
                raise _not_sent(at, f"the name {name!r} is not a text: name fields with texts")
        return {name: plain(inner, f"{at}/{_part(name)}") for name, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner, f"{at}/{place}") for place, inner in enumerate(value)]
    if callable(getattr(value, "tolist", None)):  # numpy's numbers and arrays
        return plain(value.tolist(), at)
    word = (
        f"a {type(value).__name__} cannot be sent: send a Quantity, a text such as '483 kg', a number, a list or a dict"
    )
    raise _not_sent(at, word)


def _plain_quantity(quantity: Quantity, at: str) -> dict[str, Any]:
    if quantity.value is None:
        raise _not_sent(
            at, f"this quantity has no value ({quantity.reason or 'no reason given'}): send one, or leave it out"
        )
    sent = {"value": quantity.value, "unit": quantity.unit, "plus_minus": quantity.plus_minus}
    return {name: plain(one, f"{at}/{name}") for name, one in sent.items() if one is not None}


def _part(name: str) -> str:
    return name.replace("~", "~0").replace("/", "~1")


def _not_sent(at: str, advice: str) -> NotSent:
    return NotSent([FieldError(at, advice)])
