"""Steps of the shown calculation as JSON text.

Numbers put in have seven significant digits and results five, so that the shown numbers reproduce the shown result.
All steps whose numbers have one shape are written at once: a text with gaps, filled for each place of the shape. How
that is done depends on what is computed and not on the numbers, and is kept between requests.
"""

import math
import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import accumulate, chain
from operator import itemgetter
from typing import Any

import numpy as np
import orjson

from climbwright.answers.working.step import FUNCTIONS, SYMBOL, Form, Shown, Step
from climbwright.arrays import Floats
from climbwright.units import KINDS, Unit
from climbwright.web.rendering.quantities import Units
from climbwright.web.working_words import SI, given_words, reader_text, source_words, step_words

__all__ = ["Known", "Writer"]

_LONG = "e+"  # what five digits do not hold is a plain whole number instead
_PIECE = re.compile(r"([A-Za-z_][A-Za-z_0-9]*)")
_GAP = "\x00"  # stands where a number goes into a text: JSON writes it in another way
Known = dict[str, tuple[str, str, str]]


def _template(formula: str, kinds: Sequence[str]) -> tuple[str, tuple[tuple[int, bool], ...]]:
    """The formula with places for its numbers, and for each which symbol's, and whether that is in parentheses.

    `kinds` are those of the symbols in the order in which they first appear.
    """
    symbols = list(dict.fromkeys(word for word in SYMBOL.findall(formula) if word not in FUNCTIONS))
    parts = _PIECE.split(formula)
    text, places = "", []
    for i, part in enumerate(parts):
        if i % 2 == 0 or part in FUNCTIONS:
            text += part
            continue
        number = symbols.index(part)
        unit = SI[kinds[number]]
        composite = "/" in unit or " " in unit
        wrapped = bool(unit) and (parts[i + 1].startswith("^") or (composite and text.endswith("/")))
        text += _GAP
        places.append((number, wrapped))
    return text, tuple(places)


@lru_cache(maxsize=256)
def _place(kind: str) -> str:
    """How a number of a kind is put in."""
    # all eight digits of a gas constant, which stands in exponents
    return f"{'%.8g' if kind == 'gas constant' else '%.7g'} {SI[kind]}".rstrip()


@lru_cache(maxsize=4096)
def _quoted(text: str) -> str:
    """A text as JSON, in which a gap cannot stand."""
    return orjson.dumps(text).decode()


def _reader_format(kind: str, unit: Unit) -> str:
    """How a number of a kind is written in a unit: the decimals are those of any other number of it."""
    probe = reader_text(1.2345678 * unit.factor + unit.zero, kind, unit)
    number, _, name = probe.partition(" ")
    digits = "%.6g" if number == f"{1.2345678:.6g}" else f"%.{len(number.partition('.')[2])}f"
    return f"{digits} {name.replace('%', '%%')}".rstrip()


@lru_cache(maxsize=4096)
def _where(symbol: str, code: str, name: str) -> str:
    return f"{_quoted(symbol)}:{_quoted(given_words(code, name))}"


Shape = tuple[int, int, int]  # of aeroplanes, loadings and conditions
Row = list[float]
Told = tuple[str, str, str] | None
_Picker = Callable[[Sequence[str]], Sequence[str]]


