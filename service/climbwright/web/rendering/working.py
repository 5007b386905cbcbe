"""The shown calculation as JSON and as text: each step with its numbers put in.

Numbers put in have seven significant digits and results five, so that the shown numbers reproduce the shown result.
A step is written for all scenes at once, as JSON text: one template, filled for each scene.
"""

import re
import textwrap
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

import numpy as np
import orjson

from climbwright.answers.comparison import Answer
from climbwright.answers.working.aeroplane import Working
from climbwright.answers.working.step import FUNCTIONS, SYMBOL, Step
from climbwright.units import KINDS, Unit
from climbwright.web.rendering.quantities import Units
from climbwright.web.working_words import SI, given_words, reader_text, source_words, step_words

__all__ = ["blocks_json", "one_block_json", "steps_json", "steps_text", "worked_json"]

_WIDTH = 78
_LONG = 99999.5  # from here on a plain whole number has five digits and more
_PIECE = re.compile(r"([A-Za-z_][A-Za-z_0-9]*)")
_SPACE, _SLASH = "\x00", "\x01"  # stand in for those of a unit while a line is broken
_UNIT_WORDS = "|".join(re.escape(unit) for unit in sorted({*SI.values()} - {""}, key=len, reverse=True))
_WITH_UNIT = re.compile(rf"(?<=[0-9.]) (?:{_UNIT_WORDS})(?![A-Za-z0-9])")
_BETWEEN = re.compile(r"(?<=[*/ ])(?=[^*/ ])")
Known = dict[str, tuple[str, str, str]]


@lru_cache(maxsize=4096)
def _template(formula: str, kinds: tuple[str, ...], signs: str) -> tuple[str, tuple[tuple[int, str], ...]]:
    """The formula with places for its numbers and their units, and what goes into each place.

    `kinds` are those of the symbols in the order in which they first appear. Of `signs` ``+`` has no negative number,
    ``-`` none else, and ``~`` both: its places take texts, which the second part of the pair makes of the number.
    """
    symbols = list(dict.fromkeys(word for word in SYMBOL.findall(formula) if word not in FUNCTIONS))
    parts = _PIECE.split(formula)
    text, places = "", []
    for i, part in enumerate(parts):
        if i % 2 == 0 or part in FUNCTIONS:
            text += part
            continue
        number = symbols.index(part)
        kind, sign = kinds[number], signs[number]
        unit = SI[kind]
        composite = "/" in unit or " " in unit
        wrapped = bool(unit) and (parts[i + 1].startswith("^") or (composite and text.endswith("/")))
        # all eight digits of a gas constant, which stands in exponents
        place = f"{'%.8g' if kind == 'gas constant' else '%.7g'} {unit}".rstrip()
        place = f"({place})" if wrapped or sign == "-" else place
        text += "%s" if sign == "~" else place
        places.append((number, place if sign == "~" else ""))
    return text, tuple(places)


def _signed(place: str, numbers: Sequence[float]) -> list[str]:
    """Numbers as texts, the negative ones in parentheses."""
    return [place % x if x >= 0.0 or place.startswith("(") else f"({place % x})" for x in numbers]


@lru_cache(maxsize=4096)
def _quoted(text: str) -> str:
    """A text as JSON within a template."""
    return orjson.dumps(text).decode().replace("%", "%%")


def _reader_format(kind: str, unit: Unit) -> str:
    """How a number of a kind is written in a unit: the decimals are those of any other number of it."""
    probe = reader_text(1.2345678 * unit.factor + unit.zero, kind, unit)
    number, _, name = probe.partition(" ")
    digits = "%.6g" if number == f"{1.2345678:.6g}" else f"%.{len(number.partition('.')[2])}f"
    return f"{digits} {name}".rstrip()


@lru_cache(maxsize=4096)
def _head(key: str, names: tuple[tuple[str, str], ...], symbol: str, formula: str | None) -> str:
    """What a step computes and its formula, as the beginning of its JSON."""
    shown = f"{symbol}: found by a search, checked below" if formula is None else f"{symbol} = {formula}"
    return f'{{"quantity":{_quoted(step_words(key, names))},"formula":{_quoted(shown)}'


