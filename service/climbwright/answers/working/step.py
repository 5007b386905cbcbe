"""A step of a shown calculation, and the chain that evaluates one step after the other.

A formula is an expression that a person with a pocket calculator and Python read alike: ``+ - * / ^``, parentheses,
and the functions below. The chain evaluates it from the numbers that the step shows, for all aeroplanes, loadings and
conditions at once, so that what is shown is what was computed.
"""

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.air.moist import VAPOUR_GAS_CONSTANT
from climbwright.arrays import Floats, Measured, Number

__all__ = ["CONSTANTS", "FUNCTIONS", "SYMBOL", "Chain", "Step", "central", "compiled"]

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
_constant_values = {symbol: value for symbol, (value, _) in CONSTANTS.items()}
_constant_kinds = {symbol: kind for symbol, (_, kind) in CONSTANTS.items()}
_constant_words = {symbol: (symbol, symbol, "") for symbol in CONSTANTS}


@dataclass(slots=True)  # frozen would double the cost of making one
class Step:
    """One step, its numbers SI: floats, or arrays with the axes aircraft, loading, condition.

    Parameters
    ----------
    key : str
        Code of the words that say what is computed.
    symbol : str
        What the formula gives.
    formula : str or None
        None where the value was found by a search; `key` has the words of that too.
    symbols : tuple of str
        Those of the formula, in the order in which they first appear.
    numbers : list
        Their values.
    kinds : tuple of str
        Their kinds.
    value : numpy.float64 or numpy.ndarray
        What the formula gives.
    kind : str
        Its kind of quantity.
    source : str
        Code of where the formula comes from.
    names : mapping of str to str
        Names that the words speak of.
    givens : list of (symbol, code, name)
        Which inputs come from no earlier step: the code of their words, and a name that belongs to them.
    ends : str or None
        The measure or field that this step answers.
    checks : str or None
        Symbol of a found value that this step only checks.
    only : numpy.ndarray of bool, or None
        Where the step applies, where another takes its place elsewhere.
    """

    key: str
    symbol: str
    formula: str | None
    symbols: tuple[str, ...]
    numbers: list[Floats]
    kinds: tuple[str, ...]
    value: Floats
    kind: str
    source: str
    names: Mapping[str, str]
    givens: list[tuple[str, str, str]]
    ends: str | None = None
    checks: str | None = None
    only: Any = None

    def where(self, only: Any) -> "Step":
        """The same step where it applies."""
        return Step(
            self.key, self.symbol, self.formula, self.symbols, self.numbers, self.kinds, self.value, self.kind,
            self.source, self.names, self.givens, self.ends, self.checks, only,
        )  # fmt: skip


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
    """The central case of a number of any of the forms that numbers travel in: a float, or the axes after the first."""
    if isinstance(value, np.ndarray) and value.ndim:
        return value[0]
    return np.float64(value.value if isinstance(value, Measured) else value)


@dataclass(slots=True)
class Chain:
    """Numbers by symbol and the steps so far; a step uses what was given and what earlier steps found."""

    values: dict[str, Floats] = field(default_factory=_constant_values.copy)
    kinds: dict[str, str] = field(default_factory=_constant_kinds.copy)
    steps: list[Step] = field(default_factory=list)
    checking: str | None = None  # symbol of a found value that the steps from here on only check
    _given: dict[str, tuple[str, str, str]] = field(default_factory=_constant_words.copy)

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
        self.values[symbol], self.kinds[symbol] = value, kind
        self._given[symbol] = (symbol, code or symbol, name)
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
        **names: str,
    ) -> Floats:
        """Evaluate a formula and note the step; numpy's warnings are the caller's to turn off.

        Parameters
        ----------
        key, symbol, formula, kind, source, ends, only
            As `Step`.
        **names
            Names that the words speak of.

        Returns
        -------
        numpy.float64 or numpy.ndarray
            Where `only` is false, what the symbol was before, or nan.

        Raises
        ------
        KeyError
            A symbol is not known.
        """
        symbols, function = compiled(formula)
        values, known, given = self.values, self.kinds, self._given
        numbers = [values[name] for name in symbols]
        kinds = tuple([known[name] for name in symbols])
        told = [given[name] for name in symbols if name in given]
        value = function(*numbers) if numbers else np.float64(function())
        checks = self.checking
        self.steps.append(
            Step(key, symbol, formula, symbols, numbers, kinds, value, kind, source, names, told, ends, checks, only)
        )
        if only is not None:
            return self._set(symbol, value, kind, only)
        values[symbol], known[symbol] = value, kind
        if symbol in given:
            del given[symbol]
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
        **names: str,
    ) -> Floats:
        """Note a value that a search found; the steps that check it follow.

        Parameters
        ----------
        key, symbol, kind, source, ends, only
            As `Step`.
        value : float or numpy.ndarray
            The central case.
        **names
            Names that the words speak of.
        """
        checks = self.checking
        self.steps.append(Step(key, symbol, None, (), [], (), value, kind, source, names, [], ends, checks, only))
        return self._set(symbol, value, kind, only)

    def end(self, ends: Mapping[str, str]) -> None:
        """Let the steps that give these symbols answer these fields; a symbol that was given has no step."""
        self.steps = [
            replace(step, ends=ends[step.symbol]) if step.symbol in ends and step.ends is None else step
            for step in self.steps
        ]

    def _set(self, symbol: str, value: Floats, kind: str, only: Any) -> Floats:
        if only is None:
            self._given.pop(symbol, None)
        else:
            value = np.where(only, value, self.values.get(symbol, np.nan))
        self.values[symbol], self.kinds[symbol] = value, kind
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
        exists = exists or {}
        need: dict[str, Any] = dict.fromkeys(symbols, True)
        for step in self.steps:
            if step.ends is not None and step.ends in wanted:
                need[step.symbol] = _either(need.get(step.symbol, False), exists.get(step.ends, True))
        kept = []
        for step in reversed(self.steps):
            where = need.get(step.checks or step.symbol, False)
            if where is False:
                continue
            if step.only is not None:
                where = _both(where, step.only)
            if where is True:
                for symbol in step.symbols:
                    need[symbol] = True
            else:
                for symbol in step.symbols:
                    need[symbol] = _either(need.get(symbol, False), where)
                if where is not step.only:
                    step = step.where(where)
            kept.append(step)
        kept.reverse()
        return kept


def _either(one: Any, other: Any) -> Any:
    return True if one is True or other is True else one | other


def _both(one: Any, other: Any) -> Any:
    return other if one is True else one if other is True else one & other
