"""What operations take and give. Written by generate.py from the OpenAPI document: do not edit."""

from collections.abc import Mapping, Sequence
from typing import Literal, NotRequired, TypedDict

from climbwright_client.quantity import Quantity, QuantityLike, RatioLike


class AtmosphereRequest(TypedDict):
    """Atmosphere request."""

    # Pressure altitude (geopotential). (at least -5000 m; at most 30000 m; a list of values is taken)
    altitude: NotRequired[QuantityLike]
    # Height above mean sea level, in place of altitude. (at least -5000 m; at most 30000 m; a list of values is
    # taken)
    geometric_altitude: NotRequired[QuantityLike]
    # Temperature above the standard one; 0 when left out. (at least -80 K; at most 80 K; a list of values is taken)
    temperature_offset: NotRequired[QuantityLike]


class Assumed(TypedDict):
    """Something the request did not say."""

    where: str  # JSON Pointer of the part of the request it speaks of.
    text: str  # What stood in.
    value: NotRequired[Quantity]  # The value that stood in.
    source: NotRequired[str]  # Where it comes from.


CautionCode = Literal[
    "above-rule-level-speed",
    "above-rule-stall-speed",
    "above-rule-weight",
    "approach-above-flap-limit",
    "below-envelope",
    "below-station-minimum",
    "best-angle-speed-held",
    "best-rate-speed-held",
    "calibration-edge",
    "calibration-few",
    "calibration-momentum",
    "calibration-not-narrowed",
    "calibration-unsettled",
    "carburettor-ice-likely",
    "carburettor-ice-possible",
    "ceiling-without-lapse",
    "cg-leaves-limits-as-fuel-burns",
    "cg-outside-limits",
    "change-unexplained",
    "climb-speed-near-stall",
    "constant-efficiency",
    "cooling-not-modelled",
    "courses-close-together",
    "crosswind-strong",
    "cruise-near-stall",
    "does-not-clear-obstacle",
    "does-not-lift-off",
    "does-not-move",
    "does-not-stop",
    "estimate",
    "faster-than-never-exceed",
    "faster-than-smooth-air-limit",
    "fuel-vapour",
    "glide-idle-propeller",
    "implausible-correction",
    "legs-disagree",
    "load-factor-reduced",
    "lugging",
    "no-climb",
    "no-level-flight",
    "observation-doubted",
    "one-way-uphill",
    "over-maximum-weight",
    "overspeed",
    "power-above-limit",
    "power-above-rated",
    "propeller-clearance",
    "reserve-not-carried",
    "runway-estimate",
    "scale-empty",
    "season-as-sent",
    "setting-beyond-full-throttle",
    "short-of-landing-margin",
    "short-of-landing-margin-reversed",
    "short-of-takeoff-margin",
    "short-of-takeoff-margin-reversed",
    "spread-drawn",
    "stall-power-off",
    "static-thrust-high",
    "static-thrust-impossible",
    "strip-elsewhere",
    "tailwind-on-strip",
    "test-flight",
    "thrust-exceeds-weight",
    "tip-mach",
    "too-short-for-landing",
    "too-short-for-landing-reversed",
    "too-short-for-takeoff",
    "too-short-for-takeoff-reversed",
    "turn-above-load-factor",
    "turn-back",
    "weighed-at-one-arm",
    "wind-above-airspeed",
    "would-tip",
]


class Caution(TypedDict):
    """A caution."""

    code: CautionCode  # Code of the caution.
    severity: Literal["info", "caution", "warning"]  # How grave it is.
    text: str  # What to know.
    where: str  # JSON Pointer of the part of the request it speaks of.


class Provenance(TypedDict):
    """What reproduces this answer."""

    build: str  # Version and source hash of the service.
    input: str  # Hash of the request's canonical form.


class Step(TypedDict):
    """A step of the calculation."""

    quantity: str  # What is computed.
    formula: str  # The formula; or that the value was found by a search.
    with_numbers: NotRequired[str]  # The formula with its numbers put in, SI, seven digits.
    result: str  # What that gives, SI, five digits.
    reader: NotRequired[str]  # The same in the reader's unit where it differs.
    # What the symbols stand for that no earlier step gives, where they are first used.
    where: NotRequired[Mapping[str, str]]
    source: str  # Where the formula comes from.


class AtmosphereAnswer(TypedDict):
    """The standard atmosphere at an altitude."""

    altitude: Quantity  # Geopotential pressure altitude. (altitude)
    temperature: Quantity  # Air temperature. (temperature)
    pressure: Quantity  # Static pressure. (pressure)
    density: Quantity  # Air density. (density)
    temperature_ratio: Quantity  # Temperature over its value at standard sea level. (ratio)
    pressure_ratio: Quantity  # Pressure over its value at standard sea level. (ratio)
    density_ratio: Quantity  # Density over its value at standard sea level. (ratio)
    speed_of_sound: Quantity  # Speed of sound. (speed)
    dynamic_viscosity: Quantity  # Dynamic viscosity by Sutherland's law. (dynamic viscosity)
    density_altitude: Quantity  # Standard altitude of this density. (altitude)
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class DensityAltitudeRequest(TypedDict):
    """Density altitude request."""

    # Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000 m; a list of values
    # is taken)
    elevation: NotRequired[QuantityLike]
    # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is taken)
    qnh: NotRequired[QuantityLike]
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a list of values is taken)
    pressure_altitude: NotRequired[QuantityLike]
    # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values is taken)
    station_pressure: NotRequired[QuantityLike]
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m; a list of
    # values is taken)
    density_altitude: NotRequired[QuantityLike]
    # Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
    oat: NotRequired[QuantityLike]
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K; a list of
    # values is taken)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C; a list of values is
    # taken)
    dew_point: NotRequired[QuantityLike]
    # Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values is taken)
    relative_humidity: NotRequired[RatioLike]
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.


class DensityAltitudeAnswer(TypedDict):
    """Density altitude, with and without humidity."""

    pressure_altitude: Quantity  # Standard altitude of the pressure. (altitude)
    density_altitude: Quantity  # Standard altitude of the density, humidity counted. (altitude)
    density_altitude_dry: Quantity  # Density altitude without the humidity. (altitude)
    station_pressure: Quantity  # Pressure at the place. (pressure)
    temperature: Quantity  # Air temperature. (temperature)
    density: Quantity  # Density of the moist air. (density)
    density_ratio: Quantity  # Density over its value at standard sea level. (ratio)
    isa_deviation: Quantity  # Temperature above the standard one at this pressure. (temperature difference)
    vapour_pressure: Quantity  # Partial pressure of water vapour. (pressure)
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class CorrectionPoint(TypedDict):
    """Correction point."""

    indicated: QuantityLike  # What the airspeed indicator reads. (above 0 m/s; at most 200 m/s; no plus_minus)
    calibrated: QuantityLike  # The calibrated airspeed there. (above 0 m/s; at most 200 m/s; no plus_minus)


class AirspeedRequest(TypedDict):
    """Airspeed request."""

    # Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000 m; a list of values
    # is taken)
    elevation: NotRequired[QuantityLike]
    # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is taken)
    qnh: NotRequired[QuantityLike]
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a list of values is taken)
    pressure_altitude: NotRequired[QuantityLike]
    # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values is taken)
    station_pressure: NotRequired[QuantityLike]
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m; a list of
    # values is taken)
    density_altitude: NotRequired[QuantityLike]
    # Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
    oat: NotRequired[QuantityLike]
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K; a list of
    # values is taken)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C; a list of values is
    # taken)
    dew_point: NotRequired[QuantityLike]
    # Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values is taken)
    relative_humidity: NotRequired[RatioLike]
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.
    # What the airspeed indicator reads. (above 0 m/s; at most 340 m/s; a list of values is taken)
    indicated: NotRequired[QuantityLike]
    # Indicated corrected for position and instrument error. (above 0 m/s; at most 340 m/s; a list of values is taken)
    calibrated: NotRequired[QuantityLike]
    # The sea-level speed of the same dynamic pressure. (above 0 m/s; at most 340 m/s; a list of values is taken)
    equivalent: NotRequired[QuantityLike]
    # Speed through the air. (above 0 m/s; at most 340 m/s; a list of values is taken)
    true: NotRequired[QuantityLike]
    # True airspeed over the speed of sound. (above 0; below 1; a list of values is taken)
    mach: NotRequired[RatioLike]
    # Airspeed correction table, rising: linear between its lines, never beyond.
    airspeed_correction: NotRequired[Sequence[CorrectionPoint]]


class AirspeedAnswer(TypedDict):
    """Indicated, calibrated, equivalent and true airspeed."""

    indicated: Quantity  # What the airspeed indicator reads. (speed)
    calibrated: Quantity  # Corrected for position and instrument error. (speed)
    equivalent: Quantity  # Sea-level speed of the same dynamic pressure. (speed)
    true: Quantity  # Speed through the air. (speed)
    mach: Quantity  # True airspeed over the speed of sound. (ratio)
    dynamic_pressure: Quantity  # Half of density times true airspeed squared. (pressure)
    impact_pressure: Quantity  # Pitot minus static pressure. (pressure)
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class Leg(TypedDict):
    """Leg."""

    ground_speed: QuantityLike  # Ground speed of the leg, by GPS. (at least 1 kt; at most 340 m/s)
    # Direction over the ground, by GPS, clockwise from north. (at least 0 deg; at most 360 deg)
    track: NotRequired[QuantityLike]
    # Direction steered, in place of track, from the same north on all legs. (at least 0 deg; at most 360 deg)
    heading: NotRequired[QuantityLike]


class PositionErrorRequest(TypedDict):
    """Position error request."""

    # Height above mean sea level that was flown, with qnh or metar. (at least -500 m; at most 9000 m)
    elevation: NotRequired[QuantityLike]
    qnh: NotRequired[QuantityLike]  # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
    pressure_altitude: NotRequired[QuantityLike]
    station_pressure: NotRequired[QuantityLike]  # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m)
    density_altitude: NotRequired[QuantityLike]
    oat: NotRequired[QuantityLike]  # Outside air temperature at the height flown. (at least -90 C; at most 60 C)
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
    dew_point: NotRequired[QuantityLike]
    relative_humidity: NotRequired[RatioLike]  # Relative humidity, in place of dew_point. (at least 0; at most 1)
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.
    indicated: QuantityLike  # Indicated airspeed held on all legs. (at least 5 kt; at most 200 m/s)
    # Three legs, best a third of a turn apart, all with track or all with heading; of four to eight the least
    # squares.
    legs: NotRequired[Sequence[Leg]]
    leg: NotRequired[Sequence[str]]  # A leg as text, GROUND_SPEED@ANGLE, in place of legs. Repeat for each.
    course: NotRequired[Literal["track", "heading"]]  # What the angles of leg are.


class PositionErrorAnswer(TypedDict):
    """Airspeed position error from GPS ground speeds on three headings."""

    true: Quantity  # True airspeed that fits the legs. (speed)
    calibrated: Quantity  # The same as calibrated airspeed in this air. (speed)
    indicated: Quantity  # The indicated airspeed held. (speed)
    correction: Quantity  # Calibrated minus indicated: what to add to the indicated airspeed. (speed)
    wind_speed: Quantity  # Wind that fits the legs. (speed)
    wind_direction: Quantity  # Where it blows from, clockwise from the legs' north, 0 to 360 deg. (angle)
    residual: Quantity  # One standard deviation of a ground speed, as more than three legs disagree. (speed)
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class StallSpeedRequest(TypedDict):
    """Stall speed request."""

    # Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000 m; a list of values
    # is taken)
    elevation: NotRequired[QuantityLike]
    # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa; a list of values is taken)
    qnh: NotRequired[QuantityLike]
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m; a list of values is taken)
    pressure_altitude: NotRequired[QuantityLike]
    # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa; a list of values is taken)
    station_pressure: NotRequired[QuantityLike]
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m; a list of
    # values is taken)
    density_altitude: NotRequired[QuantityLike]
    # Outside air temperature. (at least -90 C; at most 60 C; a list of values is taken)
    oat: NotRequired[QuantityLike]
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K; a list of
    # values is taken)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C; a list of values is
    # taken)
    dew_point: NotRequired[QuantityLike]
    # Relative humidity, in place of dew_point. (at least 0; at most 1; a list of values is taken)
    relative_humidity: NotRequired[RatioLike]
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.
    weight: QuantityLike  # Weight now. (above 0.1 kg; at most 10000 kg; a list of values is taken)
    # Calibrated stall speed flown, wings level. (above 5 kt; at most 150 kt; a list of values is taken)
    reference_speed: NotRequired[QuantityLike]
    # Weight it was flown at. (above 0.1 kg; at most 10000 kg; a list of values is taken)
    reference_weight: NotRequired[QuantityLike]
    # Wing area, in place of a stall flown. (above 1 m2; at most 100 m2; a list of values is taken)
    wing_area: NotRequired[QuantityLike]
    # Greatest lift coefficient, with wing_area. (above 0.3; at most 5; a list of values is taken)
    maximum_lift_coefficient: NotRequired[RatioLike]
    bank: NotRequired[QuantityLike]  # Bank of a level turn. (at least 0 deg; below 90 deg; a list of values is taken)
    # Lift over weight, in place of bank. (above 0; at most 12; a list of values is taken)
    load_factor: NotRequired[RatioLike]
    # Gain of the greatest lift coefficient. (above -0.5; at most 1; a list of values is taken)
    lift_gain: NotRequired[RatioLike]