@lru_cache(maxsize=4096)
def _where(symbol: str, code: str, name: str) -> str:
    return f"{_quoted(symbol)}:{_quoted(given_words(code, name))}"


def _result(value: float) -> str:
    return f"{value:.5g}" if -_LONG < value < _LONG else f"{value:.0f}"


Flat = tuple[Any, list[float], float, float]  # a number, it as a list, the least and the greatest of that


class _Writer:
    """Writes steps as JSON text in the reader's units; what several steps share it works out once."""

    def __init__(self, units: Units) -> None:
        self._names = {kind: unit.name for kind, unit in units.items()}  # a text is a cheaper key than a unit
        self._lists: dict[tuple[int, ...], dict[int, Flat]] = {}

    @staticmethod
    def _flat(value: Any, shape: tuple[int, ...], size: int) -> Flat:
        """A number of any shape that broadcasts to another, as a list; it stays alive, and its id its own."""
        if not isinstance(value, np.ndarray):
            number = float(value)
            return value, [number] * size, number, number
        if value.size == 1:
            number = value.item()
            return value, [number] * size, number, number
        # adding nothing costs a third of np.broadcast_to
        wide = value if value.size == size else value + _nothing(shape)
        numbers = wide.ravel().tolist()
        return value, numbers, min(numbers), max(numbers)

    def texts(self, step: Step, shape: tuple[int, ...], known: Known) -> list[str | None]:
        """A step wherever its numbers differ, None where it does not apply.

        Parameters
        ----------
        step : Step
            With numbers of any shape.
        shape : tuple of int
            Of aeroplanes, loadings and conditions, to which they broadcast.
        known : dict
            Symbols that have been explained where this step stands; those that it explains are added.
        """
        size = shape[0] * shape[1] * shape[2]
        lists = self._lists.setdefault(shape, {})
        lists[id(step.value)] = own = self._flat(step.value, shape, size)
        _, values, least, most = own
        inputs, signs = [], ""
        for value in step.numbers:
            flat = lists.get(id(value))
            if flat is None:
                flat = lists[id(value)] = self._flat(value, shape, size)
            inputs.append(flat[1])
            signs += "+" if flat[2] >= 0.0 else "-" if flat[3] < 0.0 else "~"
        whole = least > -_LONG and most < _LONG
        names = tuple(step.names.items()) if step.names else ()
        unit = self._names.get(step.kind)
        before, after, places, reader = _static(
            step.key, names, step.symbol, step.formula, step.kinds, signs, step.kind, step.source, whole, unit
        )
        columns: list[Sequence[Any]] = [_signed(place, inputs[k]) if place else inputs[k] for k, place in places]
        columns.append(values if whole else [_result(value) for value in values])
        if reader is not None:
            factor, zero = reader.factor, reader.zero
            columns.append([(value - zero) / factor for value in values])
        total = sum(values)  # nan, or infinite, as soon as one is
        shows = None if step.only is None and total - total == 0.0 else _shows(step, values, shape)
        text = before + after
        if step.givens:
            fresh = [given for given in step.givens if known.get(given[0]) != given]
            if fresh:
                text = f'{before},"where":{{{",".join([_where(*given) for given in fresh])}}}{after}'
                if shows is None:
                    known.update([(given[0], given) for given in fresh])
        found: list[str | None] = [text % row for row in zip(*columns, strict=True)]
        if shows is not None:
            found = [one if show else None for one, show in zip(found, shows, strict=True)]
        return found


@lru_cache(maxsize=64)
def _nothing(shape: tuple[int, ...]) -> Any:
    return np.zeros(shape)


