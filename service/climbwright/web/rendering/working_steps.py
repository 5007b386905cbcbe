"""Steps of the shown calculation as JSON text.

Numbers put in have seven significant digits and results five, so that the shown numbers reproduce the shown result.
The numbers of a whole answer are written at once. Steps whose numbers have one shape are a text with gaps, filled for
each place of the shape; which number goes into which gap depends on what is computed and not on the numbers, and is
kept between requests.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, chain
from typing import Any

import numpy as np
import orjson

from climbwright.answers.working.step import CONSTANTS, FUNCTIONS, SYMBOL, Form, Shown, Step
from climbwright.arrays import Floats
from climbwright.units import KINDS, Unit
from climbwright.web.rendering import digits
from climbwright.web.rendering.quantities import Units
from climbwright.web.words.numbers import decimals
from climbwright.web.working_words import SI, given_words, source_words, step_words

__all__ = ["Block", "Known", "Writer"]

_PIECE = re.compile(r"([A-Za-z_][A-Za-z_0-9]*)")
_GAP = "\x00"  # stands where a number goes into a text: JSON writes it in another way
_KEPT = 64  # places of a shape up to which arrays of it are kept between requests
_PUT_IN, _RESULT, _READER = 7, 5, 6  # significant digits; the reader's where the trade has no number of decimals
Known = dict[str, tuple[str, str, str]]
Shape = tuple[int, int, int]  # of aeroplanes, loadings and conditions
Told = tuple[str, str, str] | None
_Gap = tuple[int, bool, str]  # what of the pool fills it, whether it stands in parentheses, and its unit


@dataclass(slots=True)
class Block:
    """Steps that are shown together.

    Parameters
    ----------
    steps : list of Step
        With numbers of any shape.
    shape : tuple of int
        Of aeroplanes, loadings and conditions, to which the numbers broadcast.
    known : dict
        Symbols that have been explained where these steps stand; those that they explain are added.
    """

    steps: list[Step]
    shape: Shape
    known: Known


def _template(formula: str, kinds: Sequence[str]) -> tuple[str, tuple[_Gap, ...]]:
    """The formula with gaps for its numbers.

    `kinds` are those of the symbols in the order in which they first appear, which is how the gaps number them.
    """
    symbols = list(dict.fromkeys(word for word in SYMBOL.findall(formula) if word not in FUNCTIONS))
    parts = _PIECE.split(formula)
    text, gaps = "", []
    for i, part in enumerate(parts):
        if i % 2 == 0 or part in FUNCTIONS:
            text += part
            continue
        number = symbols.index(part)
        unit = SI[kinds[number]]
        if kinds[number] == "gas constant":
            # all its digits, because it stands in exponents; its unit has a blank and a stroke
            text += f"({CONSTANTS[part][0]:.8g} {unit})" if text.endswith("/") else f"{CONSTANTS[part][0]:.8g} {unit}"
            continue
        composite = "/" in unit or " " in unit
        wrapped = bool(unit) and (parts[i + 1].startswith("^") or (composite and text.endswith("/")))
        text += _GAP
        gaps.append((number, wrapped, f" {unit}" if unit else ""))
    return text, tuple(gaps)


@lru_cache(maxsize=4096)
def _quoted(text: str) -> str:
    """A text as JSON, in which a gap cannot stand."""
    return orjson.dumps(text).decode()


@lru_cache(maxsize=4096)
def _where(symbol: str, code: str, name: str) -> str:
    return f"{_quoted(symbol)}:{_quoted(given_words(code, name))}"


class _Plan:
    """How steps are written of which only the numbers change: texts with gaps, and what fills them.

    They are filled from a pool: the inputs, then the results, then those that a reader has in another unit, in that.

    Parameters
    ----------
    forms : tuple of Form
        Of each step.
    used : tuple of int
        Which input each symbol of each formula is, one formula after the other.
    kinds : tuple of str
        Of each input.
    names : str
        Each kind and its reader's unit, parted by gaps: a cache finds one text faster than many.
    """

    def __init__(self, forms: tuple[Form, ...], used: tuple[int, ...], kinds: tuple[str, ...], names: str) -> None:
        words, start = names.split(_GAP), 0
        units = dict(zip(words[::2], words[1::2], strict=True))
        self.inputs: list[tuple[int, ...]] = []  # of each step
        self.pieces: list[list[str]] = []  # of each step: before each gap, and before and after its notes
        self.gaps: list[list[_Gap]] = []  # of each step
        read: list[tuple[int, Unit, int | None]] = []
        for r, form in enumerate(forms):
            inputs = used[start : start + len(form.symbols)]
            start += len(inputs)
            text, places, reader = _static(form, tuple([kinds[k] for k in inputs]), units.get(form.kind))
            gaps = [(inputs[k], wrapped, unit) for k, wrapped, unit in places]
            gaps.append((len(kinds) + r, False, _after(SI[form.kind])))
            if reader is not None:
                gaps.append((len(kinds) + len(forms) + len(read), False, _after(reader.name)))
                read.append((r, reader, decimals(form.kind, reader)))
            self.inputs.append(inputs)
            self.pieces.append(text.split(_GAP))
            self.gaps.append(gaps)
        self.read = read  # number of each step that a reader has in another unit, that unit, and its decimals


class _Readings:
    """Numbers that a reader has in another unit: whose they are, and what that unit makes of them.

    Parameters
    ----------
    read : list of (int, Unit, int or None)
        Number of each step that is read in another unit, that unit, and its decimals.
    size : int
        How many places each has.
    """

    def __init__(self, read: Sequence[tuple[int, Unit, int | None]], size: int) -> None:
        self.steps = np.array([r for r, _, _ in read], dtype=np.intp)
        self.factor = np.array([unit.factor for _, unit, _ in read]).repeat(size)
        self.zero = np.array([unit.zero for _, unit, _ in read]).repeat(size)
        last = [_READER - 1.0 if places is None else float(places) for _, _, places in read]
        self.last = np.array(last).repeat(size)
        self.floating = np.array([places is None for _, _, places in read], dtype=bool).repeat(size)


_plan = lru_cache(maxsize=64)(_Plan)


@lru_cache(maxsize=256)
def _readings(plan: _Plan, size: int) -> _Readings:
    return _Readings(plan.read, size)


def _after(unit: str) -> str:
    return f" {unit}" if unit not in ("", "1") else ""


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


@lru_cache(maxsize=256)
def _woven(layout: _Layout, signs: bytes, absent: tuple[int, ...]) -> tuple[list[str], Any]:
    """The text of steps around gaps, which are every second place of a list, and what of the pool fills them.

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
        for part, (k, wrapped, unit) in zip(parts, gaps, strict=True):
            bare = not (wrapped or signs[k : k + 1] == b"\x01")  # results come after all inputs, and stand alone
            pieces.append(f"{text}{part}" if bare else f"{text}{part}(")
            filled.append(k)
            text = unit if bare else f"{unit})"
        text += f"{last}{layout.notes[r]}{source},"
    woven = [""] * (2 * len(pieces) + 1)
    woven[::2] = [*pieces, text[:-1]]
    return woven, np.array(filled, dtype=np.intp)