class StallSpeedAnswer(TypedDict):
    """Stall speed at a weight, in a bank, with a lift gain."""

    stall_speed_calibrated: Quantity  # Stall speed, power off. (speed)
    stall_speed_true: Quantity  # The same as true airspeed in this air. (speed)
    load_factor: Quantity  # Lift over weight. (ratio)
    approach_speed_calibrated: Quantity  # 1.3 times the stall speed with wings level. (speed)
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class ClimbEstimateRequest(TypedDict):
    """Climb estimate request."""

    # Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000 m)
    elevation: NotRequired[QuantityLike]
    qnh: NotRequired[QuantityLike]  # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
    pressure_altitude: NotRequired[QuantityLike]
    station_pressure: NotRequired[QuantityLike]  # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m)
    density_altitude: NotRequired[QuantityLike]
    oat: NotRequired[QuantityLike]  # Outside air temperature. (at least -90 C; at most 60 C)
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
    dew_point: NotRequired[QuantityLike]
    relative_humidity: NotRequired[RatioLike]  # Relative humidity, in place of dew_point. (at least 0; at most 1)
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.
    power: QuantityLike  # Rated power at sea level. (above 1 hp; at most 2000 hp)
    weight: QuantityLike  # Weight of the loaded aeroplane. (above 0.1 kg; at most 10000 kg)
    # Wind against the flight, for the gradient. (at least -40 m/s; at most 40 m/s)
    headwind: NotRequired[QuantityLike]
    span: NotRequired[QuantityLike]  # Wing span. (above 2 m; at most 40 m)
    # Wing area; its stall speed holds the climb speed up. (above 1 m2; at most 100 m2)
    wing_area: NotRequired[QuantityLike]
    parasite_area: NotRequired[QuantityLike]  # Drag area that does not come from lift. (above 0.02 m2; at most 10 m2)
    # Kind of airframe, for starting values.
    airframe_class: NotRequired[
        Literal[
            "wire-braced-open",
            "strut-braced-fabric",
            "strut-braced-metal",
            "cantilever-metal",
            "composite",
            "retractable",
        ]
    ]
    span_efficiency: NotRequired[RatioLike]  # Oswald's span efficiency. (above 0.3; at most 1)
    pitch_class: NotRequired[Literal["climb", "middle", "cruise"]]  # What the propeller's pitch favours.
    best_efficiency: NotRequired[RatioLike]  # Greatest thrust power over rated power. (above 0.2; at most 0.92)
    best_efficiency_speed: NotRequired[QuantityLike]  # True airspeed there. (above 10 kt; at most 300 kt)
    # One efficiency at every speed, in place of a fixed pitch. (above 0.1; at most 0.95)
    efficiency: NotRequired[RatioLike]
    power_margin: NotRequired[RatioLike]  # Power as installed over rated power. (above 0.2; at most 1.2)
    lapse_constant: NotRequired[RatioLike]  # C of the altitude lapse. (at least 0; below 0.5)
    cycle: NotRequired[Literal["four-stroke", "two-stroke"]]  # Working cycle of the engine.
    # Calibrated stall speed at this weight; the climb keeps 1.2 times it. (above 5 kt; at most 150 kt)
    stall_speed: NotRequired[QuantityLike]


class ClimbEstimateAnswer(TypedDict):
    """A first estimate of the climb."""

    power_available: Quantity  # Full-throttle power in this air. (power)
    power_to_weight: Quantity  # Available power over weight. (power to weight)
    installed_power_to_weight: Quantity  # Rated power over weight. (power to weight)
    best_climb_rate: Quantity  # Best rate of climb. (vertical speed)
    best_climb_speed_calibrated: Quantity  # Its calibrated airspeed. (speed)
    climb_gradient: Quantity  # Best gradient over the ground, with the wind. (ratio)
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class Empty(TypedDict):
    """Empty."""

    weight: QuantityLike  # Empty weight as weighed. (above 0 kg; at most 10000 kg)
    arm: QuantityLike  # Arm. (at least -100 m; at most 100 m)


class Scale(TypedDict):
    """Scale."""

    name: str  # Which wheel stood on it.
    weight: QuantityLike  # What the scale read. (at least 0 kg; at most 10000 kg)
    # Chocks and tackle that were weighed too; none when left out. (at least 0 kg; at most 10000 kg)
    tare: NotRequired[QuantityLike]
    arm: QuantityLike  # Arm of the wheel. (at least -100 m; at most 100 m)


class Item(TypedDict):
    """Item."""

    weight: QuantityLike  # Weight. (at least 0 kg; at most 10000 kg)
    arm: QuantityLike  # Arm. (at least -100 m; at most 100 m)
    name: str  # Name of the item.


class AddChange(TypedDict):
    """Add change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["add"]  # Kind of change.
    weight: QuantityLike  # What it weighs. (at least 0 kg; at most 10000 kg)
    arm: QuantityLike  # Where it sits. (at least -100 m; at most 100 m)


class RemoveChange(TypedDict):
    """Remove change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["remove"]  # Kind of change.
    weight: QuantityLike  # What it weighs. (at least 0 kg; at most 10000 kg)
    arm: QuantityLike  # Where it sat. (at least -100 m; at most 100 m)


class MoveChange(TypedDict):
    """Move change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["move"]  # Kind of change.
    weight: QuantityLike  # What it weighs. (at least 0 kg; at most 10000 kg)
    from_arm: QuantityLike  # Where it was. (at least -100 m; at most 100 m)
    to_arm: QuantityLike  # Where it goes. (at least -100 m; at most 100 m)


class Station(TypedDict):
    """Station."""

    name: str  # Name of the station.
    arm: QuantityLike  # Arm of the station. (at least -100 m; at most 100 m)
    capacity: NotRequired[QuantityLike]  # Most that it may hold, as a weight or a volume.
    # Density of the fluid that it holds; a station with a density is a tank whose fuel burns. (above 0.1 kg/L; at
    # most 2 kg/L)
    density: NotRequired[QuantityLike]
    # Least that must be there, for example the least weight of a pilot. (at least 0 kg; at most 10000 kg; no
    # plus_minus)
    minimum: NotRequired[QuantityLike]
    unusable: NotRequired[QuantityLike]  # What cannot be burned, as a weight or a volume.


class StationChange(TypedDict):
    """Station change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["station"]  # Kind of change.
    station: Station  # The station as it will be.


class EnvelopePoint(TypedDict):
    """Envelope point."""

    weight: QuantityLike  # Weight of the corner. (at least 0 kg; at most 10000 kg; no plus_minus)
    arm: QuantityLike  # Arm of the corner. (at least -100 m; at most 100 m; no plus_minus)


class Wheel(TypedDict):
    """Wheel."""

    name: str  # Which wheel it is.
    arm: QuantityLike  # Arm of the wheel, the aeroplane levelled. (at least -100 m; at most 100 m)


class BalanceRequest(TypedDict):
    """Balance request."""

    # A load and its arm, [NAME:]WEIGHT@ARM; a volume takes its density. Repeat for each.
    load: NotRequired[Sequence[str]]
    chord: NotRequired[QuantityLike]  # Mean aerodynamic chord, for percent of chord. (above 0.1 m; at most 10 m)
    # Arm of the leading edge of the mean chord. (at least -100 m; at most 100 m)
    leading_edge_arm: NotRequired[QuantityLike]
    # Chord on the centre line of a straight-tapered wing; with tip_chord and root_leading_edge_arm in place of chord
    # and leading_edge_arm. (above 0.1 m; at most 10 m)
    root_chord: NotRequired[QuantityLike]
    tip_chord: NotRequired[QuantityLike]  # Chord at its tip. (at least 0 m; at most 10 m)
    # Sweep of its leading edge; none when left out. (at least -45 deg; at most 60 deg)
    leading_edge_sweep: NotRequired[QuantityLike]
    # Arm of its leading edge on the centre line. (at least -100 m; at most 100 m)
    root_leading_edge_arm: NotRequired[QuantityLike]
    span: NotRequired[QuantityLike]  # Wing span, with root_chord. (above 2 m; at most 40 m)
    maximum_weight: NotRequired[QuantityLike]  # Greatest weight. (above 0 kg; at most 10000 kg; no plus_minus)
    forward: NotRequired[QuantityLike]  # Forward limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
    aft: NotRequired[QuantityLike]  # Aft limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
    # Where ballast could sit that mends a CG outside its limits. (at least -100 m; at most 100 m; no plus_minus)
    ballast_arm: NotRequired[QuantityLike]
    # Ballast whose arm is asked, in place of ballast_arm. (above 0 kg; at most 10000 kg; no plus_minus)
    ballast_weight: NotRequired[QuantityLike]
    empty: NotRequired[Empty]  # Empty weight and its arm.
    scales: NotRequired[Sequence[Scale]]  # Scale readings in place of empty.
    items: NotRequired[Sequence[Item]]  # What the weighing left out: oil, coolant, unusable fuel.
    # Parts added, removed or moved, and stations changed, after the weighing.
    changes: NotRequired[Sequence[AddChange | RemoveChange | MoveChange | StationChange]]
    # Places for load; tanks burn in this order, after those that burn_order names.
    stations: NotRequired[Sequence[Station]]
    # Names of the tanks that burn first, in turn; the others follow as the stations stand.
    burn_order: NotRequired[Sequence[str]]
    loading: NotRequired[Mapping[str, QuantityLike]]  # What each station holds, by its name.
    # Corners of the balance envelope, in order around it; in place of forward and aft.
    envelope: NotRequired[Sequence[EnvelopePoint]]
    # The wheels it stands on, for the load on each: side by side ones share one arm. Those of the scales when left
    # out.
    wheels: NotRequired[Sequence[Wheel]]
    # The station for which the least and greatest weight are asked, for each state of the fuel.
    pilot_station: NotRequired[str]


class BalanceFuelBurn(TypedDict):
    """The aeroplane after a tank has burned."""

    burned: str  # The tank that has burned down to its unusable part.
    weight: Quantity  # Total weight. (mass)
    cg_arm: Quantity  # Arm of the CG. (length)
    cg_chord_fraction: Quantity  # CG as a fraction of the mean chord. (ratio)
    cg_margin: Quantity  # Arm to the nearer limit at this weight, positive inside. (length)
    in_limits: bool | None  # Whether all limits given are kept; null without limits.


class BalanceWorstForward(TypedDict):
    """A worst loading, of those that the greatest weight allows."""

    stations: Mapping[str, Quantity]  # What each station holds: its minimum (or nothing) or its capacity.
    weight: Quantity  # Total weight. (mass)
    cg_arm: Quantity  # Arm of the CG. (length)
    cg_chord_fraction: Quantity  # CG as a fraction of the mean chord. (ratio)
    cg_margin: Quantity  # Arm to the nearer limit at this weight, positive inside. (length)
    in_limits: bool | None  # Whether all limits given are kept; null without limits.


class BalanceBallast(TypedDict):
    """The least ballast at its arm, or the arm of ballast of its weight, that brings it back inside its limits."""

    weight: Quantity  # Weight of the ballast (mass)
    arm: Quantity  # Its arm (length)


class BalanceEmptyWeightRecord(TypedDict):
    """A line of the record."""

    name: str  # Name of the item or change; a move has two lines.
    weight: Quantity  # What came in, negative for what went out. (mass)
    arm: Quantity  # Where. (length)
    moment: Quantity  # What that changes the moment by. (moment)
    running_weight: Quantity  # Empty weight after it. (mass)
    running_arm: Quantity  # Arm of the empty CG after it. (length)


class BalanceWheelLoad(TypedDict):
    """A wheel."""

    name: str  # Which wheel.
    arm: Quantity  # Arm of the wheel. (length)
    load: Quantity  # What a scale under it would read; negative where the aeroplane would tip. (mass)
    fraction: Quantity  # That over the whole weight. (ratio)


class BalancePilotWeight(TypedDict):
    """A state of the fuel, the other stations as loaded."""

    fuel: Literal["as loaded", "full", "unusable"]  # State of the fuel.
    least: Quantity  # Least weight in the pilot_station that keeps all limits (mass)
    greatest: Quantity  # Greatest weight there (mass)


class BalanceAnswer(TypedDict):
    """Weight, CG, limits, and the line the CG walks as fuel burns."""

    in_limits: bool | None  # Whether all limits given are kept; null without limits.
    weight: Quantity  # Total weight. (mass)
    cg_arm: Quantity  # Arm of the CG. (length)
    moment: Quantity  # Weight times arm. (moment)
    cg_chord_fraction: Quantity  # CG as a fraction of the mean chord. (ratio)
    cg_margin: Quantity  # Arm to the nearer limit at this weight, positive inside. (length)
    forward_limit: Quantity  # Forward limit at this weight. (length)
    aft_limit: Quantity  # Aft limit at this weight. (length)
    weight_margin: Quantity  # Greatest weight minus this weight. (mass)
    envelope_distance: Quantity  # Distance to the envelope's nearest edge, drawn one by one; positive inside. (ratio)
    chord: Quantity  # Mean aerodynamic chord, as given or of the tapered wing. (length)
    leading_edge_arm: Quantity  # Arm of its leading edge. (length)
    fuel_burn: Sequence[BalanceFuelBurn]  # Tank by tank, in order.
    # The loading with the CG furthest forward; null where no station has a capacity.
    worst_forward: BalanceWorstForward | None
    # The loading with the CG furthest aft; null where no station has a capacity.
    worst_aft: BalanceWorstForward | None
    # The least ballast at its arm, or the arm of ballast of its weight, that brings it back inside its limits.
    ballast: BalanceBallast
    # The weighing, then every item and change in turn; without it none.
    empty_weight_record: Sequence[BalanceEmptyWeightRecord]
    wheel_loads: Sequence[BalanceWheelLoad]  # What each wheel of the loaded aeroplane carries, levelled.
    # For each state of the fuel, kept while it burns down, where a pilot_station was named.
    pilot_weights: Sequence[BalancePilotWeight]
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[Step]]  # The calculation, where working=true asks for it.