@lru_cache(maxsize=4096)
def _static(
    key: str,
    names: tuple[tuple[str, str], ...],
    symbol: str,
    formula: str | None,
    kinds: tuple[str, ...],
    signs: str,
    kind: str,
    source: str,
    whole: bool,
    named: str | None,
) -> tuple[str, str, tuple[tuple[int, str], ...], Unit | None]:
    """A step's template around what its symbols stand for, what goes into its places, and the reader's unit."""
    text = _head(key, names, symbol, formula)
    places: tuple[tuple[int, str], ...] = ()
    if formula is not None:
        filled, places = _template(formula, kinds, signs)
        text += f',"with_numbers":"{filled}"'
    unit = SI[kind]
    number = "%.5g" if whole else "%s"
    text += f',"result":"{number} {unit}"' if unit else f',"result":"{number}"'
    after = f',"source":{_quoted(source_words(source))}}}'
    if named is None or named == (unit or "1"):
        return text, after, places, None
    reader = KINDS[kind].units[named]
    return text + f',"reader":"{_reader_format(kind, reader)}"', after, places, reader


def _shows(step: Step, values: Sequence[float], shape: tuple[int, ...]) -> list[bool]:
    """Where a step applies and has a value."""
    if step.only is None:
        return [value - value == 0.0 for value in values]
    only: Any = np.asarray(step.only)
    only = only.reshape((1,) * (len(shape) - only.ndim) + only.shape)
    for axis, length in enumerate(shape):
        # where the step is needed may differ along an axis on which its numbers do not
        if length == 1 and only.shape[axis] > 1:
            only = only.any(axis=axis, keepdims=True)
    there = np.broadcast_to(only, shape).ravel().tolist()
    return [show and value - value == 0.0 for show, value in zip(there, values, strict=True)]


def steps_json(steps: Sequence[Step], units: Units) -> orjson.Fragment:
    """Steps with single numbers, in order.

    Parameters
    ----------
    steps : sequence of Step
        Of one calculation.
    units : Units
        The reader's.

    Returns
    -------
    orjson.Fragment
        A list, which stands in an answer as it is.
    """
    known: Known = {}
    writer = _Writer(units)
    shown = [text for step in steps for text in writer.texts(step, (1, 1, 1), known) if text is not None]
    return orjson.Fragment(f"[{','.join(shown)}]")


def one_block_json(answer: Answer, units: Units) -> orjson.Fragment:
    """The steps of an answer with one aeroplane, one loading and one condition, as a list."""
    steps = [step for part in answer.working or () for step in part.steps]
    return steps_json(steps, units)


def worked_json(answer: Answer, units: Units, named: str = "option") -> dict[str, Any]:
    """The working of an aeroplane answer as a member of it; nothing where it was not asked for.

    Parameters
    ----------
    answer : Answer
        Of a performance, a comparison, or whatever rests on one.
    units : Units
        The reader's.
    named : str
        As `blocks_json`.
    """
    if answer.working is None:
        return {}
    options = [option.name for option in answer.options]
    return {"working": blocks_json(answer.working, options, answer.loadings, answer.conditions, units, named)}