class _Plan:
    """How steps are written of which only the numbers change: texts with gaps, and what fills them.

    They are filled from a pool of texts: the inputs of one shape after the other, then the results, then those that a
    reader has in another unit, in that.

    Parameters
    ----------
    forms : tuple of Form
        Of each step.
    used : tuple of int
        Which input each symbol of each formula is, one formula after the other.
    kinds : tuple of str
        Of each input.
    sizes : tuple of int
        How many inputs have the first shape, how many the next.
    names : str
        Each kind and its reader's unit, parted by gaps: a cache finds one text faster than many.
    """

    def __init__(
        self,
        forms: tuple[Form, ...],
        used: tuple[int, ...],
        kinds: tuple[str, ...],
        sizes: tuple[int, ...],
        names: str,
    ) -> None:
        words, start = names.split(_GAP), 0
        units = dict(zip(words[::2], words[1::2], strict=True))
        self.inputs: list[tuple[int, ...]] = []  # of each step
        self.pieces: list[list[str]] = []  # of each step: before each gap, and before and after its notes
        self.gaps: list[list[tuple[int, bool]]] = []  # of each step: what of the pool, and whether in parentheses
        formats, read = ["%.5g"] * len(forms), list[tuple[int, float, float]]()
        for r, form in enumerate(forms):
            inputs = used[start : start + len(form.symbols)]
            start += len(inputs)
            text, places, reader = _static(form, tuple([kinds[k] for k in inputs]), units.get(form.kind))
            gaps = [(inputs[k], wrapped) for k, wrapped in places]
            gaps.append((len(kinds) + r, False))
            if reader is not None:
                factor, zero, written = reader
                gaps.append((len(kinds) + len(formats), False))
                read.append((r, factor, zero))
                formats.append(written)
            self.inputs.append(inputs)
            self.pieces.append(text.split(_GAP))
            self.gaps.append(gaps)
        ends = [*accumulate(sizes)]
        # all inputs of a shape at once; then all results
        self.put_in = [_GAP.join(map(_place, kinds[end - size : end])) for size, end in zip(sizes, ends, strict=True)]
        self.results = _GAP.join(formats)
        self.read = read  # number of each step that a reader has in another unit, and factor and zero of that


_plan = lru_cache(maxsize=64)(_Plan)


class _Layout:
    """A plan, and what its steps explain of their symbols.

    Parameters
    ----------
    plan : _Plan
        Of the steps.
    told : tuple
        Of each input, what gives it where no step does.
    known : tuple of bool
        Whether that is what the input's symbol was last explained as.
    partly : tuple of int
        Steps that do not apply everywhere: they may not be read, and so leave to explain what they explain.
    """

    def __init__(self, plan: _Plan, told: tuple[Told, ...], known: tuple[bool, ...], partly: tuple[int, ...]) -> None:
        self.plan = plan
        self.learnt: Known = {}  # what the steps explain
        self.notes: list[str] = []  # of each step
        for r, inputs in enumerate(plan.inputs):
            notes = {one[0]: one for k in inputs if (one := told[k]) is not None and not self._has(one, known[k])}
            where = ",".join([_where(*one) for one in notes.values()])
            self.notes.append(f',"where":{{{where}}}' if where else "")
            if r not in partly:
                self.learnt.update(notes)

    def _has(self, one: tuple[str, str, str], known: bool) -> bool:
        """Whether a step before has explained it, or, where none has explained its symbol, something before all."""
        return self.learnt[one[0]] == one if one[0] in self.learnt else known


_layout = lru_cache(maxsize=128)(_Layout)


@lru_cache(maxsize=128)
def _woven(layout: _Layout, signs: bytes, absent: tuple[int, ...]) -> tuple[list[str], _Picker]:
    """The text of steps around gaps, which are every second place of a list, and what picks their filling from a pool.

    Parameters
    ----------
    layout : _Layout
        Of the steps.
    signs : bytes
        One for each input: 1 where it is negative, and so stands in parentheses.
    absent : tuple of int
        Numbers of steps that are left out.
    """
    pieces, filled, text = list[str](), list[int](), ""
    for r, gaps in enumerate(layout.plan.gaps):
        if r in absent:
            continue
        *parts, last, source = layout.plan.pieces[r]
        for part, (k, wrapped) in zip(parts, gaps, strict=True):
            bare = not (wrapped or signs[k : k + 1] == b"\x01")  # results come after all inputs, and stand alone
            pieces.append(f"{text}{part}" if bare else f"{text}{part}(")
            filled.append(k)
            text = "" if bare else ")"
        text += f"{last}{layout.notes[r]}{source},"
    woven = [""] * (2 * len(pieces) + 1)
    woven[::2] = [*pieces, text[:-1]]
    return woven, _picker(filled)


def _picker(places: Sequence[int]) -> _Picker:
    """A function that picks from a list what is at these places."""
    if len(places) > 1:
        return itemgetter(*places)
    return lambda texts: [texts[k] for k in places]