class Loading(TypedDict):
    """Loading."""

    name: str  # Name of the loading.
    # What each station holds, by its name: a weight, or a volume where the station has a density. A station that is
    # not named is empty.
    stations: Mapping[str, QuantityLike]


class Condition(TypedDict):
    """Condition."""

    # Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000 m)
    elevation: NotRequired[QuantityLike]
    qnh: NotRequired[QuantityLike]  # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
    pressure_altitude: NotRequired[QuantityLike]
    station_pressure: NotRequired[QuantityLike]  # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m)
    density_altitude: NotRequired[QuantityLike]
    oat: NotRequired[QuantityLike]  # Outside air temperature. (at least -90 C; at most 60 C)
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
    dew_point: NotRequired[QuantityLike]
    relative_humidity: NotRequired[RatioLike]  # Relative humidity, in place of dew_point. (at least 0; at most 1)
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.
    name: str  # Name of the condition.
    # Wind against the flight, negative from behind; none when left out. (at least -40 m/s; at most 40 m/s)
    headwind: NotRequired[QuantityLike]
    # Where the wind comes from, by the same north as the strip's heading; with wind_speed, in place of headwind. (at
    # least 0 deg; at most 360 deg)
    wind_direction: NotRequired[QuantityLike]
    wind_speed: NotRequired[QuantityLike]  # Speed of that wind. (at least 0 m/s; at most 40 m/s)


ChanceMeasure = Literal[
    "weight",
    "cg_arm",
    "cg_chord_fraction",
    "cg_margin",
    "power_available",
    "power_delivered",
    "power_to_weight",
    "installed_power_to_weight",
    "best_climb_rate",
    "best_climb_speed_calibrated",
    "best_angle",
    "best_angle_speed_calibrated",
    "climb_gradient",
    "service_ceiling",
    "absolute_ceiling",
    "greatest_level_speed_true",
    "greatest_level_speed_calibrated",
    "stall_speed_calibrated",
    "stall_speed_true",
    "static_thrust",
    "static_thrust_fraction",
    "static_engine_speed",
    "engine_speed_in_climb",
    "engine_speed_level",
    "tip_mach",
    "altimeter_climb_rate",
    "best_climb_speed_indicated",
    "best_angle_speed_indicated",
    "greatest_level_speed_indicated",
    "stall_speed_indicated",
    "approach_speed_indicated",
    "approach_speed_calibrated",
    "allowed_load_factor",
    "manoeuvring_speed_calibrated",
    "climb_rate_at_speed",
    "time_to_climb",
    "fuel_to_climb",
    "distance_to_climb",
    "cruise_speed_true",
    "cruise_speed_calibrated",
    "cruise_speed_indicated",
    "cruise_power_fraction",
    "fuel_flow",
    "endurance",
    "range",
    "best_range_speed_calibrated",
    "best_endurance_speed_calibrated",
    "greatest_range",
    "greatest_endurance",
    "best_glide_ratio",
    "best_glide_speed_calibrated",
    "glide_ratio_in_wind",
    "glide_speed_in_wind_calibrated",
    "least_sink",
    "least_sink_speed_calibrated",
    "load_factor_in_turn",
    "stall_speed_in_turn_calibrated",
    "turn_glide_speed_calibrated",
    "climb_rate_in_turn",
    "turn_radius",
    "reversal_height_lost",
    "lift_off_speed_calibrated",
    "takeoff_roll",
    "takeoff_distance",
    "takeoff_distance_published",
    "takeoff_distance_required",
    "takeoff_checkpoint",
    "accelerate_stop_distance",
    "landing_roll",
    "landing_distance",
    "landing_distance_published",
    "landing_distance_required",
    "headwind",
    "crosswind",
    "takeoff_margin",
    "landing_margin",
    "takeoff_distance_reversed",
    "takeoff_margin_reversed",
    "landing_distance_reversed",
    "landing_margin_reversed",
]


class Chance(TypedDict):
    """Chance."""

    measure: ChanceMeasure  # The measure that shall meet it.
    at_least: NotRequired[RatioLike]  # Least that it shall be.
    at_most: NotRequired[RatioLike]  # Most that it shall be.
    loading: NotRequired[str]  # Name of the loading, where there are several.
    condition: NotRequired[str]  # Name of the condition, where there are several.


class Climb(TypedDict):
    """Climb."""

    # Calibrated airspeed held; that of the best rate when left out. (above 5 kt; at most 300 kt)
    speed: NotRequired[QuantityLike]
    configuration: NotRequired[str]  # Name of the stall whose flaps are set in the climb.
    # Pressure altitude at which a timed climb begins; the condition's when left out. (at least -500 m; at most 9000
    # m)
    from_altitude: NotRequired[QuantityLike]
    # Pressure altitude at which it ends; with it time, fuel and distance are answered. (at least -500 m; at most 9000
    # m)
    to_altitude: NotRequired[QuantityLike]


class Cruise(TypedDict):
    """Cruise."""

    power_fraction: NotRequired[RatioLike]  # Shaft power over rated power. (above 0.05; at most 1.2)
    full_throttle: NotRequired[bool]  # Full throttle, in place of power_fraction.
    true: NotRequired[QuantityLike]  # True airspeed held, in place of a setting. (above 5 kt; at most 300 kt)
    # Calibrated airspeed held, in place of a setting. (above 5 kt; at most 300 kt)
    calibrated: NotRequired[QuantityLike]
    # Indicated airspeed held, in place of a setting. (above 5 kt; at most 300 kt)
    indicated: NotRequired[QuantityLike]
    reserve: NotRequired[QuantityLike]  # Time at this cruise for which fuel is kept. (at least 0 min; at most 10 h)


class Turn(TypedDict):
    """Turn."""

    bank: NotRequired[QuantityLike]  # Bank; 30 deg when left out. (at least 0.1 deg; at most 75 deg)
    load_factor: NotRequired[RatioLike]  # Lift over weight, in place of bank. (above 1; at most 4)
    # Change of heading of a course reversal; 180 deg. (above 0 deg; at most 540 deg)
    reversal: NotRequired[QuantityLike]


class TakeOff(TypedDict):
    """Take off."""

    # Name of the stall whose flaps are set for take-off; the first stall's when left out.
    configuration: NotRequired[str]
    lift_off_factor: NotRequired[RatioLike]  # Lift-off speed over the stall speed; 1.2. (at least 1.05; at most 1.6)
    # Speed over the obstacle over the stall speed; 1.3. (at least 1.1; at most 1.8)
    obstacle_factor: NotRequired[RatioLike]
    # From lift-off speed to leaving the ground; 1 s. (at least 0 s; at most 10 s)
    rotation_time: NotRequired[QuantityLike]
    rolling_lift_coefficient: NotRequired[RatioLike]  # Lift coefficient while rolling; 0.4. (at least 0; at most 1.5)
    technique_factor: NotRequired[RatioLike]  # Distance over a well-flown one; 1. (at least 1; at most 2)
    # Fraction of lift-off speed whose place on the strip is answered; 0.7. (at least 0.1; at most 1)
    checkpoint: NotRequired[RatioLike]
    # Before the brakes bite in a rejected take-off; 2 s. (at least 0 s; at most 10 s)
    reaction_time: NotRequired[QuantityLike]


class Landing(TypedDict):
    """Landing."""

    # Name of the stall whose flaps are set for landing; the last stall's when left out.
    configuration: NotRequired[str]
    approach_factor: NotRequired[RatioLike]  # Approach speed over the stall speed; 1.3. (at least 1.1; at most 1.8)
    touchdown_factor: NotRequired[RatioLike]  # Touchdown speed over the stall speed; 1.15. (at least 1; at most 1.6)
    # Of the descent, below the horizontal; 3 deg. (at least 1 deg; at most 12 deg)
    approach_angle: NotRequired[QuantityLike]
    flare_load_factor: NotRequired[RatioLike]  # Load factor in the flare; 1.2. (at least 1.02; at most 2)
    # From touchdown until the brakes bite; 2 s. (at least 0 s; at most 10 s)
    free_roll_time: NotRequired[QuantityLike]
    rolling_lift_coefficient: NotRequired[RatioLike]  # Lift coefficient while rolling; 0.4. (at least 0; at most 1.5)
    technique_factor: NotRequired[RatioLike]  # Distance over a well-flown one; 1. (at least 1; at most 2)


class Strip(TypedDict):
    """Strip."""

    name: NotRequired[str]  # Name of the strip.
    length: NotRequired[QuantityLike]  # What can be used of it. (above 20 m; at most 10000 m; no plus_minus)
    # Rise over run, positive uphill in the direction of take-off. (at least -0.3; at most 0.3)
    slope: NotRequired[RatioLike]
    # Surface.
    surface: NotRequired[
        Literal[
            "paved-dry",
            "paved-wet",
            "gravel",
            "hard-turf",
            "short-dry-grass",
            "short-wet-grass",
            "long-grass",
            "long-wet-grass",
            "soft",
        ]
    ]
    # Height above mean sea level; stands for the elevation of a condition that gives qnh or metar without one. (at
    # least -500 m; at most 9000 m)
    elevation: NotRequired[QuantityLike]
    obstacle_height: NotRequired[QuantityLike]  # Height to clear; 50 ft when left out. (at least 0 m; at most 200 m)
    # Direction of take-off, by the same north as the wind; with it a wind's direction becomes head- and crosswind.
    # (at least 0 deg; at most 360 deg; no plus_minus)
    heading: NotRequired[QuantityLike]
    one_way: NotRequired[bool]  # Taken off from in the stated direction only, landed on against it.
    # Friction of free wheels, in place of the surface's. (at least 0; at most 0.5)
    rolling_friction: NotRequired[RatioLike]
    # Friction of braked wheels, in place of the surface's. (at least 0.02; at most 0.9)
    braking_friction: NotRequired[RatioLike]


PerformanceMeasure = Literal[
    "all",
    "aeroplane",
    "propeller",
    "instruments",
    "manoeuvre",
    "climb",
    "cruise",
    "glide",
    "turn",
    "takeoff",
    "landing",
    "strip",
    "weight",
    "cg_arm",
    "cg_chord_fraction",
    "cg_margin",
    "power_available",
    "power_delivered",
    "power_to_weight",
    "installed_power_to_weight",
    "best_climb_rate",
    "best_climb_speed_calibrated",
    "best_angle",
    "best_angle_speed_calibrated",
    "climb_gradient",
    "service_ceiling",
    "absolute_ceiling",
    "greatest_level_speed_true",
    "greatest_level_speed_calibrated",
    "stall_speed_calibrated",
    "stall_speed_true",
    "static_thrust",
    "static_thrust_fraction",
    "static_engine_speed",
    "engine_speed_in_climb",
    "engine_speed_level",
    "tip_mach",
    "altimeter_climb_rate",
    "best_climb_speed_indicated",
    "best_angle_speed_indicated",
    "greatest_level_speed_indicated",
    "stall_speed_indicated",
    "approach_speed_indicated",
    "approach_speed_calibrated",
    "allowed_load_factor",
    "manoeuvring_speed_calibrated",
    "climb_rate_at_speed",
    "time_to_climb",
    "fuel_to_climb",
    "distance_to_climb",
    "cruise_speed_true",
    "cruise_speed_calibrated",
    "cruise_speed_indicated",
    "cruise_power_fraction",
    "fuel_flow",
    "endurance",
    "range",
    "best_range_speed_calibrated",
    "best_endurance_speed_calibrated",
    "greatest_range",
    "greatest_endurance",
    "best_glide_ratio",
    "best_glide_speed_calibrated",
    "glide_ratio_in_wind",
    "glide_speed_in_wind_calibrated",
    "least_sink",
    "least_sink_speed_calibrated",
    "load_factor_in_turn",
    "stall_speed_in_turn_calibrated",
    "turn_glide_speed_calibrated",
    "climb_rate_in_turn",
    "turn_radius",
    "reversal_height_lost",
    "lift_off_speed_calibrated",
    "takeoff_roll",
    "takeoff_distance",
    "takeoff_distance_published",
    "takeoff_distance_required",
    "takeoff_checkpoint",
    "accelerate_stop_distance",
    "landing_roll",
    "landing_distance",
    "landing_distance_published",
    "landing_distance_required",
    "headwind",
    "crosswind",
    "takeoff_margin",
    "landing_margin",
    "takeoff_distance_reversed",
    "takeoff_margin_reversed",
    "landing_distance_reversed",
    "landing_margin_reversed",
    "stall_speeds",
]


