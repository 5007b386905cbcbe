"""The operations: what each takes, how it is answered, and what it gives. One table drives endpoints and document."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from inspect import signature
from typing import Any

from flask import Request
from marshmallow import Schema

from climbwright.air.condition import Condition
from climbwright.answers import air as air_answers
from climbwright.answers.assumptions import (
    assumed_of_airspeed,
    assumed_of_condition,
    assumed_of_offset,
    assumed_of_stall,
)
from climbwright.answers.balance import BalanceInputs, balance
from climbwright.answers.calibration.plan import plan
from climbwright.answers.calibration.report import calibrate
from climbwright.answers.climb_estimate import ESTIMATED, ClimbInputs, estimate_climb
from climbwright.answers.comparison import compare
from climbwright.answers.measures import MEASURES
from climbwright.answers.notes import ESTIMATE, STALL_POWER_OFF, Assumed, Caution
from climbwright.answers.observed import observed_changes
from climbwright.answers.operability import operability
from climbwright.answers.position_error import PositionErrorInputs, position_error
from climbwright.answers.requirement import Impossible, require
from climbwright.answers.settings import perform_settings
from climbwright.answers.single import Single
from climbwright.answers.stall import stall_speeds
from climbwright.answers.working import single as worked
from climbwright.answers.working.balance import balance as balance_worked
from climbwright.answers.working.next_flights import narrowed
from climbwright.answers.working.position_error import position_error as position_error_worked
from climbwright.answers.working.step import Step
from climbwright.web.deprecation import Deprecation
from climbwright.web.fleet.season import season_body
from climbwright.web.queried import request_of
from climbwright.web.rendering import aeroplane, calibration, next_flights, requirement
from climbwright.web.rendering.balance import BALANCE_FIELDS, balance_json, balance_rows
from climbwright.web.rendering.observed import observed_json, observed_lines
from climbwright.web.rendering.operability import operability_json, operability_rows, operability_text
from climbwright.web.rendering.quantities import Units, assumed_json, cautions_json, single_json
from climbwright.web.rendering.tables import Row, columns_of
from climbwright.web.rendering.text import comparison_text, flat_text, performance_text
from climbwright.web.rendering.working import named_json, one_block_json, steps_json, worked_json
from climbwright.web.schemas.air import AirspeedRequest, AtmosphereRequest, DensityAltitudeRequest, condition_from
from climbwright.web.schemas.balance import BalanceRequest
from climbwright.web.schemas.calibration import CalibrationRequest
from climbwright.web.schemas.next_flights import NextFlightsRequest
from climbwright.web.schemas.operability import OperabilityRequest
from climbwright.web.schemas.position_error import PositionErrorRequest
from climbwright.web.schemas.requests import (
    ClimbEstimateRequest,
    ComparisonRequest,
    PerformanceRequest,
    StallSpeedRequest,
)
from climbwright.web.schemas.requirement import RequirementRequest

__all__ = ["OPERATIONS", "Field", "Operation"]


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a small answer: its kind, why it may be null (None: it never is), and what it is."""

    kind: str
    missing: str | None
    description: str


@cache
def _parameters(answer: Callable[..., Any]) -> frozenset[str]:
    """Names of the parameters of a function; found out once, since that takes longer than loading a request."""
    return frozenset(signature(answer).parameters)


@dataclass(frozen=True, slots=True)
class Operation:
    """An operation: name in the path, schema, how to answer, and how the answer becomes JSON, a table and text.

    `body` reads a request that may be as large as a fleet, from a request and the settings; None for a small one.
    `queried` makes the request of a POST from the parameters of a GET, where these are not its own fields.
    """

    name: str
    summary: str
    description: str
    request: Schema
    query: bool
    answer: Callable[..., dict[str, Any]]  # loaded, units, and whether the working is wanted
    rows: Callable[[dict[str, Any]], list[Row]]
    text: Callable[[dict[str, Any], Mapping[str, Any]], str]
    fields: Mapping[str, Field]
    body: Callable[[Request, Mapping[str, Any]], dict[str, Any]] | None = None
    queried: Callable[[Mapping[str, str]], dict[str, Any]] | None = None
    deprecation: Deprecation | None = None

    @property
    def draws(self) -> bool:
        """Whether its spreads can be those of aeroplanes drawn at random."""
        return "draws" in _parameters(self.answer)