class Writer:
    """Writes steps as JSON text in the reader's units."""

    def __init__(self, units: Units) -> None:
        self._names = _GAP.join([f"{kind}{_GAP}{unit.name}" for kind, unit in units.items()])

    def texts(self, steps: Sequence[Step], shape: Shape, known: Known) -> list[str]:
        """The steps at each place of a shape, parted by commas; those left out that do not apply there.

        Parameters
        ----------
        steps : sequence of Step
            With numbers of any shape.
        shape : tuple of int
            Of aeroplanes, loadings and conditions, to which they broadcast.
        known : dict
            Symbols that have been explained where these steps stand; those that they explain are added.
        """
        rows = _rows(steps, shape)
        shows = _shows(steps, rows, shape)
        used = list(chain.from_iterable([step.inputs for step in steps]))
        groups = _by_shape([*dict.fromkeys(used)], len(rows))
        inputs = list(chain.from_iterable(groups.values()))
        index = dict(zip(inputs, range(len(inputs)), strict=True))
        plan = _plan(
            tuple([step.form for step in steps]),
            tuple([index[shown] for shown in used]),
            tuple([shown.kind for shown in inputs]),
            tuple([len(group) for group in groups.values()]),
            self._names,
        )
        told = tuple([shown.told for shown in inputs])
        same = tuple([one is not None and known.get(one[0]) == one for one in told]) if known else (False,) * len(told)
        layout = _layout(plan, told, same, tuple(shows))
        known.update(layout.learnt)
        put_in: list[tuple[list[list[str]], list[bytes], list[int]]] = []  # a type that is called costs 12 us
        for how, (own, group) in zip(plan.put_in, groups.items(), strict=True):
            there = _own_rows(group, own, len(rows))
            put_in.append((_pooled(how, there), _signs(there), _places(own, shape)))
        varied = bool(shows) or any(len(set(signs)) > 1 for _, signs, _ in put_in)
        found = []
        for at, row in enumerate(rows):
            if varied or at == 0:
                negative = b"".join([signs[places[at]] for _, signs, places in put_in])
                absent = tuple([r for r, shown in shows.items() if not shown[at]])
                woven, picked = _woven(layout, negative, absent)
            pool = [*chain.from_iterable([texts[places[at]] for texts, _, places in put_in]), *_results(plan, row)]
            text = woven.copy()
            text[1::2] = picked(pool)
            found.append("".join(text))
        return found


def _rows(numbers: Sequence[Shown], shape: tuple[int, ...]) -> list[Row]:
    """Numbers at each place of a shape to which they broadcast."""
    size = math.prod(shape)
    if size == 1:
        # float() takes an eighth of the time of item(), but is not for arrays
        return [[float(x) if type(x := one.value) is np.float64 else x.item() for one in numbers]]
    values = [x if (x := one.value).shape == shape else _spread_out(x, shape) for one in numbers]
    rows: list[Row] = np.array(values).reshape(-1, size).T.tolist()
    return rows


def _spread_out(value: Floats, shape: tuple[int, ...]) -> Floats:
    """A number at every place of a shape to which it broadcasts."""
    if value.size == 1:
        return np.full(shape, value.item())
    # adding nothing costs a third of np.broadcast_to
    return value.reshape(shape) if value.size == math.prod(shape) else value + _nothing(shape)


def _by_shape(inputs: list[Shown], places: int) -> dict[tuple[int, ...], list[Shown]]:
    """Inputs of steps at so many places by their shape; at one place each is a single number."""
    if inputs and places == 1:
        return {(): inputs}
    groups: dict[tuple[int, ...], list[Shown]] = {}
    for shown in inputs:
        groups.setdefault(shown.value.shape, []).append(shown)
    return groups


def _own_rows(numbers: Sequence[Shown], own: tuple[int, ...], places: int) -> list[Row]:
    """Numbers of one shape at each place of it."""
    rows = _rows(numbers, own)
    if len(rows) in (1, places):
        return rows
    return [[x + 0.0 for x in row] for row in rows]  # a zero that stands at several places has no sign


