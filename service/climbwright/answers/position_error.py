"""The position error of an airspeed indicator, from ground speeds on three or more legs."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air import airspeed, ground_speed, standard
from climbwright.air.condition import AIR_FIELDS, Condition, air_of, check_condition, refuse_beyond
from climbwright.answers.assumptions import assumed_of_condition
from climbwright.answers.notes import ESTIMATE, Assumed, Caution
from climbwright.answers.single import Single, answer_with_spread
from climbwright.arrays import Floats, Number, middle
from climbwright.refusal import Refusal, refuse_where

__all__ = ["Leg", "PositionErrorAnswer", "PositionErrorInputs", "position_error"]

SAME_COURSE = np.radians(1.0)  # nobody steers finer; common practice, no source
LEAST_ANGLE = np.radians(60.0)  # between legs; common practice, no source
GREATEST_CORRECTION = 0.15  # of the indicated speed; common practice, no source
GREATEST_RESIDUAL = 0.03  # of the true airspeed; common practice, no source
_ROUNDING = 1e-9  # [rad]


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg: its ground speed, and the direction noted. Numbers are floats or `Measured`.

    Parameters
    ----------
    ground_speed : float or Measured
        As GPS shows it. [m/s]
    course : float or Measured
        Clockwise from north. [rad]
    kind : str
        What the course is: ``track``, over the ground, or ``heading``, through the air.
    """

    ground_speed: Number
    course: Number
    kind: str


@dataclass(frozen=True, slots=True)
class PositionErrorInputs:
    """Three or more legs of one kind, the indicated airspeed held on them, and the air they were flown in.

    Parameters
    ----------
    legs : tuple of Leg
        Their order does not matter.
    indicated : float or Measured
        [m/s]
    condition : Condition
        At the height flown.
    field : str
        Name of the field in which the legs came, for a refusal.
    reported : bool
        The temperature is that of a report.
    """

    legs: tuple[Leg, ...]
    indicated: Number
    condition: Condition
    field: str = "legs"
    reported: bool = False

    @property
    def kind(self) -> str:
        """What the legs' courses are."""
        return self.legs[0].kind

    def place(self, leg: int) -> str:
        """JSON Pointer of a leg's course."""
        return f"/{self.field}/{leg}/{self.kind}" if self.field == "legs" else f"/{self.field}/{leg}"


@dataclass(frozen=True, slots=True)
class PositionErrorAnswer:
    """Results by field name, what was assumed, and the cautions."""

    results: dict[str, Single]
    assumed: list[Assumed]
    cautions: list[Caution]


def position_error(inputs: PositionErrorInputs) -> PositionErrorAnswer:
    """True and calibrated airspeed, the correction of the indicated one, and the wind.

    Parameters
    ----------
    inputs : PositionErrorInputs
        As noted in flight.

    Returns
    -------
    PositionErrorAnswer
        The correction is calibrated minus indicated. The wind's direction is nan in a calm, the residual with three
        legs.

    Raises
    ------
    Refusal
        Fewer than three different courses, no subsonic airspeed that fits the legs, or as `air_of`.

    Notes
    -----
    Humidity counts: the Mach number is taken with the speed of sound at which its dynamic pressure is that of the
    moist air's density. The altimeter's own static error, some tens of feet, is left out.
    """
    check_condition(inputs.condition)
    angle = float(ground_speed.widest_three([middle(leg.course) for leg in inputs.legs]))
    if angle < SAME_COURSE:
        raise _repeated(inputs)
    given: dict[str, Any] = {name: getattr(inputs.condition, name) for name in AIR_FIELDS}
    given["ground_speeds"] = tuple(leg.ground_speed for leg in inputs.legs)
    given["courses"] = tuple(leg.course for leg in inputs.legs)
    given["indicated"] = inputs.indicated

    def evaluate(laid: Mapping[str, Any]) -> dict[str, Floats]:
        return _evaluated(laid, inputs)

    found = answer_with_spread(evaluate, given)
    found["residual"] = replace(found["residual"], spread=None)  # it is a spread itself
    return PositionErrorAnswer(found, _assumed(inputs), _cautions(inputs, found, angle))


