"""Steps of the shown calculation as JSON text.

Numbers put in have seven significant digits and results five, so that the shown numbers reproduce the shown result.
All steps whose numbers have one shape are written at once: a text with gaps, filled for each place of the shape. How
that is done depends on what is computed and not on the numbers, and is kept between requests.
"""

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import chain
from typing import Any

import numpy as np
import orjson

from climbwright.answers.working.step import FUNCTIONS, SYMBOL, Form, Shown, Step
from climbwright.units import KINDS, Unit
from climbwright.web.rendering.quantities import Units
from climbwright.web.working_words import SI, given_words, reader_text, source_words, step_words

__all__ = ["Known", "Writer"]

_LONG = 99999.5  # from here on a plain whole number has five digits and more
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
    return f"{digits} {name}".rstrip()


@lru_cache(maxsize=4096)
def _where(symbol: str, code: str, name: str) -> str:
    return f"{_quoted(symbol)}:{_quoted(given_words(code, name))}"


Shape = tuple[int, int, int]  # of aeroplanes, loadings and conditions
Row = Sequence[float]


class _Plan:
    """How steps are written of which only the numbers change: texts with gaps, and what fills them.

    They are filled from a pool of texts: each number that is put in, without and with parentheses, then the results,
    what is told of symbols, the results in the reader's units, and a comma.

    Parameters
    ----------
    forms : tuple of Form
        Of each step.
    used : tuple of int
        Which input each symbol of each formula is, one formula after the other.
    kinds, given : tuple
        Of each input, and whether no step gives it.
    names : tuple of (str, str)
        The reader's unit of each kind.
    """

    def __init__(
        self,
        forms: tuple[Form, ...],
        used: tuple[int, ...],
        kinds: tuple[str, ...],
        given: tuple[bool, ...],
        names: tuple[tuple[str, str], ...],
    ) -> None:
        units, start = dict(names), 0
        self.put_in = _GAP.join([_place(kind) for kind in kinds])  # all inputs at once
        self.pieces: list[str] = []  # what stands before each gap; the last gap of each step parts it from the next
        self.filled: list[int] = []  # where in the pool is what fills it
        self.slices: list[slice] = []  # those of each step
        self.readers: list[tuple[int, float, float]] = []  # number of the step, factor and zero of the unit
        self.notes: list[tuple[int, list[int]]] = []  # number of the step, and which inputs are given
        formats: list[str] = []
        results = 2 * len(kinds)
        for r, form in enumerate(forms):
            inputs = used[start : start + len(form.symbols)]
            start += len(inputs)
            text, places, reader = _static(form, tuple([kinds[k] for k in inputs]), units.get(form.kind))
            fill = [2 * inputs[k] + wrapped for k, wrapped in places]
            fill += [results + r]
            if reader is not None:
                factor, zero, written = reader
                fill += [results + 2 * len(forms) + len(formats)]
                self.readers.append((r, factor, zero))
                formats.append(written)
            fill += [results + len(forms) + r]
            told = [k for k in inputs if given[k]]
            if told:
                self.notes.append((r, told))
            fill += [-1]
            self.slices.append(slice(len(self.filled), len(self.filled) + len(fill)))
            self.pieces += text.split(_GAP)
            self.filled += fill
        self.read = _GAP.join(formats)  # all results that a reader has in another unit

    def text(self, pool: Sequence[str], absent: Sequence[int]) -> str:
        """The steps, filled from a pool, without those whose numbers are named in rising order."""
        pieces, filled = self.pieces, self.filled
        if absent:
            pieces, filled = [*pieces], [*filled]
            for r in reversed(absent):
                del pieces[self.slices[r]], filled[self.slices[r]]
        text = [""] * (2 * len(pieces))
        text[::2] = pieces
        text[1::2] = map(pool.__getitem__, filled)
        return "".join(text[:-1])


_plan = lru_cache(maxsize=64)(_Plan)


