"""What every phase shares: the aeroplane in its air, loaded, with its engine and propeller."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from climbwright.air.airspeed import calibrated_from_true, mach_from_calibrated, true_from_mach
from climbwright.air.state import Air
from climbwright.aircraft.balance import Margins
from climbwright.aircraft.description import Aircraft, Mass
from climbwright.aircraft.loading import Amount
from climbwright.answers.flying import AS_USUAL, Flying
from climbwright.arrays import Floats, Number
from climbwright.flight.climb import STALL_MARGIN
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import Lapse

__all__ = ["Evaluation", "Flight", "Flights", "Layers", "Propulsion"]

Propulsion = FixedPitch | ConstantEfficiency | ConstantSpeed


@dataclass(frozen=True, slots=True)
class Flights:
    """What is flown in which air: loadings, all stations' names, air, wind, how, and the phases that are wanted.

    With `only` no more is computed than those measures need, and the cautions know nothing. With `alternatives` the
    first axis holds values side by side instead of a central case and its spreads.
    """

    loadings: Sequence[Mapping[str, Amount]]
    stations: Sequence[str]
    air: Air
    headwind: Number = 0.0
    runway_wind: Number = 0.0
    crosswind: Number = None
    flying: Flying = AS_USUAL
    phases: Collection[str] = ("aeroplane",)
    only: Collection[str] | None = None
    alternatives: bool = False


@dataclass(frozen=True, slots=True)
class Layers:
    """What a timed climb was summed over, along a leading axis: pressure altitudes, the heights that they stand for,
    and the time, the distance and the mass of fuel that each takes (None where no consumption is known)."""

    altitudes: Floats
    heights: Floats
    time: Floats
    distance: Floats
    fuel: Floats | None


@dataclass(slots=True)
class Evaluation:
    """The aeroplanes as stacked, every measure by name, the stall speeds, and what the cautions need, all SI.

    `path` is the aeroplane as loaded, then after each tank has burned; it ends there, and `room` is None, where
    only some measures are wanted. `speeds` are true airspeeds by name; they are
    shown as calibrated and, through the owner's table, as indicated. `flight` is what was evaluated, `layers` those of
    a timed climb.
    """

    aircraft: Aircraft
    amounts: dict[str, Amount]
    room: Margins | None
    path: list[Mass]
    measures: dict[str, Floats] = field(default_factory=dict)
    stall_speeds: dict[str, Floats] = field(default_factory=dict)
    speeds: dict[str, Floats] = field(default_factory=dict)
    checks: dict[str, Floats] = field(default_factory=dict)
    flight: "Flight | None" = None
    layers: Layers | None = None

    @property
    def margins(self) -> Margins:
        """Distances to all limits as loaded, of an evaluation that is whole."""
        if self.room is None:
            raise AssertionError("only some measures were evaluated")
        return self.room


@dataclass(frozen=True)
class Flight:
    """One evaluation's airframe and propulsion in its air; `stalls` are equivalent stall speeds by configuration, that
    of the flaps as they are first.

    With `alternatives` the first axis holds values side by side instead of a central case and its spreads.
    """

    aircraft: Aircraft
    loaded: Mass
    airframe: Airframe
    propulsion: Propulsion
    lapse: Lapse
    air: Air
    power_ratio: Floats
    stalls: Mapping[str, Floats]
    headwind: Number
    runway_wind: Number
    crosswind: Number
    flying: Flying
    alternatives: bool = False

    @property
    def stall(self) -> Floats:
        """Equivalent stall speed of the first configuration. [m/s]"""
        return next(iter(self.stalls.values()))

    @property
    def floor(self) -> Floats:
        """Least equivalent airspeed that is flown. [m/s]"""
        return STALL_MARGIN * self.stall

    @cached_property
    def true_floor(self) -> Floats:
        """Least true airspeed that is flown. [m/s]"""
        return self.true(self.floor)

    @cached_property
    def true_stall(self) -> Floats:
        """True airspeed of the first configuration's stall. [m/s]"""
        return self.true(self.stall)

    @property
    def here(self) -> tuple[Airframe, Floats, Floats]:
        """What a speed of the propulsion depends on."""
        return self.airframe, self.power_ratio, self.air.density_ratio

    def true(self, equivalent: Floats) -> Floats:
        """True airspeed in this air."""
        return equivalent / self.air.speed_ratio

    def true_of_calibrated(self, calibrated: Number) -> Floats:
        """True airspeed of a calibrated one in this air."""
        air = self.air
        return true_from_mach(mach_from_calibrated(calibrated, air.pressure), air.temperature)

    def calibrated(self, true: Floats) -> Floats:
        """Calibrated airspeed of a true one in this air."""
        return calibrated_from_true(true, self.air.temperature, self.air.pressure)

    def thrust(self, true: Floats) -> Floats:
        """Thrust at full throttle."""
        return self.propulsion.thrust(true, self.power_ratio, self.air.density_ratio)

    def rate(self, true: Floats) -> Floats:
        """Rate of climb at a true airspeed and full throttle."""
        return self.propulsion.excess_power(true, *self.here) / self.airframe.weight

    def best_rate_speed(self) -> Floats:
        """True airspeed of the best rate of climb, held above the stall."""
        return np.maximum(self.propulsion.best_rate_speed(*self.here), self.true_floor)

    def in_air(self, air: Air) -> "Flight":
        """The same aeroplane in other air."""
        return replace(self, air=air, power_ratio=self.lapse.ratio(air))

    def with_airframe(self, **numbers: Any) -> "Flight":
        """The same aeroplane with other numbers of its airframe."""
        return replace(self, airframe=replace(self.airframe, **numbers))

    def configured(self, configuration: str | None) -> "Flight":
        """The same aeroplane with its flaps as in a configuration, whose stall comes first; None leaves it clean."""
        if configuration is None or configuration == next(iter(self.stalls)):
            return self
        stalls = {configuration: self.stalls[configuration]} | dict(self.stalls)
        chosen = next(stall for stall in self.aircraft.stalls if stall.configuration == configuration)
        gain = 0.0 if chosen.parasite_area_gain is None else chosen.parasite_area_gain
        airframe = replace(self.airframe, parasite_area=np.add(self.airframe.parasite_area, gain))
        return replace(self, airframe=airframe, stalls=stalls)