ATMOSPHERE = {
    "altitude": Field("altitude", None, "Geopotential pressure altitude."),
    "temperature": Field("temperature", None, "Air temperature."),
    "pressure": Field("pressure", None, "Static pressure."),
    "density": Field("density", None, "Air density."),
    "temperature_ratio": Field("ratio", None, "Temperature over its value at standard sea level."),
    "pressure_ratio": Field("ratio", None, "Pressure over its value at standard sea level."),
    "density_ratio": Field("ratio", None, "Density over its value at standard sea level."),
    "speed_of_sound": Field("speed", None, "Speed of sound."),
    "dynamic_viscosity": Field("dynamic viscosity", None, "Dynamic viscosity by Sutherland's law."),
    "density_altitude": Field("altitude", None, "Standard altitude of this density."),
}
DENSITY_ALTITUDE = {
    "pressure_altitude": Field("altitude", None, "Standard altitude of the pressure."),
    "density_altitude": Field("altitude", None, "Standard altitude of the density, humidity counted."),
    "density_altitude_dry": Field("altitude", None, "Density altitude without the humidity."),
    "station_pressure": Field("pressure", None, "Pressure at the place."),
    "temperature": Field("temperature", None, "Air temperature."),
    "density": Field("density", None, "Density of the moist air."),
    "density_ratio": Field("ratio", None, "Density over its value at standard sea level."),
    "isa_deviation": Field("temperature difference", None, "Temperature above the standard one at this pressure."),
    "vapour_pressure": Field("pressure", None, "Partial pressure of water vapour."),
}
AIRSPEED = {
    "indicated": Field("speed", "outside-table", "What the airspeed indicator reads."),
    "calibrated": Field("speed", None, "Corrected for position and instrument error."),
    "equivalent": Field("speed", None, "Sea-level speed of the same dynamic pressure."),
    "true": Field("speed", None, "Speed through the air."),
    "mach": Field("ratio", None, "True airspeed over the speed of sound."),
    "dynamic_pressure": Field("pressure", None, "Half of density times true airspeed squared."),
    "impact_pressure": Field("pressure", None, "Pitot minus static pressure."),
}
POSITION_ERROR = {
    "true": Field("speed", None, "True airspeed that fits the legs."),
    "calibrated": Field("speed", None, "The same as calibrated airspeed in this air."),
    "indicated": Field("speed", None, "The indicated airspeed held."),
    "correction": Field("speed", None, "Calibrated minus indicated: what to add to the indicated airspeed."),
    "wind_speed": Field("speed", None, "Wind that fits the legs."),
    "wind_direction": Field("angle", "calm", "Where it blows from, clockwise from the legs' north, 0 to 360 deg."),
    "residual": Field(
        "speed", "three-legs", "One standard deviation of a ground speed, as more than three legs disagree."
    ),
}
STALL_SPEED = {
    "stall_speed_calibrated": Field("speed", None, "Stall speed, power off."),
    "stall_speed_true": Field("speed", "no-air", "The same as true airspeed in this air."),
    "load_factor": Field("ratio", None, "Lift over weight."),
    "approach_speed_calibrated": Field("speed", None, "1.3 times the stall speed with wings level."),
}
CLIMB_ESTIMATE = {
    "power_available": Field("power", None, "Full-throttle power in this air."),
    "power_to_weight": Field("power to weight", None, "Available power over weight."),
    "installed_power_to_weight": Field("power to weight", None, "Rated power over weight."),
    "best_climb_rate": Field("vertical speed", None, "Best rate of climb."),
    "best_climb_speed_calibrated": Field("speed", None, "Its calibrated airspeed."),
    "climb_gradient": Field("ratio", "no-way-over-ground", "Best gradient over the ground, with the wind."),
}
BALANCE = {name: Field(*row) for name, row in BALANCE_FIELDS.items()}


def _flat(
    results: Mapping[str, Single],
    table: Mapping[str, Field],
    units: Units,
    assumed: list[Assumed],
    cautions: list[Caution],
) -> dict[str, Any]:
    body = {name: single_json(results[name], field.kind, units, field.missing) for name, field in table.items()}
    return body | {"assumed": assumed_json(assumed, units), "cautions": cautions_json(cautions, units)}