def _evaluated(laid: Mapping[str, Any], inputs: PositionErrorInputs) -> dict[str, Floats]:
    air = air_of(Condition(**{name: laid[name] for name in AIR_FIELDS}))
    refuse_beyond(air, [inputs.condition], "")
    solve = ground_speed.from_tracks if inputs.kind == "track" else ground_speed.from_headings
    triangle = solve(laid["ground_speeds"], laid["courses"])
    refuse_where(np.isnan(triangle.true), f"/{inputs.field}", _UNSOLVED[inputs.kind])
    # the temperature at which dry air would be as dense, so that moist air presses as its density says
    virtual = np.divide(air.pressure, standard.GAS_CONSTANT * air.density)
    mach = airspeed.mach_from_true(triangle.true, virtual)
    fast = "no airspeed below that of sound fits these ground speeds: check each leg and its unit"
    refuse_where(np.greater_equal(mach, 1.0), f"/{inputs.field}", fast)
    calibrated = airspeed.calibrated_from_mach(mach, air.pressure)
    return {
        "true": triangle.true,
        "calibrated": calibrated,
        "indicated": laid["indicated"],
        "correction": np.subtract(calibrated, laid["indicated"]),
        "wind_speed": triangle.wind_speed,
        "wind_direction": _unwound(triangle.wind_direction),
        "residual": triangle.residual,
    }


_UNSOLVED = {
    "track": "the ground speeds of these tracks end on a straight line, which no airspeed and wind do: check each leg",
    "heading": "no airspeed above the wind gives these ground speeds on these headings: check each leg",
}


def _unwound(direction: Floats) -> Floats:
    """Directions of all cases without the step from a full turn to nothing, seen from the central one."""
    if np.ndim(direction) == 0:
        return direction
    return direction[0] + np.mod(direction - direction[0] + np.pi, 2.0 * np.pi) - np.pi


def _repeated(inputs: PositionErrorInputs) -> Refusal:
    """The first leg that flies the course of one before it."""
    courses = [middle(leg.course) for leg in inputs.legs]
    for later, course in enumerate(courses):
        for earlier in range(later):
            if abs(np.mod(course - courses[earlier] + np.pi, 2.0 * np.pi) - np.pi) < SAME_COURSE:
                return Refusal(
                    inputs.place(later),
                    f"the {inputs.kind} is that of leg {earlier + 1}, to a degree: three different ones are needed, "
                    "best a third of a turn apart",
                )
    raise AssertionError("legs that lie too close together are found when they are looked for")


def _assumed(inputs: PositionErrorInputs) -> list[Assumed]:
    legs = f"/{inputs.field}"
    found = [
        *assumed_of_condition(inputs.condition, ""),
        Assumed(legs, "steady-legs"),
        Assumed(legs, "one-north"),
        Assumed("/indicated", "instrument-error-included"),
    ]
    if inputs.kind == "heading":
        found.append(Assumed(legs, "heading-through-air"))
    if inputs.reported:
        found.append(Assumed("/metar", "report-at-height"))
    return found


def _cautions(inputs: PositionErrorInputs, results: Mapping[str, Single], angle: float) -> list[Caution]:
    legs, found = f"/{inputs.field}", [ESTIMATE]
    true, indicated, correction, wind, residual = (
        float(np.ravel(results[name].value)[0])
        for name in ("true", "indicated", "correction", "wind_speed", "residual")
    )
    if angle < LEAST_ANGLE - _ROUNDING:
        values = {"value": (angle, "angle"), "limit": (float(LEAST_ANGLE), "angle")}
        found.append(Caution("courses-close-together", legs, {"kind": inputs.kind + "s"} | values))
    if abs(correction) > GREATEST_CORRECTION * indicated:
        shown = {"value": (correction, "speed"), "limit": (GREATEST_CORRECTION * indicated, "speed")}
        found.append(Caution("implausible-correction", "/indicated", {**shown}))
    if wind > true:
        found.append(Caution("wind-above-airspeed", legs, {"value": (wind, "speed"), "limit": (true, "speed")}))
    if residual > GREATEST_RESIDUAL * true:
        limit = (GREATEST_RESIDUAL * true, "speed")
        found.append(Caution("legs-disagree", legs, {"value": (residual, "speed"), "limit": limit}))
    return found
