"""Steps of the shown calculation as JSON text.

Numbers put in have seven significant digits and results five, so that the shown numbers reproduce the shown result.
All steps whose numbers have one shape are written at once: a text with gaps, filled for each place of the shape. How
that is done depends on what is computed and not on the numbers, and is kept between requests.
"""

import math
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import accumulate, chain
from operator import itemgetter
from typing import Any

import numpy as np
import orjson

from climbwright.answers.working.step import FUNCTIONS, SYMBOL, Form, Shown, Step
from climbwright.units import KINDS, Unit
from climbwright.web.rendering.quantities import Units
from climbwright.web.working_words import SI, given_words, reader_text, source_words, step_words

__all__ = ["Known", "Writer"]

_LONG = "e+"  # what five digits do not hold is a plain whole number instead
_PIECE = re.compile(r"([A-Za-z_][A-Za-z_0-9]*)")
_GAP = "\x00"  # stands where a number goes into a text: JSON writes it in another way
Known = dict[str, tuple[str, str, str]]


def _template(formula: str, kinds: Sequence[str]) -> tuple[str, tuple[tuple[int, int], ...]]:
    """The formula with places for its numbers, and for each which symbol's, and 1 where that is in parentheses.

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
        places.append((number, int(wrapped)))
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
Row = tuple[float, ...]
_RESULT, _TAIL = -1, -2  # what fills a gap, if no input does


class _Plan:
    """How steps are written of which only the numbers change: texts with gaps, and what fills them.

    They are filled from a pool of texts: the inputs of one shape after the other, each followed by those that stand in
    parentheses anyway; then the results, the same in the reader's units, and how each step ends.

    Parameters
    ----------
    forms : tuple of Form
        Of each step.
    used : tuple of int
        Which input each symbol of each formula is, one formula after the other.
    kinds, given : tuple
        Of each input, and whether no step gives it.
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
        given: tuple[bool, ...],
        sizes: tuple[int, ...],
        names: str,
    ) -> None:
        words, start = names.split(_GAP), 0
        units = dict(zip(words[::2], words[1::2], strict=True))
        self.tails: list[str] = []  # how each step ends where nothing is to be explained, and a comma
        self.readers: list[tuple[int, float, float]] = []  # number of the step, factor and zero of the unit
        self.notes: list[tuple[int, list[int]]] = []  # number of the step, and which inputs are given
        self.first: list[tuple[int, list[int]]] = []  # the same of the inputs that no step before uses
        self.slices: list[slice] = []  # the pieces of each step
        self.pieces: list[str] = []  # what stands before each gap
        formats, gaps, before = ["%.5g"] * len(forms), list[tuple[int, int]](), set[int]()
        for r, form in enumerate(forms):
            inputs = used[start : start + len(form.symbols)]
            start += len(inputs)
            text, places, reader = _static(form, tuple([kinds[k] for k in inputs]), units.get(form.kind))
            *pieces, tail = text.split(_GAP)
            self.slices.append(slice(len(gaps), len(gaps) + len(pieces)))
            self.pieces += pieces
            self.tails.append(f"{tail},")
            gaps += [(inputs[k], wrapped) for k, wrapped in places]
            gaps.append((_RESULT, r))
            if reader is not None:
                factor, zero, written = reader
                gaps.append((_RESULT, len(formats)))
                self.readers.append((r, factor, zero))
                formats.append(written)
            gaps.append((_TAIL, r))
            told = [k for k in inputs if given[k]]
            if told:
                self.notes.append((r, told))
            fresh = [k for k in told if k not in before]
            if fresh:
                self.first.append((r, fresh))
                before.update(fresh)
        self.results = _GAP.join(formats)  # all at once, then those that a reader has in another unit
        self.put_in: list[tuple[str, list[int]]] = []  # all inputs of a shape at once, and which stand in parentheses
        asked, pool = set(gaps), list[tuple[int, int]]()
        for size, end in zip(sizes, accumulate(sizes), strict=True):
            group = range(end - size, end)
            wrapped = [k for k in group if (k, 1) in asked]
            self.put_in.append((_GAP.join([_place(kinds[k]) for k in group]), [k - group.start for k in wrapped]))
            pool += [*((k, 0) for k in group), *((k, 1) for k in wrapped)]
        pool += [*((_RESULT, r) for r in range(len(formats))), *((_TAIL, r) for r in range(len(forms)))]
        index = {gap: i for i, gap in enumerate(pool)}
        self.filled = [index[gap] for gap in gaps]  # where in the pool is what fills each gap
        self.picked = itemgetter(*self.filled)
        self.woven = [""] * (2 * len(gaps))
        self.woven[::2] = self.pieces

    def text(self, pool: Sequence[str], absent: Sequence[int]) -> str:
        """The steps, filled from a pool, without those whose numbers are named in rising order."""
        if not absent:
            text = self.woven.copy()
            text[1::2] = self.picked(pool)
            return "".join(text)[:-1]
        pieces, filled = [*self.pieces], [*self.filled]
        for r in reversed(absent):
            del pieces[self.slices[r]], filled[self.slices[r]]
        return "".join(chain.from_iterable(zip(pieces, map(pool.__getitem__, filled), strict=True)))[:-1]


