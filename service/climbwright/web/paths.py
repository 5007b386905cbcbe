"""What a field is called outside JSON, by a column of a table or a parameter of a query: the way to it.

Steps are joined by points, and members of a list go by their names: ``aircraft.stations.pilot.arm``,
``loading.stations.fuel``, ``condition.density_altitude``. What has no point in its name is not a field.
A row of fields, one loading in one condition, makes a request of `performance`.
"""

import copy
import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from marshmallow import fields

from climbwright.refusal import pointer_part
from climbwright.web.schemas.air import ConditionSchema
from climbwright.web.schemas.aircraft import AircraftSchema, AmountsField, HeldField, LoadingSchema
from climbwright.web.schemas.fields import Listing, Nested
from climbwright.web.schemas.flying import flying_fields

__all__ = [
    "FLOWN",
    "PARTS",
    "PathError",
    "Place",
    "fields_within",
    "is_field",
    "is_label",
    "name_of",
    "named",
    "performance_request",
    "place_of",
    "placed",
]

PARTS: Mapping[str, Any] = {
    "aircraft": AircraftSchema(),
    "loading": LoadingSchema(),
    "condition": ConditionSchema(),
}
FLOWN: Mapping[str, Any] = {name: field.schema for name, field in flying_fields().items() if isinstance(field, Nested)}
_HELD = HeldField()


class PathError(ValueError):
    """A name that is no field's; the message says which there are and is safe to show."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a value belongs: its name, the keys on the way to it, and the field that reads it.

    A member of a list stands among the keys as a pair: the key of its name, and the name.
    """

    name: str
    keys: tuple[str | tuple[str, str], ...]
    field: Any

    @property
    def label(self) -> bool:
        """Whether it is a name that nothing is computed from."""
        return is_label(self.name)

    @property
    def text(self) -> bool:
        """Whether it is a text from which something follows: a kind, a class, a setting, a coded report."""
        return isinstance(self.field, fields.String) and not self.label


def is_field(name: str) -> bool:
    """Whether a name must be a field's."""
    return "." in name


def is_label(name: str) -> bool:
    """Whether a field is a name that nothing is computed from, which goes through as other columns do."""
    return name in _LABELS


_LABELS = frozenset({"aircraft.name", "aircraft.rules.name", "loading.name", "condition.name"})


def place_of(name: str, parts: Mapping[str, Any] = PARTS) -> Place:
    """The place that a name with points names.

    Parameters
    ----------
    name : str
        Of a column or a parameter.
    parts : mapping, optional
        What a name may begin with, and the schema of each.

    Raises
    ------
    PathError
        There is none.
    """
    part, _, rest = name.partition(".")
    if part not in parts:
        ways = ", ".join(f"{p}.FIELD" for p in parts)
        raise PathError(f"there is no such field: a name with points is {ways}")
    keys, field = _within(parts[part], rest.split("."), part)
    return Place(name, (part, *keys), field)


def _within(schema: Any, words: list[str], so_far: str) -> tuple[tuple[Any, ...], Any]:
    """Keys from a schema on, and the field that they lead to."""
    known = {field.data_key or name: field for name, field in schema.load_fields.items()}
    field = known.get(words[0])
    if field is None:
        close = difflib.get_close_matches(words[0], known, n=1)
        hint = f"did you mean '{so_far}.{close[0]}'? The fields" if close else "the fields"
        raise PathError(f"'{so_far}' has no field '{words[0][:40]}': {hint} are {', '.join(known)}")
    here, rest = f"{so_far}.{words[0]}", words[1:]
    if isinstance(field, AmountsField):
        if not rest:
            raise PathError(f"'{here}' holds several stations: write {here}.STATION")
        return (words[0], ".".join(rest)), _HELD
    if isinstance(field, Listing):
        return _member(field, words[0], rest, here)
    if isinstance(field, Nested):
        if not rest:
            inner = ", ".join(f.data_key or n for n, f in field.schema.load_fields.items())
            raise PathError(f"'{here}' has fields of its own: write {here}.FIELD, of {inner}")
        keys, found = _within(field.schema, rest, here)
        return (words[0], *keys), found
    if rest:
        raise PathError(f"'{here}' has no fields of its own")
    return (words[0],), field