def _worked(body: dict[str, Any], units: Units, steps: Callable[[], list[Step]] | None) -> dict[str, Any]:
    """An answer with its steps, where they are asked for."""
    return body if steps is None else body | {"working": steps_json(steps(), units)}


def _atmosphere(given: dict[str, Any], units: Units, working: bool = False) -> dict[str, Any]:
    offset = given.get("temperature_offset")
    asked = given.get("altitude"), given.get("geometric_altitude"), 0.0 if offset is None else offset
    body = _flat(air_answers.atmosphere(*asked), ATMOSPHERE, units, assumed_of_offset(offset), [])
    return _worked(body, units, (lambda: worked.atmosphere(*asked)) if working else None)


def _density_altitude(condition: Condition, units: Units, working: bool = False) -> dict[str, Any]:
    results = air_answers.density_altitude(condition)
    body = _flat(results, DENSITY_ALTITUDE, units, assumed_of_condition(condition, ""), [])
    return _worked(body, units, (lambda: worked.density_altitude(condition)) if working else None)


def _airspeed(given: dict[str, Any], units: Units, working: bool = False) -> dict[str, Any]:
    condition = condition_from(given)
    if condition is None:
        raise AssertionError("the schema lets no request through without air")
    correction = given.pop("airspeed_correction", ())
    results = air_answers.airspeeds(given, condition, correction)
    body = _flat(results, AIRSPEED, units, assumed_of_airspeed(condition, correction), [])
    return _worked(body, units, (lambda: worked.airspeeds(given, condition, correction)) if working else None)


def _position_error(inputs: PositionErrorInputs, units: Units, working: bool = False) -> dict[str, Any]:
    answer = position_error(inputs)
    body = _flat(answer.results, POSITION_ERROR, units, answer.assumed, answer.cautions)
    return _worked(body, units, (lambda: position_error_worked(inputs)) if working else None)


def _stall_speed(given: dict[str, Any], units: Units, working: bool = False, draws: int = 0) -> dict[str, Any]:
    condition = condition_from(given)
    assumed = assumed_of_stall(given, condition)
    body = _flat(stall_speeds(given, condition, draws), STALL_SPEED, units, assumed, [ESTIMATE, STALL_POWER_OFF])
    return _worked(body, units, (lambda: worked.stall_speeds(given, condition)) if working else None)


def _climb_estimate(
    known: ClimbInputs, units: Units, working: bool = False, draws: int | None = None
) -> dict[str, Any]:
    answer = estimate_climb(known, working, draws)
    results = {}
    for name in ESTIMATED:
        row = answer.names.index(name)
        results[name] = answer.values.single(row)
    body = _flat(results, CLIMB_ESTIMATE, units, answer.assumed, answer.cautions)
    return body if answer.working is None else body | {"working": one_block_json(answer, units)}


def _balance(inputs: BalanceInputs, units: Units, working: bool = False, draws: int = 0) -> dict[str, Any]:
    found = balance(inputs, draws)
    cautions = [ESTIMATE, *found.cautions]
    notes = {"assumed": assumed_json(found.assumed, units), "cautions": cautions_json(cautions, units)}
    body = balance_json(found, units) | notes
    return _worked(body, units, (lambda: balance_worked(inputs, found)) if working else None)


def _performance(
    given: dict[str, Any], units: Units, working: bool = False, draws: int | None = None
) -> dict[str, Any]:
    answer = perform_settings(
        given["aircraft"],
        given["loadings"],
        given["conditions"],
        given["flying"],
        given.get("measures"),
        working=working,
        targets=given["targets"],
        draws=draws,
    )
    return aeroplane.performance_json(answer, units) | worked_json(answer, units, "setting")


def _requirement(
    given: dict[str, Any], units: Units, working: bool = False, draws: int | None = None
) -> dict[str, Any]:
    unknown, target = given["unknown"], given["target"]
    try:
        found = require(
            given["aircraft"], given["loadings"], given["conditions"], given["flying"], unknown, target, working, draws
        )
    except Impossible as refusal:
        raise requirement.impossible(refusal, target, units) from None
    return requirement.requirement_json(found, unknown, target, units) | worked_json(found.answer, units)


