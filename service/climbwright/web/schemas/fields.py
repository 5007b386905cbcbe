"""Fields of our own: quantities with a unit, names, choices, and lists whose members have names."""

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from marshmallow import Schema, ValidationError, fields, missing
from numpy.typing import NDArray

from climbwright.aircraft.changes import Money
from climbwright.arrays import Measured
from climbwright.units import KINDS, QuantityError, display_units, parse, parse_text, to_unit, unit_named

__all__ = [
    "Base",
    "Checked",
    "Choice",
    "Count",
    "Field",
    "Listing",
    "Name",
    "Nested",
    "Price",
    "Quantity",
    "RowsError",
    "Text",
    "Truth",
    "refuse_where",
]

_AVIATION = display_units("aviation")
_CELL_STARTS = ("=", "+", "-", "@")


class RowsError(ValidationError):
    """Something is wrong with some rows of a table, whose numbers are arrays along it: `bad` says with which."""

    def __init__(self, message: Any, bad: Any) -> None:
        super().__init__(message)
        self.bad = bad


_MOST_ADVISED = 50  # as many as a refusal tells of: to find what somebody meant takes time
_NO_SUCH_FIELD = ["there is no such field"]


@dataclass(frozen=True, slots=True)
class Checked:
    """A value that its field has read already: a column of a table, of which every row has been checked."""

    value: Any


def refuse_where(wrong: Any, messages: dict[Any, Any]) -> None:
    """Refuse a request in which something is wrong, or those rows of a table in which it is.

    Raises
    ------
    marshmallow.ValidationError
        For rows a `RowsError`.
    """
    if np.count_nonzero(wrong):
        raise RowsError(messages, wrong) if np.ndim(wrong) else ValidationError(messages)


class Base(Schema):
    """A schema that refuses an unknown field by name and says which ones there are.

    `load` is our own: each field's `read` in order, then `check`, then `build`. marshmallow's does the same with hooks,
    partial loading and collections that no request needs, at twice the cost.
    """

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._plan = [
            (field.data_key or name, field.attribute or name, field) for name, field in self.load_fields.items()
        ]
        self._fields: dict[Any, tuple[str, Any]] = {key: (target, field) for key, target, field in self._plan}
        self._required = frozenset(key for key, _, field in self._plan if field.required)
        self._defaults = {
            target: field.load_default for _, target, field in self._plan if field.load_default is not missing
        }
        if any(map(callable, self._defaults.values())):
            raise TypeError("a default is a value here, shared by all requests and never changed")
        self._lists = [(key, target) for key, target, field in self._plan if getattr(field, "listed", False)]

    def load(self, data: Any, **_: Any) -> Any:
        """Read a request's object.

        Raises
        ------
        marshmallow.ValidationError
            Messages by field, the unknown ones too.
        """
        if not isinstance(data, dict):
            raise ValidationError({"_schema": ["must be an object"]})
        loaded: dict[str, Any] = self._defaults.copy()
        errors: dict[Any, Any] = {}
        known = self._fields
        for key, value in data.items():
            if key not in known:
                errors[key] = self._advice(key) if len(errors) < _MOST_ADVISED else _NO_SUCH_FIELD
                continue
            target, field = known[key]
            try:
                if value is None:
                    raise field.make_error("null")
                loaded[target] = value.value if type(value) is Checked else field.read(value)
            except RowsError as error:
                raise RowsError({key: error.messages}, error.bad) from None
            except ValidationError as error:
                errors[key] = error.messages
        if not self._required <= data.keys():
            lacking = [(key, field) for key, _, field in self._plan if field.required and key not in data]
            errors |= {key: [field.error_messages["required"]] for key, field in lacking}
        if errors:
            raise ValidationError(errors)
        if self._lists:
            self._refuse_unequal(loaded)
        self.check(loaded)
        return self.build(loaded)

    def _refuse_unequal(self, loaded: dict[str, Any]) -> None:
        lists = [(key, len(loaded[t])) for key, t in self._lists if isinstance(loaded.get(t), np.ndarray)]
        for key, length in lists[1:]:
            if length != lists[0][1]:
                first, other = lists[0]
                raise ValidationError({key: [f"lists must be equally long: {first} has {other} values, this {length}"]})

    def check(self, data: dict[str, Any]) -> None:
        """Refuse fields that are right one by one and wrong together."""

    def build(self, data: dict[str, Any]) -> Any:
        """What the fields make."""
        return data

    def _advice(self, name: object) -> list[str]:
        known = [key for key, _, _ in self._plan]
        close = difflib.get_close_matches(str(name)[:40].lower(), known, n=1)
        hint = f"did you mean '{close[0]}'? The fields" if close else "the fields"
        return [f"there is no such field: {hint} are {', '.join(known)}"]