class Wing(TypedDict):
    """Wing."""

    area: QuantityLike  # Wing area. (above 1 m2; at most 100 m2)
    span: QuantityLike  # Wing span. (above 2 m; at most 40 m)
    chord: NotRequired[QuantityLike]  # Mean aerodynamic chord. (above 0.1 m; at most 10 m)
    # Arm of the leading edge of the mean chord. (at least -100 m; at most 100 m)
    leading_edge_arm: NotRequired[QuantityLike]
    height: NotRequired[QuantityLike]  # Height of the wing above the ground while rolling. (above 0.2 m; at most 6 m)
    # Chord on the centre line of a straight-tapered wing; with tip_chord and root_leading_edge_arm in place of chord
    # and leading_edge_arm. (above 0.1 m; at most 10 m)
    root_chord: NotRequired[QuantityLike]
    tip_chord: NotRequired[QuantityLike]  # Chord at its tip. (at least 0 m; at most 10 m)
    # Sweep of its leading edge; none when left out. (at least -45 deg; at most 60 deg)
    leading_edge_sweep: NotRequired[QuantityLike]
    # Arm of its leading edge on the centre line. (at least -100 m; at most 100 m)
    root_leading_edge_arm: NotRequired[QuantityLike]


class Limits(TypedDict):
    """Limits."""

    maximum_weight: NotRequired[QuantityLike]  # Greatest weight. (above 0 kg; at most 10000 kg; no plus_minus)
    forward: NotRequired[QuantityLike]  # Forward limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
    aft: NotRequired[QuantityLike]  # Aft limit of the CG. (at least -100 m; at most 100 m; no plus_minus)
    load_factor: NotRequired[RatioLike]  # Limit load factor of the structure. (above 1; at most 20; no plus_minus)
    # Weight at which that load factor was shown. (above 0.1 kg; at most 10000 kg; no plus_minus)
    load_factor_weight: NotRequired[QuantityLike]


class Engine(TypedDict):
    """Engine."""

    power: QuantityLike  # Rated power at sea level. (above 1 hp; at most 2000 hp)
    speed: NotRequired[QuantityLike]  # Engine speed of the rated power. (above 100 rpm; at most 20000 rpm)
    # Engine speed over propeller speed; 1 without a gear. (at least 0.2; at most 10; no plus_minus)
    reduction: NotRequired[RatioLike]
    # How the engine breathes: a turbocharged one holds its power to critical_altitude, an electric motor has no
    # lapse.
    aspiration: NotRequired[Literal["natural", "turbocharged", "electric"]]
    # Altitude of the standard atmosphere to which a turbocharged engine holds rated power. (at least 0 m; at most
    # 12000 m)
    critical_altitude: NotRequired[QuantityLike]
    cycle: NotRequired[Literal["four-stroke", "two-stroke"]]  # Working cycle; it chooses the lapse's start.
    # C of the altitude lapse (sigma - C)/(1 - C); 0 makes power proportional to density. (at least 0; below 0.5)
    lapse_constant: NotRequired[RatioLike]
    # Power as installed over rated power: wear, jetting, exhaust. (above 0.2; at most 1.2)
    power_margin: NotRequired[RatioLike]
    # Most power the mount or the propeller's hub may take. (above 1 hp; no plus_minus)
    power_limit: NotRequired[QuantityLike]
    # Fuel for each shaft energy, at cruise. (above 0.1 kg/kWh; at most 2 kg/kWh)
    specific_consumption: NotRequired[QuantityLike]
    # Most that it may turn; the speed of the rated power when left out. (above 100 rpm; at most 20000 rpm; no
    # plus_minus)
    greatest_speed: NotRequired[QuantityLike]


class PitchSetting(TypedDict):
    """Pitch setting."""

    name: str  # Name of the setting.
    pitch_class: NotRequired[Literal["climb", "middle", "cruise"]]  # What its pitch favours; brings starting values.
    # Greatest thrust power over rated power at sea level. (above 0.2; at most 0.92)
    best_efficiency: NotRequired[RatioLike]
    # True airspeed at which it is reached. (above 10 kt; at most 300 kt)
    best_efficiency_speed: NotRequired[QuantityLike]
    # Engine speed at full throttle standing still at sea level. (above 100 rpm; at most 20000 rpm)
    static_speed: NotRequired[QuantityLike]


class Propeller(TypedDict):
    """Propeller."""

    kind: Literal["fixed-pitch", "ground-adjustable", "constant-speed", "constant-efficiency"]  # Kind of propeller.
    diameter: NotRequired[QuantityLike]  # Diameter. (above 0.5 m; at most 5 m)
    pitch_class: NotRequired[Literal["climb", "middle", "cruise"]]  # What its pitch favours; brings starting values.
    # Greatest thrust power over rated power at sea level. (above 0.2; at most 0.92)
    best_efficiency: NotRequired[RatioLike]
    # True airspeed at which it is reached. (above 10 kt; at most 300 kt)
    best_efficiency_speed: NotRequired[QuantityLike]
    # Engine speed at full throttle standing still at sea level. (above 100 rpm; at most 20000 rpm)
    static_speed: NotRequired[QuantityLike]
    settings: NotRequired[Sequence[PitchSetting]]  # Settings of a ground-adjustable propeller.
    setting: NotRequired[str]  # The setting flown; the first when left out.
    # Efficiency of a constant-speed propeller over that of a loss-free disc, in flight. (above 0.3; at most 0.98)
    quality: NotRequired[RatioLike]
    static_quality: NotRequired[RatioLike]  # The same standing still. (above 0.2; at most 0.98)
    # True airspeed from which quality holds; about half of the greatest level speed. (above 10 kt; at most 300 kt)
    quality_speed: NotRequired[QuantityLike]
    # Height of the hub above the ground where the tips come lowest, for the clearance. (above 0.3 m; at most 4 m; no
    # plus_minus)
    hub_height: NotRequired[QuantityLike]
    # Thrust over engine power at every speed, constant-efficiency only. (above 0.1; at most 0.95)
    efficiency: NotRequired[RatioLike]


class Drag(TypedDict):
    """Drag."""

    parasite_area: NotRequired[QuantityLike]  # Drag area that does not come from lift. (above 0.02 m2; at most 10 m2)
    # Kind of airframe; brings starting values for what is not known.
    airframe_class: NotRequired[
        Literal[
            "wire-braced-open",
            "strut-braced-fabric",
            "strut-braced-metal",
            "cantilever-metal",
            "composite",
            "retractable",
        ]
    ]
    span_efficiency: NotRequired[RatioLike]  # Oswald's span efficiency. (above 0.3; at most 1)
    # Drag area that the idling or stopped propeller adds in a glide. (at least 0 m2; at most 2 m2)
    idle_propeller_area: NotRequired[QuantityLike]


class Stall(TypedDict):
    """Stall."""

    configuration: str  # Flaps and gear of this stall.
    speed: NotRequired[QuantityLike]  # Calibrated stall speed. (above 5 kt; at most 150 kt)
    weight: NotRequired[QuantityLike]  # Weight at which it was flown. (above 0.1 kg; at most 10000 kg)
    arm: NotRequired[QuantityLike]  # Arm of the CG at which it was flown. (at least -100 m; at most 100 m)
    maximum_lift_coefficient: NotRequired[RatioLike]  # In place of speed and weight. (above 0.3; at most 5)
    parasite_area_gain: NotRequired[QuantityLike]  # Drag area that its flaps add. (at least 0 m2; at most 3 m2)


class SpeedLimits(TypedDict):
    """Speed limits."""

    # Never-exceed speed, indicated. (above 20 kt; at most 400 kt; no plus_minus)
    never_exceed: NotRequired[QuantityLike]
    # Speed above which to fly only in smooth air, indicated. (above 20 kt; at most 400 kt; no plus_minus)
    smooth_air: NotRequired[QuantityLike]
    # Most at which flaps may go out, indicated. (above 20 kt; at most 400 kt; no plus_minus)
    flaps: NotRequired[QuantityLike]


class Rules(TypedDict):
    """Rules."""

    name: NotRequired[str]  # What the owner calls the category.
    maximum_weight: NotRequired[QuantityLike]  # Greatest weight. (above 0 kg; at most 10000 kg; no plus_minus)
    # Greatest calibrated stall speed. (above 10 kt; at most 150 kt; no plus_minus)
    stall_speed: NotRequired[QuantityLike]
    configuration: NotRequired[str]  # Name of the stall that it holds for; the first when left out.
    # Greatest calibrated level speed at sea level. (above 20 kt; at most 400 kt; no plus_minus)
    level_speed: NotRequired[QuantityLike]


class AirspeedErrors(TypedDict):
    """Airspeed errors."""

    near_stall: NotRequired[RatioLike]  # Up to the stall speed. (at least 0.7; at most 1.4)
    # From twice the stall speed on; between the two a line. (at least 0.7; at most 1.4)
    cruise: NotRequired[RatioLike]


class Covariance(TypedDict):
    """Covariance."""

    parameters: Sequence[str]  # JSON Pointers of the numbers, each of which has a plus_minus.
    correlation: Sequence[Sequence[float]]  # Their correlation.
    observations: NotRequired[Sequence[str]]  # Names of the observations used.


class Aircraft(TypedDict):
    """Aircraft."""

    name: str  # What it is called.
    wing: Wing  # The wing.
    empty: NotRequired[Empty]  # Empty weight and its arm; or scales.
    scales: NotRequired[Sequence[Scale]]  # Scale readings in place of empty.
    items: NotRequired[Sequence[Item]]  # What the weighing left out: oil, coolant, unusable fuel.
    limits: NotRequired[Limits]  # Limits.
    # Corners of the balance envelope, in order around it; in place of forward and aft.
    envelope: NotRequired[Sequence[EnvelopePoint]]
    # Places for load; tanks burn in this order, after those that burn_order names.
    stations: NotRequired[Sequence[Station]]
    # Names of the tanks that burn first, in turn; the others follow as the stations stand.
    burn_order: NotRequired[Sequence[str]]
    engine: Engine  # The engine.
    propeller: Propeller  # The propeller.
    drag: Drag  # Drag.
    stalls: NotRequired[Sequence[Stall]]  # Stalls as flown; the first one's speed holds the climb speeds up.
    tail_arm: NotRequired[QuantityLike]  # From the wing's aerodynamic centre to the tail. (above 0.5 m; at most 30 m)
    # Airspeed correction table, rising: linear between its lines, never beyond.
    airspeed_correction: NotRequired[Sequence[CorrectionPoint]]
    speed_limits: NotRequired[SpeedLimits]  # The owner's own speed limits.
    rules: NotRequired[Rules]  # Caps of the owner's category.
    airspeed_errors: NotRequired[AirspeedErrors]  # What the airspeed system reads wrong, as a calibration found.
    # Which of the numbers with a plus_minus a calibration learned together; as answered.
    covariance: NotRequired[Covariance]


class PerformanceRequest(TypedDict):
    """Performance request."""

    loadings: Sequence[Loading]  # Loadings to answer for.
    conditions: Sequence[Condition]  # Conditions to answer for.
    # What measures shall be: the chance of each is answered, in every loading and condition unless one is named.
    targets: NotRequired[Sequence[Chance]]
    climb: NotRequired[Climb]  # How to climb; with it the measures of this climb are answered.
    cruise: NotRequired[Cruise]  # How to cruise; with it speed, fuel flow, range and endurance are answered.
    turn: NotRequired[Turn]  # How to turn; with it stall, climb, radius and height lost in the turn.
    takeoff: NotRequired[TakeOff]  # How to take off; with it the take-off is answered.
    landing: NotRequired[Landing]  # How to land; with it the landing is answered.
    strip: NotRequired[Strip]  # The strip; with it take-off, landing and the margins there are answered.
    # Measures wanted, by name or by group, in place of the aeroplane's own and those of the phases spoken of.
    measures: NotRequired[Sequence[PerformanceMeasure]]
    aircraft: Aircraft  # The aeroplane.