class Writer:
    """Writes steps as JSON text in the reader's units."""

    def __init__(self, units: Units) -> None:
        self._names = _GAP.join([f"{kind}{_GAP}{unit.name}" for kind, unit in units.items()])

    def texts(self, blocks: Sequence[Block]) -> list[list[str]]:
        """The steps of each block at each place of its shape, parted by commas, without those that do not apply there.

        Parameters
        ----------
        blocks : sequence of Block
            Those of one answer, in order; none where no measure has a value.
        """
        if not blocks:
            return []
        inputs = [*dict.fromkeys(chain.from_iterable([s.inputs for block in blocks for s in block.steps]))]
        shown = [*inputs, *chain.from_iterable([block.steps for block in blocks])]
        starts = [0, *accumulate([one.value.size for one in shown])]
        numbers = _flat([one.value for one in shown])
        first, begin, end = dict(zip(inputs, starts, strict=False)), len(inputs), len(numbers)
        laid: list[_Laid] = []
        for block in blocks:
            one = _Laid(block, self._names, first, starts[begin : begin + len(block.steps)], end)
            begin, end = begin + len(block.steps), end + one.readings.zero.size
            laid.append(one)
        read = [one.readings for one in laid]
        results = numbers[np.concatenate([one.read for one in laid], axis=None)]
        zero, factor = np.concatenate([one.zero for one in read]), np.concatenate([one.factor for one in read])
        last = _last(starts[len(inputs)], len(numbers)), *[one.last for one in read]
        floating = np.ones(len(numbers), dtype=bool), *[one.floating for one in read]
        texts = digits.texts(
            np.concatenate([numbers, (results - zero) / factor]), np.concatenate(last), np.concatenate(floating)
        )
        finite = np.isfinite(numbers)
        finite = None if finite.all() else finite
        negative = numbers < 0.0
        return [one.filled(negative, finite, texts) for one in laid]