class Field(fields.Field[Any]):
    """A field whose messages say what to send."""

    default_error_messages = {  # noqa: RUF012 - marshmallow's own way
        "required": "this field is missing",
        "null": "null is not a value: leave the field out instead",
    }


class Quantity(Field):
    """A quantity of one kind: text or object in, SI out.

    Parameters
    ----------
    kind : str
        One of `climbwright.units.KINDS`.
    above, at_least, below, up_to : str, optional
        Bounds, written as quantities.
    listed : bool
        The object may hold a list of values, which becomes an array.
    certain : bool
        The quantity takes no plus_minus, because a limit or a setting has none.
    learned : bool
        A calibration answers it; its spread may reach beyond what is plausible, as long as it keeps its sign.
    """

    def __init__(
        self,
        kind: str,
        *,
        above: str | None = None,
        at_least: str | None = None,
        below: str | None = None,
        up_to: str | None = None,
        listed: bool = False,
        certain: bool = False,
        learned: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(**kwargs)
        self.kind, self.listed, self.certain, self.learned = kind, listed, certain, learned
        words = {"above": above, "at least": at_least, "below": below, "at most": up_to}
        self.bounds = {name: (text, parse(text, kind)) for name, text in words.items() if text is not None}
        self._lowest, self._highest = self._range()

    def _range(self) -> tuple[float, float]:
        low = [v for name, (_, v) in self.bounds.items() if name in ("above", "at least")]
        high = [v for name, (_, v) in self.bounds.items() if name in ("below", "at most")]
        return float(low[0]) if low else -np.inf, float(high[0]) if high else np.inf  # type: ignore[arg-type]

    def inside(self, numbers: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Which numbers are in their bounds without a doubt; at the edge of a bound, and beyond, `read` decides."""
        above = np.greater if "above" in self.bounds else np.greater_equal
        below = np.less if "below" in self.bounds else np.less_equal
        return np.asarray(above(numbers, self._lowest) & below(numbers, self._highest) & np.isfinite(numbers))

    def read(self, value: Any) -> Any:
        """In SI: a float, a `Measured`, or an array where a list is taken."""
        try:
            number = parse(value, self.kind)
        except QuantityError as error:
            raise ValidationError(str(error)) from None
        if isinstance(number, float):
            if not self._lowest < number < self._highest:
                self._check(number)
            return number
        if isinstance(number, list):
            return self._array(number)
        if self.certain:
            raise ValidationError("this field takes no plus_minus: send the value alone")
        self._check(number.value)
        self._check_spread(number)
        return number

    def _check_spread(self, number: Measured) -> None:
        """One standard deviation up and down must stay a value that could be sent; a weight may reach below zero."""
        low, high = number.value - number.plus_minus, number.value + number.plus_minus
        reaches = low <= self._lowest if "above" in self.bounds else low < self._lowest
        if self.kind == "mass" and "above" not in self.bounds:
            reaches = number.plus_minus > self._highest
        if self.learned:
            reaches, high = low <= 0.0 < self._lowest, number.value
        if reaches or high > self._highest:
            words = ", ".join(f"{name} {text}" for name, (text, _) in self.bounds.items())
            raise ValidationError(f"with its plus_minus the value leaves what it may be ({words}): send a smaller one")

    def _array(self, numbers: list[float]) -> Any:
        if not self.listed:
            raise ValidationError("this field takes one value, not a list")
        if not numbers:
            raise ValidationError("the list of values is empty: send at least one")
        for number in numbers:
            self._check(number)
        return np.array(numbers)

    def _check(self, number: float) -> None:
        for name, (text, bound) in self.bounds.items():
            wrong = {
                "above": number <= bound,  # type: ignore[operator]
                "at least": number < bound,  # type: ignore[operator]
                "below": number >= bound,  # type: ignore[operator]
                "at most": number > bound,  # type: ignore[operator]
            }[name]
            if wrong:
                unit = unit_named(self.kind, parse_text(text, self.kind)[1].name)
                shown = "" if unit.name == "1" else f" {unit.name}"
                raise ValidationError(f"must be {name} {text}: you sent {to_unit(number, unit):.6g}{shown}")


class Price(Field):
    """Money: an amount in one currency."""

    def read(self, value: Any) -> Money:
        """As money."""
        try:
            amount = parse(value, "money")
            currency = parse_text(value, "money")[1] if isinstance(value, str) else unit_named("money", value["unit"])
        except QuantityError as error:
            raise ValidationError(str(error)) from None
        if not isinstance(amount, float):
            raise ValidationError('a cost is one amount without plus_minus: for example "4800 EUR"')
        if not 0.0 <= amount <= 1e9:
            raise ValidationError("a cost is between 0 and 1,000,000,000")
        return Money(amount, currency.name)


class Text(fields.String):
    """A text of bounded length."""

    default_error_messages = Field.default_error_messages | {"invalid": "must be a text"}

    def __init__(self, longest: int = 200, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.longest = longest

    def read(self, value: Any) -> str:
        """The text itself."""
        if not isinstance(value, str):
            raise self.make_error("invalid")
        if not value or len(value) > self.longest:
            raise ValidationError(f"must be a text of 1 to {self.longest} characters")
        if not value.isprintable():
            raise ValidationError("must not hold control characters or lone surrogates")
        return value


class Name(Text):
    """A name that also stands in a table: short, and never read as a formula by a spreadsheet."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(longest=60, **kwargs)

    def read(self, value: Any) -> str:
        """The name itself."""
        name = super().read(value)
        if name.strip() != name or name.startswith(_CELL_STARTS):
            raise ValidationError("a name must not begin or end with a blank, nor begin with = + - or @")
        return name


class Choice(fields.String):
    """One word of a few."""

    default_error_messages = Field.default_error_messages | {"invalid": "must be a text"}

    def __init__(self, choices: Sequence[str], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.choices = tuple(choices)

    def read(self, value: Any) -> str:
        """The word itself."""
        if not isinstance(value, str):
            raise self.make_error("invalid")
        if value not in self.choices:
            raise ValidationError(f"must be one of {', '.join(self.choices)}")
        return value


class Truth(Field):
    """Yes or no."""

    def read(self, value: Any) -> bool:
        """Yes or no as a bool."""
        if not isinstance(value, bool):
            raise ValidationError("must be true or false")
        return value


class Count(Field):
    """A whole number of things."""

    def __init__(self, least: int, most: int, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.least, self.most = least, most

    def read(self, value: Any) -> int:
        """As a whole number, which 8.0 is to JSON Schema too."""
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int) or not self.least <= value <= self.most:
            raise ValidationError(f"must be a whole number from {self.least} to {self.most}")
        return value


class Nested(fields.Nested):
    """An object of another schema; the schema is an instance, so that its fields are built once."""

    default_error_messages = Field.default_error_messages | {"type": "must be an object"}

    def read(self, value: Any) -> Any:
        """What the other schema makes of it."""
        if not isinstance(value, dict):
            raise self.make_error("type")
        return self.schema.load(value)  # marshmallow's way round costs as much as three fields


class Listing(fields.List[Any]):
    """A list of bounded length; members that have a name have one of their own."""

    default_error_messages = Field.default_error_messages | {"invalid": "must be a list"}

    def __init__(self, inner: Any, *, least: int = 0, most: int = 50, unique: str | None = "name", **kwargs: Any):
        super().__init__(inner, **kwargs)
        self.least, self.most, self.unique = least, most, unique

    def read(self, value: Any) -> Any:
        """A tuple of what its members are read as."""
        if not isinstance(value, list):
            raise self.make_error("invalid")
        if not self.least <= len(value) <= self.most:
            raise ValidationError(f"must hold {self.least} to {self.most} members: you sent {len(value)}")
        items = self._members(value)
        seen: set[str] = set()
        for i, item in enumerate(items):
            name = getattr(item, self.unique, None) if self.unique else None
            if name is not None and name in seen:
                raise ValidationError({i: {self.unique: [f"'{name}' is there already: names must be unique"]}})
            seen.add(name or "")
        return tuple(items)

    def _members(self, values: list[Any]) -> list[Any]:
        """Every member read, or all their faults by place."""
        inner: Any = self.inner
        items, errors = [], {}
        for place, value in enumerate(values):
            try:
                if value is None:
                    raise inner.make_error("null")
                items.append(inner.read(value))
            except RowsError as error:
                raise RowsError({place: error.messages}, error.bad) from None
            except ValidationError as error:
                errors[place] = error.messages
        if errors:
            raise ValidationError(errors)
        return items


def _all_kinds_are_displayed() -> None:
    missing = KINDS.keys() - _AVIATION.keys() - {"money"}
    if missing:
        raise AssertionError(f"no display unit for {missing}")


_all_kinds_are_displayed()