def _calibration(given: dict[str, Any], units: Units, working: bool = False) -> dict[str, Any]:
    found = calibrate(given["aircraft"], given["observations"], working=working)
    body = calibration.calibration_json(found, given["document"], units)
    return body if found.working is None else body | {"working": named_json("observation", found.working, units)}


def _next_flights(given: dict[str, Any], units: Units, working: bool = False) -> dict[str, Any]:
    narrow, rows, columns = given["narrow"], given["loadings"], given["conditions"]
    named = {"loading": rows[0].name, "condition": columns[0].name} | narrow
    place = tuple(
        [one.name for one in many].index(named[what]) for what, many in (("loading", rows), ("condition", columns))
    )
    found = plan(
        given["aircraft"], rows, columns, given["flying"], narrow["measure"], (place[0], place[1]), given["flights"]
    )
    body = next_flights.next_flights_json(found, named, units)
    if not working:
        return body
    kind = MEASURES[narrow["measure"]].kind
    steps: dict[str | None, list[Step]] = {one.observation.name: narrowed(one, kind) for one in found.flights}
    return body | {"working": named_json("flight", steps, units)}


def _operability(given: dict[str, Any], units: Units, working: bool = False) -> dict[str, Any]:
    found = operability(
        given["aircraft"], given["loading"], given["weather"], given["flying"], given.get("climb_rate"), working
    )
    return operability_json(found, given, units) | worked_json(found.full, units)


def _comparison(given: dict[str, Any], units: Units, working: bool = False, draws: int | None = None) -> dict[str, Any]:
    answer = compare(
        given["baseline"],
        given["options"],
        given["loadings"],
        given["conditions"],
        given["flying"],
        given.get("measures"),
        working=working,
        sharing=given["shares"],
        targets=given["targets"],
        draws=draws,
    )
    body = aeroplane.comparison_json(answer, units) | worked_json(answer, units)
    if not given["observations"]:
        return body
    found = observed_changes(given["baseline"], given["options"], given["observations"])
    body["assumed"] += assumed_json([item for item in found.assumed if item not in answer.assumed], units)
    body["cautions"] += cautions_json(found.cautions, units)
    return body | observed_json(found, units)


def _flat_rows(body: dict[str, Any]) -> list[Row]:
    """One row; a balance has more."""
    return balance_rows(body) if "fuel_burn" in body else [columns_of(body)]


def _small(
    name: str, summary: str, description: str, request: Schema, answer: Any, fields: Mapping[str, Field]
) -> Operation:
    return Operation(
        name,
        summary,
        description,
        request,
        True,
        answer,
        _flat_rows,
        lambda body, _: flat_text(body, {name: field.kind for name, field in fields.items()}),
        fields,
    )