class PerformanceResultMeasures(TypedDict):
    """Measures by name: those asked for."""

    weight: NotRequired[Quantity]  # Weight of the loaded aeroplane. (mass)
    cg_arm: NotRequired[Quantity]  # Arm of its CG. (length)
    cg_chord_fraction: NotRequired[Quantity]  # CG as a fraction of the mean chord. (ratio)
    cg_margin: NotRequired[Quantity]  # Arm to the nearer limit at that weight, positive inside. (length)
    power_available: NotRequired[Quantity]  # Full-throttle power of the engine at rated speed in this air. (power)
    # Full-throttle power with this propeller, at the speed of the best climb. (power)
    power_delivered: NotRequired[Quantity]
    power_to_weight: NotRequired[Quantity]  # Available power over weight. (power to weight)
    installed_power_to_weight: NotRequired[Quantity]  # Rated power over weight. (power to weight)
    # Best rate of climb; negative where it sinks at full throttle. (vertical speed)
    best_climb_rate: NotRequired[Quantity]
    # Calibrated airspeed of the best rate of climb, 1.2 stall speeds or more. (speed)
    best_climb_speed_calibrated: NotRequired[Quantity]
    best_angle: NotRequired[Quantity]  # Best angle of climb through the air. (angle)
    # Calibrated airspeed of the best angle of climb, 1.2 stall speeds or more. (speed)
    best_angle_speed_calibrated: NotRequired[Quantity]
    # Height gained over distance on the ground at that speed, with the wind. (ratio)
    climb_gradient: NotRequired[Quantity]
    # Density altitude at which the best rate of climb is 100 ft/min. (altitude)
    service_ceiling: NotRequired[Quantity]
    absolute_ceiling: NotRequired[Quantity]  # Density altitude at which the best rate of climb is zero. (altitude)
    greatest_level_speed_true: NotRequired[Quantity]  # Greatest level speed at full throttle, true airspeed. (speed)
    # Greatest level speed at full throttle, calibrated airspeed. (speed)
    greatest_level_speed_calibrated: NotRequired[Quantity]
    # Stall speed of the first configuration, power off, calibrated. (speed)
    stall_speed_calibrated: NotRequired[Quantity]
    # Stall speed of the first configuration, power off, true airspeed. (speed)
    stall_speed_true: NotRequired[Quantity]
    # Thrust at full throttle standing still, never above the ideal of a disc of that diameter. (force)
    static_thrust: NotRequired[Quantity]
    static_thrust_fraction: NotRequired[Quantity]  # Static thrust over that ideal. (ratio)
    static_engine_speed: NotRequired[Quantity]  # Engine speed at full throttle standing still. (rotational speed)
    engine_speed_in_climb: NotRequired[Quantity]  # Engine speed at the speed of the best climb. (rotational speed)
    engine_speed_level: NotRequired[Quantity]  # Engine speed in level flight at full throttle. (rotational speed)
    tip_mach: NotRequired[Quantity]  # Mach number of the propeller's tips there, on their helical path. (ratio)
    # Best rate of climb as an altimeter shows it, climbing at one indicated airspeed. (vertical speed)
    altimeter_climb_rate: NotRequired[Quantity]
    # What the airspeed indicator reads at the best rate of climb. (speed)
    best_climb_speed_indicated: NotRequired[Quantity]
    # What the airspeed indicator reads at the best angle of climb. (speed)
    best_angle_speed_indicated: NotRequired[Quantity]
    # What the airspeed indicator reads at the greatest level speed. (speed)
    greatest_level_speed_indicated: NotRequired[Quantity]
    # What the airspeed indicator reads at the first configuration's stall. (speed)
    stall_speed_indicated: NotRequired[Quantity]
    approach_speed_indicated: NotRequired[Quantity]  # What the airspeed indicator reads on the approach. (speed)
    approach_speed_calibrated: NotRequired[Quantity]  # 1.3 times the stall speed of the last configuration. (speed)
    # Limit load factor at this weight of a structure shown at another. (ratio)
    allowed_load_factor: NotRequired[Quantity]
    # Speed below which the wing stalls before that load factor, clean. (speed)
    manoeuvring_speed_calibrated: NotRequired[Quantity]
    # True rate of climb at the speed and with the flaps that climb asks for. (vertical speed)
    climb_rate_at_speed: NotRequired[Quantity]
    time_to_climb: NotRequired[Quantity]  # Time at full throttle between the two pressure altitudes of climb. (time)
    fuel_to_climb: NotRequired[Quantity]  # Fuel burned on that climb. (volume)
    distance_to_climb: NotRequired[Quantity]  # Distance over the ground on that climb, with the wind. (distance)
    cruise_speed_true: NotRequired[Quantity]  # True airspeed of the cruise asked for. (speed)
    cruise_speed_calibrated: NotRequired[Quantity]  # Calibrated airspeed of the cruise. (speed)
    cruise_speed_indicated: NotRequired[Quantity]  # What the airspeed indicator reads in the cruise. (speed)
    cruise_power_fraction: NotRequired[Quantity]  # Shaft power of the cruise over rated power. (ratio)
    fuel_flow: NotRequired[Quantity]  # Fuel burned in the cruise. (fuel flow)
    endurance: NotRequired[Quantity]  # Time that the usable fuel lasts at that cruise, the reserve kept. (time)
    range: NotRequired[Quantity]  # Distance over the ground in that time, with the wind. (distance)
    # Calibrated airspeed of the longest range in this wind. (speed)
    best_range_speed_calibrated: NotRequired[Quantity]
    best_endurance_speed_calibrated: NotRequired[Quantity]  # Calibrated airspeed of the longest endurance. (speed)
    # Range at that speed, throttled as fuel burns, the same fuel kept in reserve. (distance)
    greatest_range: NotRequired[Quantity]
    # Endurance at that speed, throttled as fuel burns, the same fuel kept in reserve. (time)
    greatest_endurance: NotRequired[Quantity]
    # Distance for each unit of height in still air, the propeller idling or stopped. (ratio)
    best_glide_ratio: NotRequired[Quantity]
    # Calibrated airspeed of the best glide, 1.2 stall speeds or more. (speed)
    best_glide_speed_calibrated: NotRequired[Quantity]
    # Greatest distance over the ground for each unit of height, with the wind. (ratio)
    glide_ratio_in_wind: NotRequired[Quantity]
    # Calibrated airspeed of that glide, within never-exceed. (speed)
    glide_speed_in_wind_calibrated: NotRequired[Quantity]
    least_sink: NotRequired[Quantity]  # Least rate of sink, the propeller idling or stopped. (vertical speed)
    # Calibrated airspeed of the least sink, 1.2 stall speeds or more. (speed)
    least_sink_speed_calibrated: NotRequired[Quantity]
    load_factor_in_turn: NotRequired[Quantity]  # Lift over weight in the turn asked for. (ratio)
    # Stall speed of the first configuration in that turn, power off. (speed)
    stall_speed_in_turn_calibrated: NotRequired[Quantity]
    # Calibrated airspeed of the gliding turn: the flattest glide in that bank. (speed)
    turn_glide_speed_calibrated: NotRequired[Quantity]
    # Best rate of climb in that turn, 1.2 times above its stall or faster. (vertical speed)
    climb_rate_in_turn: NotRequired[Quantity]
    turn_radius: NotRequired[Quantity]  # Radius of that turn, gliding. (runway distance)
    # Height lost gliding through the course reversal, without the time to decide. (altitude)
    reversal_height_lost: NotRequired[Quantity]
    lift_off_speed_calibrated: NotRequired[Quantity]  # Calibrated airspeed of lift-off. (speed)
    takeoff_roll: NotRequired[Quantity]  # Distance on the ground to lift-off. (runway distance)
    takeoff_distance: NotRequired[Quantity]  # Distance from standstill to the obstacle height. (runway distance)
    # The same by physics on a level, dry, paved runway in calm air, times the published factors for surface, slope
    # and tailwind. (runway distance)
    takeoff_distance_published: NotRequired[Quantity]
    # The greater of the two, times the published safety factor 1.33. (runway distance)
    takeoff_distance_required: NotRequired[Quantity]
    # Distance by which the fraction of lift-off speed is there, or it is given up. (runway distance)
    takeoff_checkpoint: NotRequired[Quantity]
    # Distance to reach lift-off speed, give up and stop. (runway distance)
    accelerate_stop_distance: NotRequired[Quantity]
    landing_roll: NotRequired[Quantity]  # Distance on the ground from touchdown to standstill. (runway distance)
    landing_distance: NotRequired[Quantity]  # Distance from the obstacle height to standstill. (runway distance)
    # The same by physics on a level, dry, paved runway in calm air, times the published factors for surface, slope
    # and tailwind. (runway distance)
    landing_distance_published: NotRequired[Quantity]
    # The greater of the two, times the published safety factor 1.43. (runway distance)
    landing_distance_required: NotRequired[Quantity]
    headwind: NotRequired[Quantity]  # Wind against the take-off. (speed)
    crosswind: NotRequired[Quantity]  # Wind across the strip, positive from the right. (speed)
    # Strip left beyond the distance required; negative where it is too short. (runway distance)
    takeoff_margin: NotRequired[Quantity]
    # Strip left beyond the distance required; negative where it is too short. (runway distance)
    landing_margin: NotRequired[Quantity]
    # Take-off distance the other way: slope and wind turned round. (runway distance)
    takeoff_distance_reversed: NotRequired[Quantity]
    # Strip left beyond the distance required the other way. (runway distance)
    takeoff_margin_reversed: NotRequired[Quantity]
    # Landing distance the other way: slope and wind turned round. (runway distance)
    landing_distance_reversed: NotRequired[Quantity]
    # Strip left beyond the distance required the other way. (runway distance)
    landing_margin_reversed: NotRequired[Quantity]
    stall_speeds: NotRequired[Mapping[str, Quantity]]  # Stall speed, calibrated, of each configuration.


class PerformanceResult(TypedDict):
    """One loading in one condition."""

    loading: str  # Name of the loading.
    condition: str  # Name of the condition.
    measures: PerformanceResultMeasures  # Measures by name: those asked for.


class PerformanceSetting(TypedDict):
    """One loading in one condition."""

    loading: str  # Name of the loading.
    condition: str  # Name of the condition.
    measures: Mapping[str, PerformanceResultMeasures]  # The measures at each setting, by its name.
    best_for: Mapping[str, str | None]  # The best setting for climb, cruise and strip, as far as they are answered.


class PerformanceTarget(TypedDict):
    """A target in one scene."""

    setting: str | None  # Name of the setting; null for the aeroplane as it is.
    loading: str  # Name of the loading.
    condition: str  # Name of the condition.
    measure: ChanceMeasure  # Name of the measure.
    goal: Literal["at_least", "at_most"]  # What it shall be.
    target: Quantity  # The value that it shall meet.
    expected: Quantity  # The measure as it is expected.
    chance: Quantity  # Chance of meeting the target (ratio)


class WorkedScene(TypedDict):
    """Steps, and what they hold for."""

    option: NotRequired[str]  # The option, after which these steps hold.
    when: NotRequired[Literal["before", "after"]]  # Before or after the option.
    setting: NotRequired[str]  # The propeller's setting.
    loading: NotRequired[str]  # The loading; left out, they hold for each.
    condition: NotRequired[str]  # The condition; left out, they hold for each.
    observation: NotRequired[str]  # The observation of a calibration.
    flight: NotRequired[str]  # The flight of a test plan.
    steps: Sequence[Step]  # In order; they use what stands before.


class PerformanceAnswer(TypedDict):
    """Performance."""

    results: Sequence[PerformanceResult]  # For each loading and condition.
    # For a ground-adjustable propeller with several settings, each of them.
    settings: NotRequired[Sequence[PerformanceSetting]]
    targets: NotRequired[Sequence[PerformanceTarget]]  # The chance of each target, where the request has targets.
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[WorkedScene]]  # The calculation, where working=true asks for it.


class Mass(TypedDict):
    """Mass."""

    weight: QuantityLike  # Weight. (at least 0 kg; at most 10000 kg)
    arm: QuantityLike  # Arm. (at least -100 m; at most 100 m)


class EngineChange(TypedDict):
    """Engine change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["engine"]  # Kind of change.
    engine: Engine  # The new engine.
    removed: Mass  # Weight and arm of all that comes out with the old one.
    fitted: Mass  # Weight and arm of all that goes in with the new one.
    # What the pitch of the propeller that stays favours; brings starting values.
    pitch_class: NotRequired[Literal["climb", "middle", "cruise"]]
    # Of the propeller that stays, on the new engine. (above 0.2; at most 0.92)
    best_efficiency: NotRequired[RatioLike]
    # True airspeed at which it is reached. (above 10 kt; at most 300 kt)
    best_efficiency_speed: NotRequired[QuantityLike]
    static_speed: NotRequired[QuantityLike]  # New engine's speed standing still. (above 100 rpm; at most 20000 rpm)


class PropellerChange(TypedDict):
    """Propeller change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["propeller"]  # Kind of change.
    propeller: Propeller  # The new propeller.
    removed: Mass  # Weight and arm of all that comes out with the old one.
    fitted: Mass  # Weight and arm of all that goes in with the new one.


class DragChange(TypedDict):
    """Drag change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["drag"]  # Kind of change.
    parasite_area_change: QuantityLike  # Parasite area gained, negative for saved. (at least -5 m2; at most 5 m2)


class LiftChange(TypedDict):
    """Lift change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["lift"]  # Kind of change.
    # Gain of the greatest lift coefficient; when left out that of vortex generators, 10 % +/- 7 % (common practice,
    # no source). (above -0.5; at most 1)
    maximum_lift_gain: NotRequired[RatioLike]
    configuration: NotRequired[str]  # The stall configuration that gains; all when left out.


class WingChange(TypedDict):
    """Wing change."""

    name: str  # Name of the change.
    cost: NotRequired[QuantityLike]  # What it costs, with its ISO 4217 code.
    # Changes that lean on each other carry the same group and have one share of what is gained.
    group: NotRequired[str]
    kind: Literal["wing"]  # Kind of change.
    area: NotRequired[QuantityLike]  # New wing area. (above 1 m2; at most 100 m2)
    span: NotRequired[QuantityLike]  # New span. (above 2 m; at most 40 m)
    chord: NotRequired[QuantityLike]  # New mean chord. (above 0.1 m; at most 10 m)
    leading_edge_arm: NotRequired[QuantityLike]  # New arm of its leading edge. (at least -100 m; at most 100 m)


class Option(TypedDict):
    """Option."""

    name: str  # Name of the option.
    # The changes; at most one of kind engine and one of kind propeller.
    changes: Sequence[
        AddChange
        | RemoveChange
        | MoveChange
        | EngineChange
        | PropellerChange
        | DragChange
        | LiftChange
        | WingChange
        | StationChange
    ]