class _Laid:
    """A block and where its numbers lie among those of an answer.

    Parameters
    ----------
    block : Block
        The steps.
    names : str
        As for `_Plan`.
    first : dict of Shown to int
        Where the numbers of every input begin.
    results : list of int
        Where those of each step begin.
    end : int
        Where those of the reader will.
    """

    __slots__ = ("block", "inputs", "places", "plan", "read", "readings")

    def __init__(self, block: Block, names: str, first: dict[Shown, int], results: list[int], end: int) -> None:
        steps = block.steps
        used = list(chain.from_iterable([step.inputs for step in steps]))
        inputs = [*dict.fromkeys(used)]
        index = dict(zip(inputs, range(len(inputs)), strict=True))
        forms, kinds = tuple([step.form for step in steps]), tuple([shown.kind for shown in inputs])
        plan = _plan(forms, tuple([index[shown] for shown in used]), kinds, names)
        size = math.prod(block.shape)
        kept = size <= _KEPT
        readings = (_readings if kept else _readings.__wrapped__)(plan, size)
        shapes = tuple([one.value.shape for one in (*inputs, *steps)])
        begins = [*[first[shown] for shown in inputs], *results, *range(end, end + readings.zero.size, size)]
        self.block = block
        self.inputs = inputs
        self.plan = plan
        self.readings = readings
        places = (_places if kept else _places.__wrapped__)(shapes, readings.steps.size, block.shape)
        self.places = places + np.array(begins, dtype=np.intp)[:, None]
        self.read = self.places[readings.steps + len(inputs)]

    def filled(self, negative: Any, finite: Any, texts: Sequence[str]) -> list[str]:
        """The steps at each place.

        Parameters
        ----------
        negative, finite : numpy.ndarray of bool
            Of all numbers of the answer; None where all are finite.
        texts : sequence of str
            Those numbers, and then the reader's.
        """
        steps, inputs = self.block.steps, len(self.inputs)
        there = None if finite is None else finite[self.places[inputs : inputs + len(steps)]]
        shows = _shows(steps, there, self.block.shape)
        layout = self._layout(tuple(shows))
        signs = negative[self.places[:inputs]].T.tobytes()
        count = self.places.shape[1]
        if not shows and signs == signs[:inputs] * count:
            woven, filling = _woven(layout, signs[:inputs], ())
            return [_filled_in(woven, texts, row) for row in self.places[filling].T.tolist()]
        found: list[str] = []  # a generic type that is called costs microseconds
        for at in range(count):
            absent = tuple([r for r, shown in shows.items() if not shown[at]])
            woven, filling = _woven(layout, signs[at * inputs : (at + 1) * inputs], absent)
            found.append(_filled_in(woven, texts, self.places[filling, at].tolist()))
        return found

    def _layout(self, partly: tuple[int, ...]) -> "_Layout":
        """Its layout where these steps do not apply everywhere; what it explains is known from here on."""
        told, known = tuple([shown.told for shown in self.inputs]), self.block.known
        same = tuple([one is not None and known.get(one[0]) == one for one in told]) if known else (False,) * len(told)
        layout = _layout(self.plan, told, same, partly)
        known.update(layout.learnt)
        return layout