def _member(field: Listing, key: str, rest: list[str], here: str) -> tuple[tuple[Any, ...], Any]:
    """Keys within a list, whose member is all words but the last: a name may hold points."""
    inner: Any = field.inner
    known = list(inner.schema.load_fields) if isinstance(inner, Nested) else []
    if field.unique not in known:
        raise PathError(f"the members of '{here}' have no names to go by: send it within its document")
    if len(rest) < 2:
        raise PathError(f"'{here}' is a list: write {here}.NAME.FIELD")
    if rest[-1] == field.unique:
        raise PathError(f"the members of '{here}' go by their {field.unique}, which is no field of its own here")
    keys, found = _within(inner.schema, rest[-1:], ".".join([here, *rest[:-1]]))
    return (key, (str(field.unique), ".".join(rest[:-1])), *keys), found


def fields_within(schema: Any, so_far: str) -> Iterator[tuple[str, Any]]:
    """Names and fields that a document of this schema may hold; NAME in one stands for that of a member."""
    for name, field in schema.load_fields.items():
        here = f"{so_far}.{field.data_key or name}"
        inner = getattr(field, "inner", None)
        if isinstance(field, AmountsField):
            yield f"{here}.NAME", _HELD
        elif isinstance(field, Nested):
            yield from fields_within(field.schema, here)
        elif not isinstance(field, Listing):
            yield here, field
        elif isinstance(inner, Nested) and field.unique in inner.schema.load_fields:
            within = fields_within(inner.schema, f"{here}.NAME")
            yield from ((name, one) for name, one in within if not name.endswith(f".NAME.{field.unique}"))


def placed(document: dict[str, Any], values: Iterable[tuple[Place, Any]], whole: str = "shared") -> dict[str, Any]:
    """A copy of a document with values in their places; a list that is not there is made of its members' fields.

    Parameters
    ----------
    document : dict
        Parts by their names.
    values : iterable of Place and value
        What stands in place of what the document says.
    whole : str
        What the document is called in a refusal.

    Raises
    ------
    PathError
        Something on the way is not what it has to be.
    """
    made = copy.deepcopy(document)
    for place, value in values:
        node: Any = made
        for key, after in zip(place.keys, (*place.keys[1:], None), strict=True):
            if after is None:
                node[key] = value
            else:
                node = _step(node, key, isinstance(after, tuple), place, whole)
    return made


class _Made(list[Any]):
    """A list whose members all come field by field."""


def _step(node: Any, key: Any, listed: bool, place: Place, whole: str) -> Any:
    if isinstance(key, tuple):
        named, name = key
        members = [member for member in node if isinstance(member, dict)]
        for member in members:
            if member.get(named) == name:
                return member
        if members and not isinstance(node, _Made):
            known = ", ".join(str(member.get(named)) for member in members)
            raise PathError(f"'{place.name}': there is no '{name}' in {whole}, which has {known}: send it there too")
        node.append({named: name})
        return node[-1]
    inner = node.setdefault(key, _Made() if listed else {})
    if not isinstance(inner, list if listed else dict):
        what = "list" if listed else "object"
        raise PathError(f"'{place.name}' cannot be put into {whole}, where '{key}' is no {what}")
    return inner


def named(document: Mapping[str, Any]) -> dict[str, Any]:
    """A row's document with names where it has none: nothing is computed from them."""
    parts = {part: {"name": part, **document.get(part, {})} for part in PARTS}
    parts["loading"].setdefault("stations", {})
    return {**document, **parts}


def performance_request(document: Mapping[str, Any], measures: list[str] | None) -> dict[str, Any]:
    """A row's request of `performance`."""
    flown = {name: document[name] for name in ("aircraft", *FLOWN) if name in document}
    asked = {} if measures is None else {"measures": measures}
    return {**flown, "loadings": [document["loading"]], "conditions": [document["condition"]], **asked}


def name_of(pointer: str, document: Mapping[str, Any]) -> str:
    """What a field would be called whose place a JSON Pointer into a document of `performance` names."""
    words = [word.replace("~1", "/").replace("~0", "~") for word in pointer.split("/")[1:]]
    if words[:1] == ["loadings"] or words[:1] == ["conditions"]:
        words = [words[0][:-1], *words[2:]]
        document = {"loading": document["loadings"][0], "condition": document["conditions"][0], **document}
    named: list[str] = []
    node: Any = document
    for word in words:
        if isinstance(node, list) and word.isdigit() and int(word) < len(node):
            node = node[int(word)]
            name = node.get("name", node.get("configuration", word)) if isinstance(node, dict) else word
            named.append(str(name))
        else:
            node = node.get(word) if isinstance(node, dict) else None
            named.append(word)
    return ".".join(named)


def pointer_of(place: Place) -> str:
    """Where a column's value would stand in shared, as a JSON Pointer; members of a list by their names."""
    return "".join("/" + pointer_part(key[1] if isinstance(key, tuple) else key) for key in place.keys)