def blocks_json(
    working: Sequence[Working],
    options: Sequence[str],
    loadings: Sequence[str],
    conditions: Sequence[str],
    units: Units,
    named: str = "option",
) -> orjson.Fragment:
    """The steps of an aeroplane answer, gathered by what they hold for.

    Parameters
    ----------
    working : sequence of Working
        As answered.
    options, loadings, conditions : sequence of str
        Their names.
    units : Units
        The reader's.
    named : str
        What an option is: an ``option`` before and after which the aeroplane is seen, or a ``setting`` of it.

    Returns
    -------
    orjson.Fragment
        A list of objects, each with `steps`, and with the option (and when: before or after it), the loading and the
        condition that they hold for; what is left out does not matter for them, and they hold for each.
    """
    blocks: dict[tuple[int, int, int], list[str]] = {}
    known: dict[tuple[int, bool, bool], Known] = {}
    scenes = len(options), len(loadings), len(conditions)
    writer = _Writer(units)
    for number, part in enumerate(working):
        places: dict[tuple[int, int], tuple[list[list[str]], Known]] = {}
        aircraft = 1 if part.aircraft is None else len(part.aircraft)
        for step in part.steps:
            shape = (1, 1, *step.value.shape)[-2:]
            found = places.get(shape)
            if found is None:
                told = known.setdefault((number if options else 0, shape[0] > 1, _by_condition(part, shape)), {})
                found = places[shape] = _targets(blocks, part, shape, scenes), told
            for target, text in zip(found[0], writer.texts(step, (aircraft, *shape), found[1]), strict=True):
                if text is not None:
                    target.append(text)
    shown = []
    for (k, i, j), steps in sorted(blocks.items()):
        if not steps:
            continue
        head: dict[str, str] = {}
        if options and k >= 0 and named == "option":
            head = {"when": "before"} if k == 0 else {"option": options[k - 1], "when": "after"}
        elif options and k > 0:
            head = {named: options[k - 1]}
        elif options and k == 0:
            continue  # the aeroplane as it is set stands among its settings
        if i >= 0:
            head["loading"] = loadings[i]
        if j >= 0:
            head["condition"] = conditions[j]
        opened = orjson.dumps(head).decode()[:-1]
        shown.append(f'{opened}{"," if head else ""}"steps":[{",".join(steps)}]}}')
    return orjson.Fragment(f"[{','.join(shown)}]")


def _by_condition(part: Working, shape: tuple[int, int]) -> bool:
    return shape[1] > 1 or part.condition is not None


def _targets(
    blocks: dict[tuple[int, int, int], list[str]], part: Working, shape: tuple[int, int], scenes: tuple[int, int, int]
) -> list[list[str]]:
    """The block of every place of numbers of a shape; -1 stands for all."""
    options, loadings, conditions = scenes
    aircraft = (-1 if options else 0,) if part.aircraft is None else part.aircraft
    rows: Sequence[int] = range(shape[0]) if shape[0] > 1 else (0 if loadings == 1 else -1,)
    columns: Sequence[int] = range(shape[1]) if shape[1] > 1 else (0 if conditions == 1 else -1,)
    if part.condition is not None:
        columns = (part.condition,)
    return [blocks.setdefault((k, i, j), []) for k in aircraft for i in rows for j in columns]


def steps_text(working: orjson.Fragment) -> list[str]:
    """Steps as lines of a page; a list of steps, or of scenes with theirs."""
    read: list[dict[str, Any]] = orjson.loads(orjson.dumps(working))
    lines = ["", "Working"]
    if read and "steps" not in read[0]:
        return [*lines, *_lines(read)]
    for scene in read:
        heads = [str(scene[name]) for name in scene if name != "steps"]
        lines += ["", *_wrapped(", ".join(heads) or "for all", "", "  "), *_lines(scene["steps"])]
    return lines


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _calculation(text: str) -> list[str]:
    """A line with numbers put in, broken between them and never between a number and its unit."""
    whole = _WITH_UNIT.sub(lambda match: match[0].replace(" ", _SPACE).replace("/", _SLASH), text)
    lines, line = [], "       "
    for piece in _BETWEEN.split(whole):
        if len(line) + len(piece.rstrip()) > _WIDTH and line.strip():
            lines.append(line.rstrip())
            line = "         "
        line += piece
    return [each.replace(_SPACE, " ").replace(_SLASH, "/") for each in [*lines, line.rstrip()]]


def _lines(steps: Sequence[dict[str, Any]]) -> Iterator[str]:
    for number, step in enumerate(steps, 1):
        yield from _wrapped(f"{number}. {step['quantity']}", "  ", "     ")
        yield from _wrapped(step["formula"], "     ", "       ")
        if "with_numbers" in step:
            yield from _calculation(f"= {step['with_numbers']}")
        reader = f" ({step['reader']})" if "reader" in step else ""
        yield from _wrapped(f"= {step['result']}{reader}", "       ", "         ")
        notes = [f"{symbol}: {words}" for symbol, words in step.get("where", {}).items()]
        yield from _wrapped("; ".join([*notes, f"source: {step['source']}"]), "     ", "     ")