class AirAsFlown(TypedDict):
    """Air as flown."""

    # Height of the place above mean sea level, with qnh or metar. (at least -500 m; at most 9000 m)
    elevation: NotRequired[QuantityLike]
    qnh: NotRequired[QuantityLike]  # Altimeter setting, with elevation. (at least 850 hPa; at most 1100 hPa)
    # What an altimeter set to 1013.25 hPa reads. (at least -5000 m; at most 30000 m)
    pressure_altitude: NotRequired[QuantityLike]
    station_pressure: NotRequired[QuantityLike]  # Pressure measured at the place. (at least 20 hPa; at most 1200 hPa)
    # Density altitude alone: standard temperature is assumed there. (at least -5000 m; at most 30000 m)
    density_altitude: NotRequired[QuantityLike]
    oat: NotRequired[QuantityLike]  # Outside air temperature. (at least -90 C; at most 60 C)
    # Temperature above the standard one at this pressure, in place of oat. (at least -80 K; at most 80 K)
    temperature_offset: NotRequired[QuantityLike]
    # Dew point; without it and relative_humidity the air is dry. (at least -90 C; at most 50 C)
    dew_point: NotRequired[QuantityLike]
    relative_humidity: NotRequired[RatioLike]  # Relative humidity, in place of dew_point. (at least 0; at most 1)
    metar: NotRequired[str]  # A coded weather report, with elevation: temperature, dew point and pressure are read.
    name: NotRequired[str]  # What it is called; may be left out.
    # Wind against the flight, negative from behind; none when left out. (at least -40 m/s; at most 40 m/s)
    headwind: NotRequired[QuantityLike]
    # Where the wind comes from, by the same north as the strip's heading; with wind_speed, in place of headwind. (at
    # least 0 deg; at most 360 deg)
    wind_direction: NotRequired[QuantityLike]
    wind_speed: NotRequired[QuantityLike]  # Speed of that wind. (at least 0 m/s; at most 40 m/s)


class ObservationOf(TypedDict):
    """Observation of."""

    name: str  # Name of the flight.
    # What kind of observation it is.
    kind: Literal["climb", "level", "stall", "glide", "ground-roll", "static-thrust", "acceleration"]
    day: NotRequired[str]  # Flights of one day share the errors of altimeter and thermometer; one day when left out.
    condition: AirAsFlown  # The air, in the middle of the flight.
    stations: NotRequired[Mapping[str, QuantityLike]]  # What each station held at the start; or weight.
    # Weight of the whole aeroplane, in place of stations. (above 0.1 kg; at most 10000 kg)
    weight: NotRequired[QuantityLike]
    arm: NotRequired[QuantityLike]  # Arm of its CG, with weight. (at least -100 m; at most 100 m)
    fuel_used: NotRequired[QuantityLike]  # Fuel burned since then when it ended; half of it counts.
    rate: NotRequired[QuantityLike]  # Rate of climb; with its plus_minus. (at least -20 m/s; at most 30 m/s)
    sink: NotRequired[QuantityLike]  # Rate of sink, positive. (above 0 m/s; at most 30 m/s)
    # What showed the rate: the altimeter, or the height over the ground (by GPS).
    rate_by: NotRequired[Literal["altimeter", "height"]]
    # Pressure altitude at which a timed band began, in place of a rate. (at least -500 m; at most 9000 m; no
    # plus_minus)
    from_altitude: NotRequired[QuantityLike]
    # Pressure altitude at which it ended. (at least -500 m; at most 9000 m; no plus_minus)
    to_altitude: NotRequired[QuantityLike]
    duration: NotRequired[QuantityLike]  # Time that the band, or the acceleration, took. (above 0 s; at most 3600 s)
    indicated: NotRequired[QuantityLike]  # Airspeed as read. (above 5 kt; at most 300 kt)
    calibrated: NotRequired[QuantityLike]  # Calibrated airspeed, in place of indicated. (above 5 kt; at most 300 kt)
    # True airspeed, in place of indicated, for example by GPS on three headings. (above 5 kt; at most 300 kt)
    true: NotRequired[QuantityLike]
    # Airspeed at which the acceleration ended, of the same reading. (above 5 kt; at most 300 kt)
    end_speed: NotRequired[QuantityLike]
    configuration: NotRequired[str]  # Name of the stall whose flaps were set; the first when left out.
    power_fraction: NotRequired[RatioLike]  # Power over rated power. (above 0.1; at most 1.2)
    full_throttle: NotRequired[bool]  # Flown at full throttle.
    distance: NotRequired[QuantityLike]  # Ground roll. (above 10 m; at most 3000 m)
    slope: NotRequired[RatioLike]  # Rise over run of the runway, positive uphill. (at least -0.2; at most 0.2)
    # Surface; dry and paved when left out.
    surface: NotRequired[
        Literal[
            "paved-dry",
            "paved-wet",
            "gravel",
            "hard-turf",
            "short-dry-grass",
            "short-wet-grass",
            "long-grass",
            "long-wet-grass",
            "soft",
        ]
    ]
    rolling_friction: NotRequired[RatioLike]  # In place of the surface's. (at least 0; at most 0.5)
    thrust: NotRequired[QuantityLike]  # Thrust standing still, by a scale. (above 50 N; at most 20000 N)
    # Engine speed standing still at full throttle. (above 300 rpm; at most 12000 rpm)
    static_speed: NotRequired[QuantityLike]
    of: str  # baseline, or the name of the option it was flown after.


class ComparisonRequest(TypedDict):
    """Comparison request."""

    loadings: Sequence[Loading]  # Loadings to answer for.
    conditions: Sequence[Condition]  # Conditions to answer for.
    # What measures shall be: the chance of each is answered, in every loading and condition unless one is named.
    targets: NotRequired[Sequence[Chance]]
    climb: NotRequired[Climb]  # How to climb; with it the measures of this climb are answered.
    cruise: NotRequired[Cruise]  # How to cruise; with it speed, fuel flow, range and endurance are answered.
    turn: NotRequired[Turn]  # How to turn; with it stall, climb, radius and height lost in the turn.
    takeoff: NotRequired[TakeOff]  # How to take off; with it the take-off is answered.
    landing: NotRequired[Landing]  # How to land; with it the landing is answered.
    strip: NotRequired[Strip]  # The strip; with it take-off, landing and the margins there are answered.
    # Measures wanted, by name or by group, in place of the aeroplane's own and those of the phases spoken of.
    measures: NotRequired[Sequence[PerformanceMeasure]]
    # Whether to answer what each change bought: its share of the change of every measure, of up to 8 changes or
    # groups of an option.
    shares: NotRequired[bool]
    baseline: Aircraft  # The aeroplane as it is.
    options: Sequence[Option]  # What the owner thinks of doing, each a list of changes.
    # What was observed in flight, before and after: each change observed is split into what the changes made explain
    # and the rest.
    observations: NotRequired[Sequence[ObservationOf]]


class ComparisonOptionResultMeasure(TypedDict):
    """Weight of the loaded aeroplane."""

    before: Quantity  # Weight of the loaded aeroplane. Before (mass)
    after: Quantity  # Weight of the loaded aeroplane. After (mass)
    change: Quantity  # Weight of the loaded aeroplane. Change (mass)
    # What each change bought of it, by its name or its group's, where shares are asked for.
    shares: NotRequired[Mapping[str, Quantity]]


class ComparisonOptionResultMeasures(TypedDict):
    """Measures by name: those asked for."""

    weight: NotRequired[ComparisonOptionResultMeasure]  # Weight of the loaded aeroplane.
    cg_arm: NotRequired[ComparisonOptionResultMeasure]  # Arm of its CG.
    cg_chord_fraction: NotRequired[ComparisonOptionResultMeasure]  # CG as a fraction of the mean chord.
    cg_margin: NotRequired[ComparisonOptionResultMeasure]  # Arm to the nearer limit at that weight, positive inside.
    # Full-throttle power of the engine at rated speed in this air.
    power_available: NotRequired[ComparisonOptionResultMeasure]
    # Full-throttle power with this propeller, at the speed of the best climb.
    power_delivered: NotRequired[ComparisonOptionResultMeasure]
    power_to_weight: NotRequired[ComparisonOptionResultMeasure]  # Available power over weight.
    installed_power_to_weight: NotRequired[ComparisonOptionResultMeasure]  # Rated power over weight.
    # Best rate of climb; negative where it sinks at full throttle.
    best_climb_rate: NotRequired[ComparisonOptionResultMeasure]
    # Calibrated airspeed of the best rate of climb, 1.2 stall speeds or more.
    best_climb_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    best_angle: NotRequired[ComparisonOptionResultMeasure]  # Best angle of climb through the air.
    # Calibrated airspeed of the best angle of climb, 1.2 stall speeds or more.
    best_angle_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Height gained over distance on the ground at that speed, with the wind.
    climb_gradient: NotRequired[ComparisonOptionResultMeasure]
    # Density altitude at which the best rate of climb is 100 ft/min.
    service_ceiling: NotRequired[ComparisonOptionResultMeasure]
    # Density altitude at which the best rate of climb is zero.
    absolute_ceiling: NotRequired[ComparisonOptionResultMeasure]
    # Greatest level speed at full throttle, true airspeed.
    greatest_level_speed_true: NotRequired[ComparisonOptionResultMeasure]
    # Greatest level speed at full throttle, calibrated airspeed.
    greatest_level_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Stall speed of the first configuration, power off, calibrated.
    stall_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Stall speed of the first configuration, power off, true airspeed.
    stall_speed_true: NotRequired[ComparisonOptionResultMeasure]
    # Thrust at full throttle standing still, never above the ideal of a disc of that diameter.
    static_thrust: NotRequired[ComparisonOptionResultMeasure]
    static_thrust_fraction: NotRequired[ComparisonOptionResultMeasure]  # Static thrust over that ideal.
    static_engine_speed: NotRequired[ComparisonOptionResultMeasure]  # Engine speed at full throttle standing still.
    engine_speed_in_climb: NotRequired[ComparisonOptionResultMeasure]  # Engine speed at the speed of the best climb.
    engine_speed_level: NotRequired[ComparisonOptionResultMeasure]  # Engine speed in level flight at full throttle.
    # Mach number of the propeller's tips there, on their helical path.
    tip_mach: NotRequired[ComparisonOptionResultMeasure]
    # Best rate of climb as an altimeter shows it, climbing at one indicated airspeed.
    altimeter_climb_rate: NotRequired[ComparisonOptionResultMeasure]
    # What the airspeed indicator reads at the best rate of climb.
    best_climb_speed_indicated: NotRequired[ComparisonOptionResultMeasure]
    # What the airspeed indicator reads at the best angle of climb.
    best_angle_speed_indicated: NotRequired[ComparisonOptionResultMeasure]
    # What the airspeed indicator reads at the greatest level speed.
    greatest_level_speed_indicated: NotRequired[ComparisonOptionResultMeasure]
    # What the airspeed indicator reads at the first configuration's stall.
    stall_speed_indicated: NotRequired[ComparisonOptionResultMeasure]
    # What the airspeed indicator reads on the approach.
    approach_speed_indicated: NotRequired[ComparisonOptionResultMeasure]
    # 1.3 times the stall speed of the last configuration.
    approach_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Limit load factor at this weight of a structure shown at another.
    allowed_load_factor: NotRequired[ComparisonOptionResultMeasure]
    # Speed below which the wing stalls before that load factor, clean.
    manoeuvring_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # True rate of climb at the speed and with the flaps that climb asks for.
    climb_rate_at_speed: NotRequired[ComparisonOptionResultMeasure]
    # Time at full throttle between the two pressure altitudes of climb.
    time_to_climb: NotRequired[ComparisonOptionResultMeasure]
    fuel_to_climb: NotRequired[ComparisonOptionResultMeasure]  # Fuel burned on that climb.
    # Distance over the ground on that climb, with the wind.
    distance_to_climb: NotRequired[ComparisonOptionResultMeasure]
    cruise_speed_true: NotRequired[ComparisonOptionResultMeasure]  # True airspeed of the cruise asked for.
    cruise_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]  # Calibrated airspeed of the cruise.
    # What the airspeed indicator reads in the cruise.
    cruise_speed_indicated: NotRequired[ComparisonOptionResultMeasure]
    cruise_power_fraction: NotRequired[ComparisonOptionResultMeasure]  # Shaft power of the cruise over rated power.
    fuel_flow: NotRequired[ComparisonOptionResultMeasure]  # Fuel burned in the cruise.
    # Time that the usable fuel lasts at that cruise, the reserve kept.
    endurance: NotRequired[ComparisonOptionResultMeasure]
    range: NotRequired[ComparisonOptionResultMeasure]  # Distance over the ground in that time, with the wind.
    # Calibrated airspeed of the longest range in this wind.
    best_range_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Calibrated airspeed of the longest endurance.
    best_endurance_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Range at that speed, throttled as fuel burns, the same fuel kept in reserve.
    greatest_range: NotRequired[ComparisonOptionResultMeasure]
    # Endurance at that speed, throttled as fuel burns, the same fuel kept in reserve.
    greatest_endurance: NotRequired[ComparisonOptionResultMeasure]
    # Distance for each unit of height in still air, the propeller idling or stopped.
    best_glide_ratio: NotRequired[ComparisonOptionResultMeasure]
    # Calibrated airspeed of the best glide, 1.2 stall speeds or more.
    best_glide_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Greatest distance over the ground for each unit of height, with the wind.
    glide_ratio_in_wind: NotRequired[ComparisonOptionResultMeasure]
    # Calibrated airspeed of that glide, within never-exceed.
    glide_speed_in_wind_calibrated: NotRequired[ComparisonOptionResultMeasure]
    least_sink: NotRequired[ComparisonOptionResultMeasure]  # Least rate of sink, the propeller idling or stopped.
    # Calibrated airspeed of the least sink, 1.2 stall speeds or more.
    least_sink_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    load_factor_in_turn: NotRequired[ComparisonOptionResultMeasure]  # Lift over weight in the turn asked for.
    # Stall speed of the first configuration in that turn, power off.
    stall_speed_in_turn_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Calibrated airspeed of the gliding turn: the flattest glide in that bank.
    turn_glide_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]
    # Best rate of climb in that turn, 1.2 times above its stall or faster.
    climb_rate_in_turn: NotRequired[ComparisonOptionResultMeasure]
    turn_radius: NotRequired[ComparisonOptionResultMeasure]  # Radius of that turn, gliding.
    # Height lost gliding through the course reversal, without the time to decide.
    reversal_height_lost: NotRequired[ComparisonOptionResultMeasure]
    lift_off_speed_calibrated: NotRequired[ComparisonOptionResultMeasure]  # Calibrated airspeed of lift-off.
    takeoff_roll: NotRequired[ComparisonOptionResultMeasure]  # Distance on the ground to lift-off.
    takeoff_distance: NotRequired[ComparisonOptionResultMeasure]  # Distance from standstill to the obstacle height.
    # The same by physics on a level, dry, paved runway in calm air, times the published factors for surface, slope
    # and tailwind.
    takeoff_distance_published: NotRequired[ComparisonOptionResultMeasure]
    # The greater of the two, times the published safety factor 1.33.
    takeoff_distance_required: NotRequired[ComparisonOptionResultMeasure]
    # Distance by which the fraction of lift-off speed is there, or it is given up.
    takeoff_checkpoint: NotRequired[ComparisonOptionResultMeasure]
    # Distance to reach lift-off speed, give up and stop.
    accelerate_stop_distance: NotRequired[ComparisonOptionResultMeasure]
    landing_roll: NotRequired[ComparisonOptionResultMeasure]  # Distance on the ground from touchdown to standstill.
    landing_distance: NotRequired[ComparisonOptionResultMeasure]  # Distance from the obstacle height to standstill.
    # The same by physics on a level, dry, paved runway in calm air, times the published factors for surface, slope
    # and tailwind.
    landing_distance_published: NotRequired[ComparisonOptionResultMeasure]
    # The greater of the two, times the published safety factor 1.43.
    landing_distance_required: NotRequired[ComparisonOptionResultMeasure]
    headwind: NotRequired[ComparisonOptionResultMeasure]  # Wind against the take-off.
    crosswind: NotRequired[ComparisonOptionResultMeasure]  # Wind across the strip, positive from the right.
    # Strip left beyond the distance required; negative where it is too short.
    takeoff_margin: NotRequired[ComparisonOptionResultMeasure]
    # Strip left beyond the distance required; negative where it is too short.
    landing_margin: NotRequired[ComparisonOptionResultMeasure]
    # Take-off distance the other way: slope and wind turned round.
    takeoff_distance_reversed: NotRequired[ComparisonOptionResultMeasure]
    # Strip left beyond the distance required the other way.
    takeoff_margin_reversed: NotRequired[ComparisonOptionResultMeasure]
    # Landing distance the other way: slope and wind turned round.
    landing_distance_reversed: NotRequired[ComparisonOptionResultMeasure]
    # Strip left beyond the distance required the other way.
    landing_margin_reversed: NotRequired[ComparisonOptionResultMeasure]
    # Stall speed, calibrated, of each configuration.
    stall_speeds: NotRequired[Mapping[str, ComparisonOptionResultMeasure]]