@lru_cache(maxsize=32)
def _last(inputs: int, numbers: int) -> Floats:
    """Place of the last digit, after the first: of so many numbers put in, and of results up to so many numbers."""
    last = np.full(numbers, _RESULT - 1.0)
    last[:inputs] = _PUT_IN - 1.0
    return last


def _filled_in(woven: list[str], texts: Sequence[str], places: Sequence[int]) -> str:
    """A text with its gaps filled by the texts at these places."""
    text = woven.copy()
    text[1::2] = [texts[k] for k in places]
    return "".join(text)


def _flat(values: list[Floats]) -> Floats:
    """Numbers of any shapes one after the other."""
    if {value.dtype for value in values} != {np.dtype(float)}:
        values = [np.asarray(value, float) for value in values]
    try:
        # in a tenth of the time of np.concatenate, which converts each
        return np.frombuffer(b"".join(values))
    except BufferError:  # one is a view with gaps
        return np.frombuffer(b"".join([value.tobytes() for value in values]))


@lru_cache(maxsize=256)
def _places(shapes: tuple[tuple[int, ...], ...], reads: int, shape: Shape) -> Any:
    """Which number of arrays of these shapes, and then of so many of the whole shape, stands at each place of it."""
    own = [np.arange(math.prod(one)).reshape(one) for one in (*shapes, *(reads * (shape,)))]
    return np.array([np.broadcast_to(one, shape).ravel() for one in own], dtype=np.intp).reshape(len(own), -1)


@lru_cache(maxsize=8192)
def _static(form: Form, kinds: tuple[str, ...], named: str | None) -> tuple[str, tuple[_Gap, ...], Unit | None]:
    """A step's text with gaps, those of its formula, and the reader's unit where that is another.

    The last gaps are of the result, the same in the reader's unit if there is one, and what symbols stand for.
    """
    formula, unit = form.formula, SI[form.kind]
    said = f"{form.symbol}: found by a search, checked below" if formula is None else f"{form.symbol} = {formula}"
    text = f'{{"quantity":{_quoted(step_words(form.key, form.names))},"formula":{_quoted(said)}'
    gaps: tuple[_Gap, ...] = ()
    if formula is not None:
        filled, gaps = _template(formula, kinds)
        text += f',"with_numbers":"{filled}"'
    text += f',"result":"{_GAP}"'
    reader = None if named is None or named == (unit or "1") else KINDS[form.kind].units[named]
    if reader is not None:
        text += f',"reader":"{_GAP}"'
    return f'{text}{_GAP},"source":{_quoted(source_words(form.source))}}}', gaps, reader


def _shows(steps: Sequence[Step], finite: Any, shape: Shape) -> dict[int, Sequence[bool]]:
    """Where the steps apply that do not have a value everywhere, by their number, which rises."""
    shows: dict[int, Sequence[bool]] = {r: _spread(s.only, shape) for r, s in enumerate(steps) if s.only is not None}
    if finite is None or finite.all():
        return shows
    for r in np.flatnonzero(~finite.all(axis=1)).tolist():
        there = finite[r].tolist()
        shows[r] = [one and other for one, other in zip(shows[r], there, strict=True)] if r in shows else there
    return dict(sorted(shows.items()))


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
