"""What every phase of a worked flight shares: the chain, the flight as evaluated, thrust, drag and rate of climb."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.aircraft.loading import Amount
from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.step import Chain, central
from climbwright.arrays import Floats, field_names
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.momentum import shaft_power_for

__all__ = ["HERE", "Case", "Names"]

_LOWRY, _ANDERSON, _GLAUERT = "lowry", "anderson-6", "glauert"


@dataclass(frozen=True, slots=True)
class Names:
    """Symbols of what thrust and drag depend on, where flaps, a turn or other air change some of them."""

    E: str = "E"
    F: str = "F"
    K: str = "K"
    H: str = "H"
    f: str = "f"
    W: str = "W"
    n: str = ""  # load factor; none in straight flight
    rho: str = "rho"
    sigma: str = "sigma"
    Phi: str = "Phi"
    P: str = "P"

    def at(self, **symbols: str) -> "Names":
        """With other symbols for some."""
        return replace(self, **symbols)


HERE = Names()


# What flies; what else there is of a flight is only looked up
_SLICED = ("airframe", "propulsion", "lapse", "air", "power_ratio", "stalls", "headwind")


def _sliced(node: Any) -> Any:
    """The first case alone of every array of a tree of descriptions."""
    if isinstance(node, np.ndarray):
        return node[:1] if node.ndim else node
    if isinstance(node, tuple):
        return tuple(_sliced(item) for item in node)
    if isinstance(node, dict):
        return {name: _sliced(item) for name, item in node.items()}
    kind: Any = type(node)
    names = field_names(kind)
    return kind(**{name: _sliced(getattr(node, name)) for name in names}) if names else node


@dataclass(slots=True)
class Case:
    """A chain for aeroplanes with one kind of propulsion, the flight that was evaluated, and its answer."""

    chain: Chain
    flight: Flight
    answer: Evaluation
    loadings: Sequence[Mapping[str, Amount]] = ()
    spread: bool = True  # whether arrays have cases of spreads along their first axis
    wanted: Collection[str] = ()  # measures that are answered
    _central: Flight | None = None

    @property
    def kind(self) -> str:
        """fixed, efficiency or governed: which propulsion."""
        propulsion = self.flight.propulsion
        if isinstance(propulsion, FixedPitch):
            return "fixed"
        return "efficiency" if isinstance(propulsion, ConstantEfficiency) else "governed"

    @property
    def torque(self) -> bool:
        """Whether a fixed pitch is limited by the engine's torque, not its power."""
        return isinstance(self.flight.propulsion, FixedPitch) and self.flight.propulsion.limited_by == "torque"

    def measure(self, name: str) -> Floats:
        """A measure as it was answered, its central case."""
        return central(self.answer.measures[name])

    def speed(self, name: str) -> Floats:
        """A true airspeed as it was answered, its central case."""
        return central(self.answer.speeds[name])

    def central_flight(self) -> Flight:
        """The flight without the cases of its spreads, arrays of the same axes; its aircraft keeps them."""
        if self._central is None:
            self._central = self.flight
            if self.spread:
                parts = {name: _sliced(getattr(self.flight, name)) for name in _SLICED}
                self._central = replace(self.flight, **parts)
        return self._central

    def wants(self, *measures: str) -> bool:
        """Whether one of the measures is answered: steps to others would be left out."""
        return any(measure in self.wanted for measure in measures)

    def needs(self, *symbols: str) -> bool:
        """Whether none of the symbols is known yet."""
        return not any(symbol in self.chain.values for symbol in symbols)

    def terms(self, n: Names = HERE) -> None:
        """E, F, K and H of a fixed pitch; of the others H alone. What is known already is not shown again."""
        chain, known = self.chain, self.chain.values
        if n.H not in known:
            lift = f"({n.n}*{n.W})" if n.n else n.W
            formula = f"2*{lift}^2/({n.rho}*pi*e_w*b^2)"
            chain.step("induced-term", n.H, formula, "induced term", "anderson-5")
        if self.kind != "fixed":
            return
        if n.E not in known:
            formula = f"E_0*{n.Phi}" if self.torque else f"E_0*cbrt({n.Phi}^2*{n.sigma})"
            chain.step("static-term", n.E, formula, "force", _LOWRY)
        if n.F not in known:
            chain.step("slope-term", n.F, f"F_0*{n.sigma}", "thrust slope", _LOWRY)
        if n.K not in known:
            chain.step("combined-term", n.K, f"{n.F} - {n.rho}*{n.f}/2", "thrust slope", _LOWRY)

    def sea_level_terms(self) -> None:
        """K_0 and H_0, the same at standard sea level."""
        if self.kind == "fixed" and self.needs("K_0"):
            self.chain.step("combined-term-0", "K_0", "F_0 - rho_0*f/2", "thrust slope", _LOWRY)
        if self.needs("H_0"):
            formula = "2*W^2/(rho_0*pi*e_w*b^2)"
            self.chain.step("induced-term-0", "H_0", formula, "induced term", "anderson-5")

    def thrust(self, speed: str, suffix: str, n: Names = HERE) -> str:
        """Thrust at full throttle at a true airspeed, or standing still where `speed` is none; its symbol."""
        chain, symbol, what = self.chain, f"Th{suffix}", suffix.strip("_")
        if self.kind == "efficiency":
            chain.step("thrust", symbol, f"eta*{n.P}/{speed}", "force", _ANDERSON, what=what)
            return symbol
        if self.kind == "governed":
            quality = f"q{suffix}" if speed else "q_0"
            if speed:
                formula = f"q_1 - (q_1 - q_0)*max(1 - {speed}/V_q, 0)^2"
                chain.step("quality", quality, formula, "ratio", "common-practice", what=what)
            return self._disc(symbol, speed, f"{n.P}*{quality}", suffix, n, None)
        formula = f"{n.E} + {n.F}*{speed}^2" if speed else n.E
        above = self._above_disc(speed, n)
        if above is None:
            chain.step("thrust", symbol, formula, "force", _LOWRY, what=what)
            return symbol
        linear = f"Tl{suffix}"
        chain.step("thrust-linear", linear, formula, "force", _LOWRY, what=what)
        ideal = self._disc(f"Ti{suffix}", speed, n.P, suffix, n, above)
        formula = f"min({linear}, {ideal})"
        chain.step("thrust-limited", symbol, formula, "force", _GLAUERT, only=above, what=what)
        if not above.all():
            chain.step("thrust-unlimited", symbol, linear, "force", _LOWRY, only=~above, what=what)
        return symbol

    def _above_disc(self, speed: str, n: Names) -> Floats:
        """Where the linear thrust is more than a loss-free disc of that size would give; None if nowhere."""
        values, propulsion = self.chain.values, self.flight.propulsion
        if not isinstance(propulsion, FixedPitch) or propulsion.diameter is None:
            return None
        true = values[speed] if speed else np.float64(0.0)
        linear = np.maximum(values[n.E] + values[n.F] * true**2, 0.0)
        needed = shaft_power_for(linear, central(propulsion.diameter), values[n.rho], true)
        above = np.asarray(needed > values[n.P])
        return above if above.any() else None

    def _disc(self, symbol: str, speed: str, power: str, suffix: str, n: Names, only: Floats) -> str:
        """Thrust of a loss-free disc from the power put into the air."""
        chain, induced, what = self.chain, f"v{suffix}", suffix.strip("_")
        formula = f"cbrt({power}/({n.rho}*pi*d^2/2))"
        chain.step("induced-speed", induced, formula, "speed", _GLAUERT, only=only, what=what)
        share = f"y{suffix}"
        if not speed:
            chain.step("disc-thrust", symbol, f"{power}/{induced}", "force", _GLAUERT, only=only, what=what)
            return symbol
        cube = f"({speed}/(3*{induced}))^3"
        formula = f"cbrt(1/2 + sqrt(1/4 + {cube})) + cbrt(1/2 - sqrt(1/4 + {cube}))"
        chain.step("disc-share", share, formula, "ratio", _GLAUERT, only=only, what=what)
        formula = f"{power}*{share}/{induced}"
        chain.step("disc-thrust", symbol, formula, "force", _GLAUERT, only=only, what=what)
        return symbol

    def drag(self, speed: str, suffix: str, n: Names = HERE) -> str:
        """Drag at a true airspeed; its symbol."""
        symbol = f"D{suffix}"
        formula = f"{n.rho}*{n.f}*{speed}^2/2 + {n.H}/{speed}^2"
        self.chain.step("drag", symbol, formula, "force", "anderson-5", what=suffix.strip("_"))
        return symbol

    def rate(
        self,
        key: str,
        speed: str,
        suffix: str,
        n: Names = HERE,
        ends: str | None = None,
    ) -> str:
        """Rate of climb at a true airspeed and full throttle; its symbol."""
        thrust, drag = self.thrust(speed, suffix, n), self.drag(speed, suffix, n)
        formula = f"{speed}*({thrust} - {drag})/{n.W}"
        self.chain.step(key, f"w{suffix}", formula, "vertical speed", _ANDERSON, ends=ends)
        return f"w{suffix}"

    def may_bind(self, n: Names = HERE) -> bool:
        """Whether momentum theory may take thrust from a fixed pitch, so that its best speeds are searched for."""
        propulsion = self.flight.propulsion
        if not isinstance(propulsion, FixedPitch) or propulsion.diameter is None:
            return False
        values = self.chain.values
        return bool(propulsion.may_be_bound or np.any(values[n.Phi] > values[n.sigma]))

    def searches(self, n: Names = HERE) -> bool:
        """Whether a best speed there needs what the answer's own functions find."""
        return self.kind == "governed" or self.may_bind(n)

    def best_rate_speed(
        self, symbol: str, floor: str, found: Floats, n: Names = HERE, what: str = "best-climb"
    ) -> None:
        """True airspeed of the best rate of climb, not below the floor.

        `found` is what the answer's own functions find, nan where no search is needed.
        """
        if self.kind == "governed":
            self.chain.found("best-rate-speed", symbol, found, "speed", _GLAUERT, what=what)
            return
        unheld = f"{symbol}u"
        if self.kind == "fixed":
            formula = f"sqrt((-{n.E} - sqrt({n.E}^2 - 12*{n.K}*{n.H}))/(6*{n.K}))"
            self.chain.step("best-rate-speed", unheld, formula, "speed", _LOWRY, what=what)
        else:
            formula = f"(2*{n.H}/(3*{n.rho}*{n.f}))^(1/4)"
            self.chain.step("best-rate-speed", unheld, formula, "speed", _ANDERSON, what=what)
        self.held(symbol, unheld, floor, what, found)

    def bound(self, closed: Floats, found: Floats) -> Floats:
        """Where a search found another value than the closed form, None if nowhere."""
        if isinstance(found, float) and math.isnan(found):
            return None  # nothing was searched for
        other = np.asarray(np.abs(found - closed) > 1e-10 * np.abs(closed))
        return other if other.any() else None

    def held(self, symbol: str, unheld: str, floor: str, what: str, found: Floats = np.nan) -> None:
        """A speed, not below the floor; where the answer's own functions find another, that one."""
        formula = f"max({unheld}, {floor})"
        self.chain.step("held-speed", symbol, formula, "speed", "common-practice", what=what)
        other = self.bound(self.chain.values[symbol], found)
        if other is None:
            return
        self.chain.steps[-1].only = ~other
        if other.all():
            self.chain.steps.pop()
        self.chain.found("bound-speed", symbol, found, "speed", _GLAUERT, what=what, only=other)

    def shown(self, true: str, number: str, ends: str, what: str) -> None:
        """A true airspeed as calibrated, and as indicated where that is asked for."""
        worked_air.calibrated(self.chain, true, f"qc_{number}", f"Vc_{number}", f"{ends}_calibrated", what)
        self.indicated(f"Vc_{number}", f"Vi_{number}", f"{ends}_indicated", what)

    def indicated(self, calibrated: str, symbol: str, ends: str, what: str) -> None:
        """A calibrated airspeed through the owner's table."""
        if ends not in self.answer.measures:
            return
        aircraft = self.answer.aircraft
        table, learned = aircraft.airspeed_correction, aircraft.airspeed_errors is not None
        if learned:
            read = f"{symbol}r" if table else symbol
            worked_air.read_with_errors(self.chain, calibrated, read, self.errors(), None if table else ends, what)
            calibrated = read
        if not table:
            if not learned:
                self.chain.step("no-table", symbol, calibrated, "speed", "no-table", ends=ends, what=what)
            return
        columns = [p.calibrated for p in table], [p.indicated for p in table]
        worked_air.corrected(self.chain, "indicated-of-calibrated", calibrated, symbol, columns, ends, what)

    def errors(self) -> str:
        """What was learned of the airspeed system, once; the symbol of the stall speed that it hangs on."""
        errors = self.answer.aircraft.airspeed_errors
        if errors is not None and self.needs("k_n"):
            self.chain.give("k_n", errors.near_stall, "ratio", "error-near-stall")
            self.chain.give("k_c", errors.cruise, "ratio", "error-cruise")
            self.chain.hold("V_se", self.measure("stall_speed_calibrated"), "speed", "stall-here")
        return "V_se"