_plan = lru_cache(maxsize=64)(_Plan)


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
            tuple([shown.told is not None for shown in inputs]),
            tuple([len(group) for group in groups.values()]),
            self._names,
        )
        tails = _tails(plan, inputs, known, shows)
        put_in = [
            (_pooled(*how, _own_rows(group, own, len(rows))), _places(own, shape))
            for how, (own, group) in zip(plan.put_in, groups.items(), strict=True)
        ]
        found = []
        for at, row in enumerate(rows):
            pool: list[str] = []
            for texts, places in put_in:
                pool += texts[places[at]]
            pool += _results(plan, row)
            pool += tails
            found.append(plan.text(pool, [r for r, there in shows.items() if not there[at]]))
        return found


def _rows(numbers: Sequence[Shown], shape: tuple[int, ...]) -> list[Row]:
    """Numbers at each place of a shape to which they broadcast."""
    if math.prod(shape) == 1:
        return [tuple([one.value.item() for one in numbers])]
    return list(zip(*[_listed(one, shape) for one in numbers], strict=True))


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
    return [tuple([x + 0.0 for x in row]) for row in rows]  # a zero that stands at several places has no sign


def _results(plan: _Plan, row: Row) -> list[str]:
    """What the steps give at one place, and then the same in the reader's units where these are others."""
    read = [(row[r] - zero) / factor for r, factor, zero in plan.readers]
    written = plan.results % (*row, *read)
    texts = written.split(_GAP)
    if _LONG in written:
        for r, number in enumerate(row):
            if _LONG in texts[r]:
                texts[r] = f"{number:.0f}"
    return texts


def _tails(plan: _Plan, inputs: Sequence[Shown], known: Known, shows: Mapping[int, Sequence[bool]]) -> list[str]:
    """How each step ends: with what its symbols stand for, as far as nothing has explained it yet, and its source."""
    tails, told = plan.tails.copy(), [shown.told for shown in inputs]
    for r, given in plan.notes if shows else plan.first:  # a step that does not apply everywhere may not be read
        fresh = [one for k in given if (one := told[k]) is not None and known.get(one[0]) != one]
        if not fresh:
            continue
        tails[r] = f',"where":{{{",".join([_where(*one) for one in fresh])}}}{tails[r]}'
        if r not in shows:
            known.update([(one[0], one) for one in fresh])
    return tails


def _pooled(put_in: str, wrapped: Sequence[int], rows: Sequence[Row]) -> list[list[str]]:
    """Inputs of one shape, at each place of it: each as it is put in, then those that stand in parentheses anyway."""
    found = []
    for numbers in rows:
        bare = texts = (put_in % numbers).split(_GAP)
        if not min(numbers) >= 0.0:
            texts = [text if x >= 0.0 else f"({text})" for text, x in zip(bare, numbers, strict=True)]
        found.append([*texts, *(f"({bare[k]})" for k in wrapped)] if wrapped else texts)
    return found


@lru_cache(maxsize=512)
def _places(own: tuple[int, ...], shape: Shape) -> list[int]:
    """Which of the numbers of an array stands at each place of a shape to which it broadcasts."""
    numbers = np.arange(math.prod(own)).reshape(own)
    places: list[int] = np.broadcast_to(numbers, shape).ravel().tolist()
    return places


def _listed(shown: Shown, shape: tuple[int, ...]) -> list[float]:
    """A number at every place of a shape to which it broadcasts."""
    value, size = shown.value, math.prod(shape)
    if value.size == size:
        numbers: list[float] = value.ravel().tolist()
        return numbers
    # adding nothing costs a third of np.broadcast_to
    return [value.item()] * size if value.size == 1 else (value + _nothing(shape)).ravel().tolist()


@lru_cache(maxsize=512)
def _nothing(shape: tuple[int, ...]) -> Any:
    return np.zeros(shape)


@lru_cache(maxsize=8192)
def _static(
    form: Form, kinds: tuple[str, ...], named: str | None
) -> tuple[str, tuple[tuple[int, int], ...], tuple[float, float, str] | None]:
    """A step's text with gaps, what goes into those of its formula, and factor, zero and format of the reader's unit.

    The last gaps are of the result, the same in the reader's unit if there is one, and what symbols stand for.
    """
    formula, unit = form.formula, SI[form.kind]
    said = f"{form.symbol}: found by a search, checked below" if formula is None else f"{form.symbol} = {formula}"
    text = f'{{"quantity":{_quoted(step_words(form.key, form.names))},"formula":{_quoted(said)}'
    places: tuple[tuple[int, int], ...] = ()
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
    columns: list[Row] = [] if finite else list(zip(*rows, strict=True))
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