class ComparisonOptionResult(TypedDict):
    """One loading in one condition."""

    loading: str  # Name of the loading.
    condition: str  # Name of the condition.
    measures: ComparisonOptionResultMeasures  # Measures by name: those asked for.
    cost_per_100_ft_per_min: Quantity  # Cost of each 100 ft/min of the best rate of climb gained.
    cost_per_horsepower: Quantity  # Cost of each horsepower of available power gained.


class ComparisonOption(TypedDict):
    """An option, before and after."""

    name: str  # Name of the option.
    exceeded: Sequence[str]  # Codes of the limits that are broken.
    exceeded_before: Sequence[str]  # Those of them that were broken in the same loadings before the change.
    cost: Quantity  # What the changes cost together.
    results: Sequence[ComparisonOptionResult]  # For each loading and condition.
    cautions: Sequence[Caution]  # Of the changed aeroplane.


class ComparisonTarget(TypedDict):
    """A target in one scene."""

    option: str | None  # Name of the option; null for the aeroplane as it is.
    loading: str  # Name of the loading.
    condition: str  # Name of the condition.
    measure: ChanceMeasure  # Name of the measure.
    goal: Literal["at_least", "at_most"]  # What it shall be.
    target: Quantity  # The value that it shall meet.
    expected: Quantity  # The measure as it is expected.
    chance: Quantity  # Chance of meeting the target (ratio)


class ComparisonObservation(TypedDict):
    """An observation against the aeroplane that it is of."""

    name: str  # Name of the observation.
    of: str  # baseline, or the option that it was flown after.
    kind: str  # Kind of observation.
    measured: str  # What it measures.
    observed: Quantity  # What was observed, airspeeds through the owner's table.
    expected: Quantity  # What that aeroplane should have read.
    standard_deviations: Quantity  # That difference in its standard deviations (ratio)
    read: NotRequired[Quantity]  # What was read, where the owner's table makes another airspeed of it.


class ComparisonObservedChange(TypedDict):
    """An observed change, and what of it the changes made explain."""

    option: str  # The option.
    before: str  # Observation of the aeroplane as it is.
    after: str  # Observation of the same sort, flown after the option.
    kind: str  # Kind of observation.
    measured: str  # What it measures.
    observed_change: Quantity  # After less before, as observed.
    explained: Quantity  # What the changes made, and another load or air, explain of it.
    unexplained: Quantity  # What they do not.
    standard_deviations: Quantity  # That difference in its standard deviations (ratio)


class ComparisonAnswer(TypedDict):
    """Before and after."""

    options: Sequence[ComparisonOption]  # In the order of the request.
    targets: NotRequired[Sequence[ComparisonTarget]]  # The chance of each target, where the request has targets.
    # Where observations were sent: each against its aeroplane.
    observations: NotRequired[Sequence[ComparisonObservation]]
    observed_changes: NotRequired[Sequence[ComparisonObservedChange]]  # Each pair of one sort.
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[WorkedScene]]  # The calculation, where working=true asks for it.


class Observation(TypedDict):
    """Observation."""

    name: str  # Name of the flight.
    # What kind of observation it is.
    kind: Literal["climb", "level", "stall", "glide", "ground-roll", "static-thrust", "acceleration"]
    day: NotRequired[str]  # Flights of one day share the errors of altimeter and thermometer; one day when left out.
    condition: AirAsFlown  # The air, in the middle of the flight.
    stations: NotRequired[Mapping[str, QuantityLike]]  # What each station held at the start; or weight.
    # Weight of the whole aeroplane, in place of stations. (above 0.1 kg; at most 10000 kg)
    weight: NotRequired[QuantityLike]
    arm: NotRequired[QuantityLike]  # Arm of its CG, with weight. (at least -100 m; at most 100 m)
    fuel_used: NotRequired[QuantityLike]  # Fuel burned since then when it ended; half of it counts.
    rate: NotRequired[QuantityLike]  # Rate of climb; with its plus_minus. (at least -20 m/s; at most 30 m/s)
    sink: NotRequired[QuantityLike]  # Rate of sink, positive. (above 0 m/s; at most 30 m/s)
    # What showed the rate: the altimeter, or the height over the ground (by GPS).
    rate_by: NotRequired[Literal["altimeter", "height"]]
    # Pressure altitude at which a timed band began, in place of a rate. (at least -500 m; at most 9000 m; no
    # plus_minus)
    from_altitude: NotRequired[QuantityLike]
    # Pressure altitude at which it ended. (at least -500 m; at most 9000 m; no plus_minus)
    to_altitude: NotRequired[QuantityLike]
    duration: NotRequired[QuantityLike]  # Time that the band, or the acceleration, took. (above 0 s; at most 3600 s)
    indicated: NotRequired[QuantityLike]  # Airspeed as read. (above 5 kt; at most 300 kt)
    calibrated: NotRequired[QuantityLike]  # Calibrated airspeed, in place of indicated. (above 5 kt; at most 300 kt)
    # True airspeed, in place of indicated, for example by GPS on three headings. (above 5 kt; at most 300 kt)
    true: NotRequired[QuantityLike]
    # Airspeed at which the acceleration ended, of the same reading. (above 5 kt; at most 300 kt)
    end_speed: NotRequired[QuantityLike]
    configuration: NotRequired[str]  # Name of the stall whose flaps were set; the first when left out.
    power_fraction: NotRequired[RatioLike]  # Power over rated power. (above 0.1; at most 1.2)
    full_throttle: NotRequired[bool]  # Flown at full throttle.
    distance: NotRequired[QuantityLike]  # Ground roll. (above 10 m; at most 3000 m)
    slope: NotRequired[RatioLike]  # Rise over run of the runway, positive uphill. (at least -0.2; at most 0.2)
    # Surface; dry and paved when left out.
    surface: NotRequired[
        Literal[
            "paved-dry",
            "paved-wet",
            "gravel",
            "hard-turf",
            "short-dry-grass",
            "short-wet-grass",
            "long-grass",
            "long-wet-grass",
            "soft",
        ]
    ]
    rolling_friction: NotRequired[RatioLike]  # In place of the surface's. (at least 0; at most 0.5)
    thrust: NotRequired[QuantityLike]  # Thrust standing still, by a scale. (above 50 N; at most 20000 N)
    # Engine speed standing still at full throttle. (above 300 rpm; at most 12000 rpm)
    static_speed: NotRequired[QuantityLike]


class CalibrationRequest(TypedDict):
    """Calibration request."""

    aircraft: Aircraft  # The aeroplane, as far as it is known.
    observations: Sequence[Observation]  # What was observed in flight.


class CalibrationNumber(TypedDict):
    """A number that was learned."""

    where: str  # JSON Pointer of the number in the aircraft.
    text: str  # What it is.
    before: Quantity  # What was known of it before.
    after: Quantity  # What is known of it now.
    spread_left: Quantity  # Spread after over spread before.


class CalibrationDay(TypedDict):
    """What the flights of a day have in common."""

    day: str  # Name of the day.
    altitude_error: Quantity  # What the altimeter was most likely wrong by.
    temperature_error: Quantity  # What the thermometer was most likely wrong by.


class CalibrationObservationDoubt(TypedDict):
    """Where it does not fit the others."""

    cause: Literal["unit", "air", "indicated", "position", "unknown"]  # Likeliest cause.
    text: str  # The same in words.


class CalibrationObservation(TypedDict):
    """An observation against the fit."""

    name: str  # Name of the observation.
    kind: Literal["climb", "level", "stall", "glide", "ground-roll", "static-thrust", "acceleration"]  # Its kind.
    measured: str  # What it measured.
    reduced: Mapping[str, Quantity]  # What it was reduced to, as it applies: weight, air, airspeeds, tapeline rate.
    observed: Quantity  # As observed, with its spread.
    expected: Quantity  # As the fit expects it, with its spread.
    difference: Quantity  # Observed less expected.
    standard_deviations: Quantity  # The same over its own standard deviation.
    doubt: NotRequired[CalibrationObservationDoubt]  # Where it does not fit the others.


class CalibrationAnswer(TypedDict):
    """What the aeroplane is, learned from its flights."""

    aircraft: Aircraft  # The aeroplane as sent, with what was learned in its place and their covariance.
    numbers: Sequence[CalibrationNumber]  # What was learned.
    days: Sequence[CalibrationDay]  # Errors of each day.
    empty_weight_factor: Quantity | None  # Empty weight over the one weighed; null where its spread was stated.
    observations: Sequence[CalibrationObservation]  # Each observation against the fit.
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[WorkedScene]]  # The calculation, where working=true asks for it.


class Narrow(TypedDict):
    """Narrow."""

    measure: ChanceMeasure  # The measure to be narrowed.
    loading: NotRequired[str]  # Name of its loading, where there are several.
    condition: NotRequired[str]  # Name of its condition, where there are several.


class NextFlightsRequest(TypedDict):
    """Next flights request."""

    loadings: Sequence[Loading]  # Loadings to answer for.
    conditions: Sequence[Condition]  # Conditions to answer for.
    climb: NotRequired[Climb]  # How to climb; with it the measures of this climb are answered.
    cruise: NotRequired[Cruise]  # How to cruise; with it speed, fuel flow, range and endurance are answered.
    turn: NotRequired[Turn]  # How to turn; with it stall, climb, radius and height lost in the turn.
    takeoff: NotRequired[TakeOff]  # How to take off; with it the take-off is answered.
    landing: NotRequired[Landing]  # How to land; with it the landing is answered.
    strip: NotRequired[Strip]  # The strip; with it take-off, landing and the margins there are answered.
    aircraft: Aircraft  # The aeroplane, as far as known.
    narrow: Narrow  # The answer to be narrowed.
    flights: NotRequired[int]  # How many flights to propose at most.


class TestPlanNarrow(TypedDict):
    """The answer to be narrowed."""

    measure: ChanceMeasure  # Name of the measure.
    loading: str  # Name of its loading.
    condition: str  # Name of its condition.
    now: Quantity  # The measure as it is known now.