OPERATIONS: Mapping[str, Operation] = {
    operation.name: operation
    for operation in (
        _small(
            "atmosphere",
            "The standard atmosphere at an altitude",
            "Temperature, pressure, density, their ratios, speed of sound and viscosity of the standard atmosphere "
            "(ISO 2533), -5 to 30 km, shifted by a temperature offset at the same pressure.",
            AtmosphereRequest(),
            _atmosphere,
            ATMOSPHERE,
        ),
        _small(
            "density-altitude",
            "Density altitude, with and without humidity",
            "Pressure altitude, density altitude and density from elevation and QNH, pressure altitude, station "
            "pressure or a coded report.",
            DensityAltitudeRequest(),
            _density_altitude,
            DENSITY_ALTITUDE,
        ),
        _small(
            "airspeed",
            "Indicated, calibrated, equivalent and true airspeed",
            "All five airspeeds from one of them, compressible, with the owner's correction table.",
            AirspeedRequest(),
            _airspeed,
            AIRSPEED,
        ),
        _small(
            "position-error",
            "Airspeed position error from GPS ground speeds on three headings",
            "Hold one indicated airspeed and one altitude on three legs and note GPS ground speed and track, or the "
            "heading steered, of each: true and calibrated airspeed, the wind, and the correction to add to the "
            "indicated airspeed, instrument error included. Four to eight legs are answered by least squares. Legs "
            "and wind count from the same north.",
            PositionErrorRequest(),
            _position_error,
            POSITION_ERROR,
        ),
        _small(
            "stall-speed",
            "Stall speed at a weight, in a bank, with a lift gain",
            "Power off. Carried over from a stall that was flown, or from wing area and lift coefficient.",
            StallSpeedRequest(),
            _stall_speed,
            STALL_SPEED,
        ),
        _small(
            "climb-estimate",
            "A first estimate of the climb",
            "Power to weight and climb in your air from power and weight, and whatever else is known; what is not "
            "known begins at a starting value with a wide spread and is listed under assumed.",
            ClimbEstimateRequest(),
            _climb_estimate,
            CLIMB_ESTIMATE,
        ),
        _small(
            "balance",
            "Weight, CG, limits, and the line the CG walks as fuel burns",
            "Loads at arms by GET; an aeroplane with scales, items, changes, stations, tanks in the order in which they"
            " burn, an envelope and wheels by POST: also the running record of its empty weight, the worst loadings, "
            "ballast that mends it, the load on each wheel, and what its pilot may weigh for each state of the fuel.",
            BalanceRequest(),
            _balance,
            BALANCE,
        ),
        Operation(
            "performance",
            "Every measure of an aeroplane",
            "Weight, balance, power, climb, ceilings, level and stall speeds for each loading and condition. A GET "
            "asks for one loading in one condition; aircraft holds a whole aircraft, packed as base64url of its JSON "
            "compressed by zlib (RFC 1950), and each field told by itself stands in place of what that says.",
            PerformanceRequest(),
            True,
            _performance,
            aeroplane.performance_rows,
            lambda body, given: performance_text(body, given["aircraft"]["name"]),
            {},
            queried=request_of,
        ),
        Operation(
            "comparison",
            "Before and after a change",
            "Every measure before and after each option, and its change, for each loading and condition; cost and "
            "cost per gain. An option that breaks a limit is answered in full and says so first.",
            ComparisonRequest(),
            False,
            _comparison,
            aeroplane.comparison_rows,
            lambda body, given: comparison_text(body, given["baseline"]["name"], observed_lines(body)),
            {},
        ),
        Operation(
            "calibration",
            "What the aeroplane is, learned from its flights",
            "The numbers of the aeroplane that its starting values and the observations from its flights together make "
            "most likely, each with its spread and their correlation, as an aircraft that performance, comparison and "
            "the rest accept as it is; and what each observation says against the fit.",
            CalibrationRequest(),
            False,
            _calibration,
            calibration.calibration_rows,
            lambda body, given: calibration.calibration_text(body, given["aircraft"]["name"]),
            {},
        ),
        Operation(
            "test-plan",
            "The next flights: which would narrow an answer most",
            "Of climbs, level flights, stalls, glides and pulls on a scale in the given loadings and conditions, those "
            "that would narrow a chosen answer most, in the order in which to fly them, with what they should read and "
            "what is left of the answer's spread; as text a card to print.",
            NextFlightsRequest(),
            False,
            _next_flights,
            next_flights.next_flights_rows,
            lambda body, given: next_flights.next_flights_text(body, given["aircraft"]["name"]),
            {},
        ),
        Operation(
            "requirement",
            "The question turned round: what it takes to meet a target",
            "The power, weight, fuel, payload, ballast, arm, drag, lift gain, density altitude, temperature or runway "
            "length at which a measure just meets its target, in one loading and one condition.",
            RequirementRequest(),
            False,
            _requirement,
            requirement.requirement_rows,
            lambda body, given: requirement.requirement_text(body, given["aircraft"]["name"]),
            {},
        ),
        Operation(
            "operability",
            "A season at a strip: the share of hours in which it can be flown",
            "Hours of temperature, pressure and humidity, a year of them or less, and wind where it is known: the "
            "share in which climb, take-off and landing hold, by month and by hour of the day, and the hours that "
            "limit. The weather is what you send, as columns of JSON or as a CSV or Arrow table in a multipart form; "
            "none is fetched. On a strip with two ways take-off and landing each take the better one. An hour whose "
            "weather is missing or wrong is unknown, neither good nor bad. working=true shows the calculation of the "
            "hour that limits most.",
            OperabilityRequest(),
            False,
            _operability,
            operability_rows,
            lambda body, given: operability_text(body, given["aircraft"]["name"]),
            {},
            season_body,
        ),
    )
}
