"""A step of a shown calculation, and the chain that evaluates one step after the other.

A formula is an expression that a person with a pocket calculator and Python read alike: ``+ - * / ^``, parentheses,
and the functions below. The chain evaluates it from the numbers that the step shows, for all aeroplanes, loadings and
conditions at once, so that what is shown is what was computed.
"""

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from operator import itemgetter
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.air.moist import VAPOUR_GAS_CONSTANT
from climbwright.arrays import Floats, Measured, Number

__all__ = ["CONSTANTS", "FUNCTIONS", "SYMBOL", "Chain", "Form", "Shown", "Step", "central", "compiled"]

FUNCTIONS: dict[str, Any] = {
    "sqrt": np.sqrt,
    "cbrt": np.cbrt,
    "sin": np.sin,
    "cos": np.cos,
    "tan": np.tan,
    "asin": np.arcsin,
    "atan": np.arctan,
    "ln": np.log,
    "exp": np.exp,
    "min": np.minimum,
    "max": np.maximum,
    "abs": np.abs,
    "pi": np.pi,
}
SYMBOL = re.compile(r"[A-Za-z_][A-Za-z_0-9]*")

# Numbers that every step may use: value and kind
CONSTANTS: dict[str, tuple[Floats, str]] = {
    symbol: (np.float64(value), kind)
    for symbol, (value, kind) in {
        "g": (standard.GRAVITY, "acceleration"),
        "R": (standard.GAS_CONSTANT, "gas constant"),
        "R_v": (VAPOUR_GAS_CONSTANT, "gas constant"),
        "L": (standard.LAPSE, "temperature gradient"),
        "p_0": (standard.SEA_LEVEL_PRESSURE, "pressure"),
        "T_0": (standard.SEA_LEVEL_TEMPERATURE, "temperature"),
        "rho_0": (standard.SEA_LEVEL_DENSITY, "density"),
        "a_0": (standard.SEA_LEVEL_SPEED_OF_SOUND, "speed"),
    }.items()
}


class Shown:
    """A number that formulas use, as it was when they used it.

    Parameters
    ----------
    value : numpy.float64 or numpy.ndarray
        SI; an array has the axes aircraft, loading, condition.
    kind : str
        Its kind of quantity.
    told : (symbol, code, name), or None
        What gives it where no step does: the code of its words, and a name that belongs to it.
    """

    __slots__ = ("kind", "told", "value")

    def __init__(self, value: Floats, kind: str, told: tuple[str, str, str] | None = None) -> None:
        self.value = value
        self.kind = kind
        self.told = told


class Form:
    """What is the same whenever a step is made at one place of the program, kept between requests.

    Parameters
    ----------
    key : str
        Code of the words that say what is computed.
    symbol : str
        What the formula gives.
    formula : str or None
        None where the value was found by a search; `key` has the words of that too.
    kind : str
        Kind of quantity of the value.
    source : str
        Code of where the formula comes from.
    ends : str or None
        The measure or field that the step answers.
    checks : str or None
        Symbol of a found value that the step only checks.
    names : mapping of str to str
        Names that the words speak of.
    """

    __slots__ = (
        "checks", "ends", "formula", "function", "key", "kind", "names", "picked", "source", "symbol", "symbols"
    )  # fmt: skip

    def __init__(
        self,
        key: str,
        symbol: str,
        formula: str | None,
        kind: str,
        source: str,
        ends: str | None,
        checks: str | None,
        names: Mapping[str, str],
    ) -> None:
        self.key = key
        self.symbol = symbol
        self.formula = formula
        self.kind = kind
        self.source = source
        self.ends = ends
        self.checks = checks
        self.names = names
        self.symbols, self.function = compiled("0") if formula is None else compiled(formula)
        self.picked = _picked(self.symbols)

    def ending(self, ends: str) -> "Form":
        """The same, answering a measure or field."""
        names = [*self.names, *self.names.values()]
        return _form(self.key, self.symbol, self.formula, self.kind, self.source, ends, self.checks, None, *names)


def _picked(symbols: tuple[str, ...]) -> Callable[[Mapping[str, Any]], tuple[Any, ...]]:
    """A function of a table: what it has of each symbol."""
    if not symbols:
        return lambda table: ()
    if len(symbols) == 1:
        return lambda table: (table[symbols[0]],)
    return itemgetter(*symbols)