class TestPlanFlight(TypedDict):
    """A flight to fly."""

    name: str  # Name of the flight.
    # Kind of observation.
    kind: Literal["climb", "level", "stall", "glide", "ground-roll", "static-thrust", "acceleration"]
    loading: str  # Name of its loading.
    condition: str  # Name of its condition.
    weight: Quantity  # Weight at the start (mass)
    expected: Quantity  # What it should read, with its usual spread.
    spread_left: Quantity  # Spread of the answer after this flight and those before it.
    indicated: NotRequired[Quantity]  # Airspeed to hold.
    power: NotRequired[str]  # Power of a level flight.


class TestPlanAnswer(TypedDict):
    """The next flights: which would narrow an answer most."""

    narrow: TestPlanNarrow  # The answer to be narrowed.
    flights: Sequence[TestPlanFlight]  # In the order in which to fly them.
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[WorkedScene]]  # The calculation, where working=true asks for it.


class Unknown(TypedDict):
    """Unknown."""

    # Which number is asked for.
    field: Literal[
        "power",
        "weight",
        "fuel",
        "payload",
        "ballast_weight",
        "ballast_arm",
        "item_arm",
        "parasite_area",
        "lift_gain",
        "density_altitude",
        "runway_length",
        "temperature",
    ]
    least: NotRequired[RatioLike]  # Least value that is looked at.
    greatest: NotRequired[RatioLike]  # Greatest value that is looked at.
    station: NotRequired[str]  # Station of fuel or payload, where there are several.
    item: NotRequired[str]  # Name of the item whose arm is asked for.
    # Arm of the ballast whose weight is asked for. (at least -100 m; at most 100 m; no plus_minus)
    arm: NotRequired[QuantityLike]
    # Weight of the ballast whose arm is asked for. (above 0 kg; at least 0 kg; at most 10000 kg; no plus_minus)
    weight: NotRequired[QuantityLike]


class Target(TypedDict):
    """Target."""

    measure: ChanceMeasure  # The measure that shall meet it.
    at_least: NotRequired[RatioLike]  # Least that it shall be.
    at_most: NotRequired[RatioLike]  # Most that it shall be.
    equals: NotRequired[RatioLike]  # What it shall be.
    loading: NotRequired[str]  # Name of the loading, where there are several.
    condition: NotRequired[str]  # Name of the condition, where there are several.


class RequirementRequest(TypedDict):
    """Requirement request."""

    loadings: Sequence[Loading]  # Loadings to answer for.
    conditions: Sequence[Condition]  # Conditions to answer for.
    climb: NotRequired[Climb]  # How to climb; with it the measures of this climb are answered.
    cruise: NotRequired[Cruise]  # How to cruise; with it speed, fuel flow, range and endurance are answered.
    turn: NotRequired[Turn]  # How to turn; with it stall, climb, radius and height lost in the turn.
    takeoff: NotRequired[TakeOff]  # How to take off; with it the take-off is answered.
    landing: NotRequired[Landing]  # How to land; with it the landing is answered.
    strip: NotRequired[Strip]  # The strip; with it take-off, landing and the margins there are answered.
    aircraft: Aircraft  # The aeroplane.
    unknown: Unknown  # What is asked for.
    target: Target  # What shall be met.


class RequirementTarget(TypedDict):
    """The target."""

    measure: ChanceMeasure  # Name of the measure.
    goal: Literal["at_least", "at_most", "equals"]  # What it shall be.
    value: Quantity  # The value that it shall meet.
    loading: str  # Name of the loading.
    condition: str  # Name of the condition.


class RequirementSlope(TypedDict):
    """Change of the measure for each unit of the unknown."""

    value: float  # The slope.
    unit: str  # Its unit.


class RequirementAnswer(TypedDict):
    """The question turned round: what it takes to meet a target."""

    # What was asked for.
    unknown: Literal[
        "power",
        "weight",
        "fuel",
        "payload",
        "ballast_weight",
        "ballast_arm",
        "item_arm",
        "parasite_area",
        "lift_gain",
        "density_altitude",
        "runway_length",
        "temperature",
    ]
    value: Quantity  # The value that just meets the target, in the unknown's kind.
    met: Literal["just", "throughout"]  # just; or throughout, where every value of the range meets the target.
    other_values: Sequence[Quantity]  # Other values of the range that just meet it.
    target: RequirementTarget  # The target.
    measured: Quantity  # The measure there.
    slope: RequirementSlope  # Change of the measure for each unit of the unknown.
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[WorkedScene]]  # The calculation, where working=true asks for it.


class SteadyClimb(TypedDict):
    """Steady climb."""

    # Calibrated airspeed held; that of the best rate when left out. (above 5 kt; at most 300 kt)
    speed: NotRequired[QuantityLike]
    configuration: NotRequired[str]  # Name of the stall whose flaps are set in the climb.


class WeatherTemperature(TypedDict):
    """Weather temperature."""

    value: Sequence[float | str | None]  # A number for each hour, null where it is missing.
    unit: str  # One of K, C, F, R; for example "29 C".


class WeatherRelativeHumidity(TypedDict):
    """Weather relative humidity."""

    value: Sequence[float | str | None]  # A number for each hour, null where it is missing.
    unit: NotRequired[str]  # One of 1, %; for example "0.74".


class Weather(TypedDict):
    """Weather."""

    # Times, one for each hour, in any order: local or universal time as you like, without a zone. Months and hours of
    # the day are counted as written.
    time: Sequence[str]
    temperature: WeatherTemperature | Sequence[float | str | None]  # Air temperature.
    qnh: NotRequired[WeatherTemperature | Sequence[float | str | None]]  # Altimeter setting, with an elevation.
    # Pressure at the strip, in place of qnh.
    station_pressure: NotRequired[WeatherTemperature | Sequence[float | str | None]]
    # Dew point; without it and relative_humidity the air is dry.
    dew_point: NotRequired[WeatherTemperature | Sequence[float | str | None]]
    # Relative humidity, in place of dew_point.
    relative_humidity: NotRequired[WeatherRelativeHumidity | Sequence[float | str | None]]
    # Wind against the direction of take-off, negative from behind; none when left out.
    headwind: NotRequired[WeatherTemperature | Sequence[float | str | None]]
    # Speed of the wind, in place of headwind.
    wind_speed: NotRequired[WeatherTemperature | Sequence[float | str | None]]
    # Where that wind comes from, by the same north as the strip's heading; it may be null where the speed is 0.
    wind_direction: NotRequired[WeatherTemperature | Sequence[float | str | None]]


class OperabilityRequest(TypedDict):
    """Operability request."""

    aircraft: Aircraft  # The aeroplane.
    loading: Loading  # What its stations hold.
    strip: Strip  # The strip, with its length.
    takeoff: NotRequired[TakeOff]  # How to take off.
    landing: NotRequired[Landing]  # How to land.
    climb: NotRequired[SteadyClimb]  # How to climb, in place of the best rate: at this airspeed, with these flaps.
    # Least rate of climb wanted; 300 ft/min when left out. (above 0 m/s; at most 30 m/s; no plus_minus)
    climb_rate: NotRequired[QuantityLike]
    # Height of the place of qnh above mean sea level; the strip's when left out. (at least -500 m; at most 9000 m)
    elevation: NotRequired[QuantityLike]
    # Hours of weather, one value of each column for each: null where it is missing, which makes that hour unknown.
    weather: Weather


class OperabilityRequired(TypedDict):
    """What an hour has to meet."""

    climb_rate: Quantity  # Least rate of climb (vertical speed)
    strip_length: Quantity  # Length of the strip (runway distance)


class OperabilityOverallGood(TypedDict):
    """Known hours that hold."""

    climb: int  # Hours in which climb holds.
    takeoff: int  # Hours in which takeoff holds.
    landing: int  # Hours in which landing holds.
    all: int  # Hours in which all holds.


class OperabilityOverallShare(TypedDict):
    """The same over the known hours; null with the reason where there are none."""

    climb: Quantity  # Share of the known hours in which climb holds; its plus_minus as all margins move (ratio)
    takeoff: Quantity  # Share of the known hours in which takeoff holds; its plus_minus as all margins move (ratio)
    landing: Quantity  # Share of the known hours in which landing holds; its plus_minus as all margins move (ratio)
    all: Quantity  # Share of the known hours in which all holds; its plus_minus as all margins move (ratio)


class OperabilityOverall(TypedDict):
    """All hours."""

    hours: int  # Hours.
    unknown: int  # Those of them whose weather is missing or wrong.
    good: OperabilityOverallGood  # Known hours that hold.
    share: OperabilityOverallShare  # The same over the known hours; null with the reason where there are none.
    share_if_worse: OperabilityOverallShare  # Shares with every margin one standard deviation worse.
    share_if_better: OperabilityOverallShare  # Shares with every margin one standard deviation better.


class OperabilityNarrowest(TypedDict):
    """Which margin is the narrowest over its requirement, and how often."""

    climb: int  # Known hours in which climb is narrowest.
    takeoff: int  # Known hours in which takeoff is narrowest.
    landing: int  # Known hours in which landing is narrowest.


class OperabilityMonthByHour(TypedDict):
    """Each hour of the day, 0 to 23; null where none is known."""

    hours: Sequence[float | None]  # Number of hours.
    unknown: Sequence[float | None]  # Number of unknown.
    climb: Sequence[float | None]  # Share of climb at each hour of the day.
    takeoff: Sequence[float | None]  # Share of takeoff at each hour of the day.
    landing: Sequence[float | None]  # Share of landing at each hour of the day.
    all: Sequence[float | None]  # Share of all at each hour of the day.


class OperabilityMonth(TypedDict):
    """A month."""

    month: int  # Month, 1 to 12.
    hours: int  # Hours.
    unknown: int  # Those of them whose weather is missing or wrong.
    good: OperabilityOverallGood  # Known hours that hold.
    share: OperabilityOverallShare  # The same over the known hours; null with the reason where there are none.
    density_altitude_median: Quantity  # Median of its known hours (altitude)
    density_altitude_greatest: Quantity  # Greatest of them (altitude)
    by_hour: OperabilityMonthByHour  # Each hour of the day, 0 to 23; null where none is known.


class OperabilityHoursOfDay(TypedDict):
    """An hour of the day."""

    hour: int  # Hour of the day, 0 to 23.
    hours: int  # Hours.
    unknown: int  # Those of them whose weather is missing or wrong.
    good: OperabilityOverallGood  # Known hours that hold.
    share: OperabilityOverallShare  # The same over the known hours; null with the reason where there are none.


class OperabilityWaysTakeoff(TypedDict):
    """Share in which takeoff holds along each way."""

    stated: Quantity  # Share along this way alone: stated (ratio)
    reversed: Quantity  # Share along this way alone: reversed (ratio)


class OperabilityWays(TypedDict):
    """On a strip with two ways: the shares along each of them alone."""

    takeoff: OperabilityWaysTakeoff  # Share in which takeoff holds along each way.
    landing: OperabilityWaysTakeoff  # Share in which landing holds along each way.


class OperabilityLimitingHour(TypedDict):
    """An hour that limits."""

    time: str  # The hour.
    holds: bool  # Whether all three hold.
    narrowest: Literal["climb", "takeoff", "landing"]  # The margin that is narrowest.
    margin: Quantity  # That margin over its requirement; -1 for what cannot be done (ratio)
    temperature: Quantity  # Air temperature (temperature)
    density_altitude: Quantity  # Density altitude (altitude)
    climb_rate: Quantity  # Rate of climb (vertical speed)
    takeoff_margin: Quantity  # Strip left beyond the take-off distance required (runway distance)
    landing_margin: Quantity  # Strip left beyond the landing distance required (runway distance)
    takeoff_way: Literal["stated", "reversed"]  # Way along the strip that this take-off goes.
    landing_way: Literal["stated", "reversed"]  # The same of the landing; on a one-way strip always reversed.


class OperabilityUnknown(TypedDict):
    """A fault."""

    where: str  # JSON Pointer of the column.
    detail: str  # What is wrong.
    hours: int  # How many hours.
    first: str  # The first of them.


class OperabilityAnswer(TypedDict):
    """A season at a strip: the share of hours in which it can be flown."""

    loading: str  # Name of the loading.
    strip: str  # Name of the strip; empty without one.
    required: OperabilityRequired  # What an hour has to meet.
    overall: OperabilityOverall  # All hours.
    narrowest: OperabilityNarrowest  # Which margin is the narrowest over its requirement, and how often.
    limit: Literal["climb", "takeoff", "landing"]  # The one that is narrowest most often.
    months: Sequence[OperabilityMonth]  # Each month that has hours.
    hours_of_day: Sequence[OperabilityHoursOfDay]  # Each that has hours, all months together.
    ways: NotRequired[OperabilityWays]  # On a strip with two ways: the shares along each of them alone.
    limiting_hours: Sequence[OperabilityLimitingHour]  # Up to 24 hours, the narrowest or worst first.
    unknown: Sequence[OperabilityUnknown]  # Why hours are unknown, the commonest first.
    assumed: Sequence[Assumed]  # What the request did not say.
    cautions: Sequence[Caution]  # Broken limits first, then the gravest.
    provenance: Provenance  # What reproduces this answer.
    working: NotRequired[Sequence[WorkedScene]]  # The calculation, where working=true asks for it.