def _results(plan: _Plan, row: Row) -> list[str]:
    """What the steps give at one place, and then the same in the reader's units where these are others."""
    read = [(row[r] - zero) / factor for r, factor, zero in plan.read]
    written = plan.results % (*row, *read)
    texts = written.split(_GAP)
    if _LONG in written:
        for r, number in enumerate(row):
            if _LONG in texts[r]:
                texts[r] = f"{number:.0f}"
    return texts


def _pooled(put_in: str, rows: Sequence[Row]) -> list[list[str]]:
    """Inputs of one shape, at each place of it, as they are put in."""
    return [(put_in % tuple(row)).split(_GAP) for row in rows]


def _signs(rows: Sequence[Row]) -> list[bytes]:
    """Of inputs of one shape, at each place of it: for each 1 where it is negative."""
    if min(map(min, rows)) >= 0.0:
        return [bytes(len(rows[0]))] * len(rows)
    return [bytes([not x >= 0.0 for x in row]) for row in rows]


@lru_cache(maxsize=512)
def _places(own: tuple[int, ...], shape: Shape) -> list[int]:
    """Which of the numbers of an array stands at each place of a shape to which it broadcasts."""
    numbers = np.arange(math.prod(own)).reshape(own)
    places: list[int] = np.broadcast_to(numbers, shape).ravel().tolist()
    return places


@lru_cache(maxsize=512)
def _nothing(shape: tuple[int, ...]) -> Any:
    return np.zeros(shape)


@lru_cache(maxsize=8192)
def _static(
    form: Form, kinds: tuple[str, ...], named: str | None
) -> tuple[str, tuple[tuple[int, bool], ...], tuple[float, float, str] | None]:
    """A step's text with gaps, what goes into those of its formula, and factor, zero and format of the reader's unit.

    The last gaps are of the result, the same in the reader's unit if there is one, and what symbols stand for.
    """
    formula, unit = form.formula, SI[form.kind]
    said = f"{form.symbol}: found by a search, checked below" if formula is None else f"{form.symbol} = {formula}"
    text = f'{{"quantity":{_quoted(step_words(form.key, form.names))},"formula":{_quoted(said)}'
    places: tuple[tuple[int, bool], ...] = ()
    if formula is not None:
        filled, places = _template(formula, kinds)
        text += f',"with_numbers":"{filled}"'
    text += f',"result":"{_GAP} {unit}"' if unit else f',"result":"{_GAP}"'
    after = f'{_GAP},"source":{_quoted(source_words(form.source))}}}'
    if named is None or named == (unit or "1"):
        return text + after, places, None
    reader = KINDS[form.kind].units[named]
    text += f',"reader":"{_GAP}"{after}'
    return text, places, (reader.factor, reader.zero, _reader_format(form.kind, reader))


def _shows(steps: Sequence[Step], rows: Sequence[Row], shape: Shape) -> dict[int, Sequence[bool]]:
    """Where the steps apply that do not have a value everywhere, by their number, which rises."""
    total = sum(map(sum, rows))  # nan, or infinite, as soon as one number is
    finite = total - total == 0.0
    columns: list[tuple[float, ...]] = [] if finite else list(zip(*rows, strict=True))
    shows: dict[int, Sequence[bool]] = {}
    for r, step in enumerate(steps):
        if step.only is not None:
            shows[r] = _spread(step.only, shape)
        if not finite:
            total = sum(columns[r])
            if total - total != 0.0:
                there = shows.get(r) or [True] * len(rows)
                shows[r] = [one and x - x == 0.0 for one, x in zip(there, columns[r], strict=True)]
    return shows


def _spread(only: Any, shape: Shape) -> list[bool]:
    """Where a step applies, at every place of a shape."""
    only = np.asarray(only)
    if only.size == shape[0] * shape[1] * shape[2]:
        here: list[bool] = only.ravel().tolist()
        return here
    only = only.reshape((1,) * (len(shape) - only.ndim) + only.shape)
    for axis, length in enumerate(shape):
        # where the step is needed may differ along an axis on which its numbers do not
        if length == 1 and only.shape[axis] > 1:
            only = only.any(axis=axis, keepdims=True)
    there: list[bool] = np.broadcast_to(only, shape).ravel().tolist()
    return there