@lru_cache(maxsize=8192)
def _form(
    key: str,
    symbol: str,
    formula: str | None,
    kind: str,
    source: str,
    ends: str | None,
    checks: str | None,
    what: str | None,
    *names: str,
) -> Form:
    """The form of these; of other names than `what` all, then their values: a cache finds that faster than keywords."""
    half = len(names) // 2
    named = dict(zip(names[:half], names[half:], strict=True))
    if what is not None:
        named["what"] = what
    return Form(key, symbol, formula, kind, source, ends, checks, named)


class Step(Shown):
    """One step, whose value later ones may use.

    Parameters
    ----------
    form : Form
        What it says.
    inputs : tuple of Shown
        The formula's numbers, in the order in which its symbols first appear.
    value : numpy.float64 or numpy.ndarray
        What the formula gives.
    only : numpy.ndarray of bool, or None
        Where the step applies, where another takes its place elsewhere.
    """

    __slots__ = ("form", "inputs", "only")

    def __init__(self, form: Form, inputs: tuple[Shown, ...], value: Floats, only: Any) -> None:
        self.value = value
        self.kind = form.kind
        self.told = None
        self.form = form
        self.inputs = inputs
        self.only = only

    @property
    def key(self) -> str:
        """Code of the words that say what is computed."""
        return self.form.key

    @property
    def symbol(self) -> str:
        """What the formula gives."""
        return self.form.symbol

    @property
    def ends(self) -> str | None:
        """The measure or field that it answers."""
        return self.form.ends


@lru_cache(maxsize=4096)
def compiled(formula: str) -> tuple[tuple[str, ...], Callable[..., Any]]:
    """Symbols of a formula in the order in which they appear, and a function of them.

    Raises
    ------
    SyntaxError
        The formula is no expression.
    """
    symbols = tuple(dict.fromkeys(word for word in SYMBOL.findall(formula) if word not in FUNCTIONS))
    code = f"lambda {', '.join(symbols)}: {formula.replace('^', '**')}"
    return symbols, eval(code, {"__builtins__": {}} | FUNCTIONS)  # the formulas are constants of this package


def central(value: Number) -> Floats:
    """The central case of a number of any of the forms that numbers travel in: the axes after the first.

    One number alone is a numpy.float64: it is reckoned with in a third of the time that an array of it takes.
    """
    if isinstance(value, np.ndarray):
        one = value[0] if value.ndim else value
        return one if one.size > 1 else np.float64(one.item())
    return np.float64(value.value if isinstance(value, Measured) else value)


_constant_values = {symbol: value for symbol, (value, _) in CONSTANTS.items()}
_constants = {symbol: Shown(value, kind, (symbol, symbol, "")) for symbol, (value, kind) in CONSTANTS.items()}