class Writer:
    """Writes steps as JSON text in the reader's units."""

    def __init__(self, units: Units) -> None:
        self._names = tuple([(kind, unit.name) for kind, unit in units.items()])

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
        listed: dict[Shown, list[float]] = {step: _listed(step, shape) for step in steps}
        results = [*listed.values()]
        rows: list[Row] = list(zip(*results, strict=True))
        shows = _shows(steps, results, rows, shape)
        used = list(chain.from_iterable([step.inputs for step in steps]))
        inputs = [*dict.fromkeys(used)]
        index = dict(zip(inputs, range(len(inputs)), strict=True))
        plan = _plan(
            tuple([step.form for step in steps]),
            tuple([index[shown] for shown in used]),
            tuple([shown.kind for shown in inputs]),
            tuple([shown.told is not None for shown in inputs]),
            self._names,
        )
        notes = _notes(plan, inputs, known, shows)
        columns = [listed.get(shown) or _listed(shown, shape) for shown in inputs]
        numbers: Sequence[Row] = list(zip(*columns, strict=True)) or [()] * len(rows)
        found = []
        for at, row in enumerate(rows):
            pool = _pooled(plan.put_in, numbers[at])
            pool += [f"{value:.5g}" if -_LONG < value < _LONG else f"{value:.0f}" for value in row]
            pool += notes
            if plan.readers:
                read = plan.read % tuple([(row[r] - zero) / factor for r, factor, zero in plan.readers])
                pool += read.split(_GAP)
            pool.append(",")
            found.append(plan.text(pool, [r for r, there in shows.items() if not there[at]]))
        return found


def _notes(plan: _Plan, inputs: Sequence[Shown], known: Known, shows: Mapping[int, Sequence[bool]]) -> list[str]:
    """What each step's symbols stand for that nothing has explained yet."""
    notes = [""] * len(plan.slices)
    told = {k: shown.told for k, shown in enumerate(inputs) if shown.told is not None}
    untold = {k for k, one in told.items() if known.get(one[0]) != one}
    of_symbol: dict[str, list[int]] = {}
    for k, one in told.items():
        of_symbol.setdefault(one[0], []).append(k)
    for r, given in plan.notes:
        if untold.isdisjoint(given):
            continue
        fresh = [told[k] for k in given if k in untold]
        notes[r] = f',"where":{{{",".join([_where(*one) for one in fresh])}}}'
        if r in shows:
            continue
        for one in fresh:
            known[one[0]] = one
            for k in of_symbol[one[0]]:
                (untold.discard if told[k] == one else untold.add)(k)
    return notes


def _pooled(put_in: str, numbers: Row) -> list[str]:
    """Each number as it is put in, the negative ones in parentheses, and then in parentheses anyway."""
    if not numbers:
        return []
    bare = (put_in % numbers).split(_GAP)
    pool = [""] * (2 * len(bare))
    pool[1::2] = wrapped = [f"({text})" for text in bare]
    pool[::2] = [text if x >= 0.0 else other for text, other, x in zip(bare, wrapped, numbers, strict=True)]
    return pool


def _listed(shown: Shown, shape: Shape) -> list[float]:
    """A number at every place of a shape to which it broadcasts."""
    value, size = shown.value, shape[0] * shape[1] * shape[2]
    if not isinstance(value, np.ndarray):
        return [float(value)] * size
    if value.size == size:
        numbers: list[float] = value.ravel().tolist()
        return numbers
    # adding nothing costs a third of np.broadcast_to
    return [value.item()] * size if value.size == 1 else (value + _nothing(shape)).ravel().tolist()


@lru_cache(maxsize=64)
def _nothing(shape: Shape) -> Any:
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


def _shows(
    steps: Sequence[Step], results: Sequence[Row], rows: Sequence[Row], shape: Shape
) -> dict[int, Sequence[bool]]:
    """Where the steps apply that do not have a value everywhere, by their number."""
    finite = all(total - total == 0.0 for total in map(sum, rows))  # nan, or infinite, as soon as one is
    shows: dict[int, Sequence[bool]] = {}
    for r, step in enumerate(steps):
        if step.only is not None:
            shows[r] = _spread(step.only, shape)
        if not finite:
            total = sum(results[r])
            if total - total != 0.0:
                there = shows.get(r) or [True] * len(rows)
                shows[r] = [one and x - x == 0.0 for one, x in zip(there, results[r], strict=True)]
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