@dataclass(slots=True)
class Chain:
    """Numbers by symbol and the steps so far; a step uses what was given and what earlier steps found."""

    values: dict[str, Floats] = field(default_factory=_constant_values.copy)
    steps: list[Step] = field(default_factory=list)
    checking: str | None = None  # symbol of a found value that the steps from here on only check
    _shown: dict[str, Shown] = field(default_factory=_constants.copy)

    def give(self, symbol: str, value: Number, kind: str, code: str | None = None, name: str = "") -> Floats:
        """A number that the request, the aeroplane or an earlier block gives.

        Parameters
        ----------
        symbol : str
            How formulas call it.
        value : float, Measured or numpy.ndarray
            With a leading axis of cases where it is an array; the central one is taken.
        kind : str
            Kind of quantity.
        code : str, optional
            Code of its words; the symbol where none is given.
        name : str
            A name that belongs to it.
        """
        return self.hold(symbol, central(value), kind, code, name)

    def hold(self, symbol: str, value: Floats, kind: str, code: str | None = None, name: str = "") -> Floats:
        """`give` of a number that is the central case already."""
        self.values[symbol] = value
        self._shown[symbol] = Shown(value, kind, (symbol, code or symbol, name))
        return value

    def step(
        self,
        key: str,
        symbol: str,
        formula: str,
        kind: str,
        source: str,
        *,
        ends: str | None = None,
        only: Any = None,
        what: str | None = None,
        **names: str,
    ) -> Floats:
        """Evaluate a formula and note the step; numpy's warnings are the caller's to turn off.

        Parameters
        ----------
        key, symbol, formula, kind, source, ends, what, **names
            As `Form`; `what` is a name that many steps have, and faster as a parameter of its own.
        only
            As `Step`.

        Returns
        -------
        numpy.float64 or numpy.ndarray
            Where `only` is false, what the symbol was before, or nan.

        Raises
        ------
        KeyError
            A symbol is not known.
        """
        if names:
            form = _form(key, symbol, formula, kind, source, ends, self.checking, what, *names, *names.values())
        else:
            # a call with stars takes half as long again
            form = _form(key, symbol, formula, kind, source, ends, self.checking, what)
        values, shown = self.values, self._shown
        numbers = form.picked(values)
        value = form.function(*numbers) if numbers else np.float64(form.function())
        step = Step(form, form.picked(shown), value, only)
        self.steps.append(step)
        if only is not None:
            return self._set_partly(step)
        values[symbol], shown[symbol] = value, step
        return value

    def found(
        self,
        key: str,
        symbol: str,
        value: Floats,
        kind: str,
        source: str,
        *,
        ends: str | None = None,
        only: Any = None,
        what: str | None = None,
        **names: str,
    ) -> Floats:
        """Note a value that a search found; the steps that check it follow.

        Parameters
        ----------
        key, symbol, kind, source, ends, only, what, **names
            As in `step`.
        value : numpy.float64 or numpy.ndarray
            The central case.
        """
        form = _form(key, symbol, None, kind, source, ends, self.checking, what, *names, *names.values())
        step = Step(form, (), value, only)
        self.steps.append(step)
        if only is not None:
            return self._set_partly(step)
        self.values[symbol], self._shown[symbol] = value, step
        return value

    def end(self, ends: Mapping[str, str]) -> None:
        """Let the steps that give these symbols answer these fields; a symbol that was given has no step."""
        for step in self.steps:
            if step.ends is None and step.symbol in ends:
                step.form = step.form.ending(ends[step.symbol])

    def _set_partly(self, step: Step) -> Floats:
        """Elsewhere the symbol stays what it was, and is explained as before."""
        symbol, before = step.symbol, self._shown.get(step.symbol)
        value = np.where(step.only, step.value, np.nan if before is None else before.value)
        self.values[symbol] = value
        self._shown[symbol] = Shown(value, step.kind, None if before is None else before.told)
        return value

    def needed(
        self, wanted: Collection[str], exists: Mapping[str, Any] | None = None, symbols: Collection[str] = ()
    ) -> list[Step]:
        """The steps that lead to what is wanted, and those that check a found value among them.

        Parameters
        ----------
        wanted : collection of str
            Measures or fields.
        exists : mapping of str to array of bool, optional
            Where a measure exists; everywhere if it is not named.
        symbols : collection of str
            Symbols that are wanted too.

        Returns
        -------
        list of Step
            In order; `only` says where each is needed, None everywhere.
        """
        if not exists and all(step.only is None for step in self.steps):
            forms = tuple([step.form for step in self.steps])
            return [self.steps[k] for k in _leading(forms, frozenset(wanted), frozenset(symbols))]
        exists = exists or {}
        everywhere = set(symbols)
        partly: dict[str, Any] = {}
        for step in self.steps:
            if step.ends is not None and step.ends in wanted:
                symbol, where = step.form.symbol, exists.get(step.ends)
                if where is None:
                    everywhere.add(symbol)
                else:
                    partly[symbol] = _either(partly.get(symbol), where)
        kept = []
        for step in reversed(self.steps):
            form, where = step.form, step.only
            needed = form.checks or form.symbol
            if needed not in everywhere:
                if needed not in partly:
                    continue
                where = partly[needed] if where is None else partly[needed] & where
            if where is None:
                everywhere.update(form.symbols)
            else:
                for symbol in form.symbols:
                    if symbol not in everywhere:
                        partly[symbol] = _either(partly.get(symbol), where)
                step.only = where
            kept.append(step)
        kept.reverse()
        return kept


@lru_cache(maxsize=128)
def _leading(forms: tuple[Form, ...], wanted: frozenset[str], symbols: frozenset[str]) -> list[int]:
    """Which steps lead to what is wanted, of steps that apply everywhere; as `Chain.needed`."""
    need, kept = {*symbols, *(form.symbol for form in forms if form.ends in wanted)}, list[int]()
    for k, form in reversed([*enumerate(forms)]):
        if (form.checks or form.symbol) in need:
            need.update(form.symbols)
            kept.append(k)
    kept.reverse()
    return kept


def _either(one: Any, other: Any) -> Any:
    return other if one is None or one is other else one | other
