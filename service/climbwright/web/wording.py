"""Words: what each code of the answers says, with its numbers in the reader's units."""

from collections.abc import Mapping

from climbwright.answers.notes import Assumed, Caution
from climbwright.arrays import Measured
from climbwright.units import Unit, to_unit

__all__ = [
    "ASSUMED",
    "CAUTIONS",
    "LABELS",
    "MEANINGS",
    "REASONS",
    "assumed_text",
    "caution_text",
    "number_text",
    "shown",
    "spread_text",
]

# code: severity and text; {name} is a number in the reader's unit or a name
CAUTIONS: Mapping[str, tuple[str, str]] = {
    "estimate": (
        "caution",
        "This is an estimate, not a flight manual. Local rules, an approved weighing and a licensed inspector decide; "
        "test flights find out.",
    ),
    "over-maximum-weight": ("warning", "the weight of {weight} is {excess} above the maximum of {limit}."),
    "cg-outside-limits": ("warning", "the CG at {arm} is {excess} {side} its limit of {limit}."),
    "cg-leaves-limits-as-fuel-burns": (
        "warning",
        "it begins inside its limits and leaves them as fuel burns: at {weight} the CG lies at {arm}.",
    ),
    "below-envelope": ("warning", "the weight of {weight} is below the {limit} at which the envelope begins."),
    "power-above-limit": (
        "warning",
        "the engine gives up to {value}; the mount or the hub may take {limit}.",
    ),
    "faster-than-never-exceed": (
        "warning",
        "level flight at full throttle reaches {value} calibrated, above the never-exceed speed of {marked} indicated "
        "({limit} calibrated).",
    ),
    "faster-than-smooth-air-limit": (
        "caution",
        "level flight at full throttle reaches {value} calibrated; above {marked} indicated ({limit} calibrated) only "
        "in smooth air.",
    ),
    "approach-above-flap-limit": (
        "caution",
        "1.3 stall speeds, {value} calibrated, lie above the {marked} indicated ({limit} calibrated) at which flaps "
        "may go out.",
    ),
    "below-station-minimum": ("warning", "station '{station}' holds {weight}, less than its minimum of {least}."),
    "load-factor-reduced": (
        "caution",
        "at {weight}, above the {shown} at which the structure was shown, its limit load factor falls to {factor}.",
    ),
    "no-climb": ("warning", "at full throttle the best rate of climb is {value}: it cannot climb."),
    "thrust-exceeds-weight": (
        "warning",
        "thrust exceeds weight, which these formulas do not cover: check power and weight.",
    ),
    "no-level-flight": ("warning", "level flight cannot be held at any speed above the stall."),
    "best-angle-speed-held": (
        "info",
        "the speed of the steepest climb lies near the stall; it is held at 1.2 stall speeds, {value} calibrated.",
    ),
    "best-rate-speed-held": (
        "info",
        "the speed of the fastest climb lies near the stall; it is held at 1.2 stall speeds, {value} calibrated.",
    ),
    "climb-speed-near-stall": ("warning", "the climb speed asked for is {value} times the stall speed, below 1.2."),
    "tip-mach": (
        "caution",
        "the propeller's tips reach Mach {value} in level flight at full throttle, above {limit}.",
    ),
    "static-thrust-impossible": (
        "warning",
        "the propeller as described would give {value} times the greatest static thrust that is possible: "
        "check its efficiency, its speed and its diameter.",
    ),
    "static-thrust-high": (
        "caution",
        "the propeller as described gives {value} of the ideal static thrust, above 0.80: hardly met in practice.",
    ),
    "power-above-rated": (
        "info",
        "the air is denser than standard: power is {value} times rated if the engine may be run so.",
    ),
    "constant-efficiency": (
        "caution",
        "One propeller efficiency at every speed flatters the climb, which is flown slowly: for first estimates only.",
    ),
    "stall-power-off": (
        "info",
        "Stall speeds are power off, wings level, slowing gently; banked or abrupt it comes sooner.",
    ),
}

REASONS: Mapping[str, str] = {
    "no-such-station": "the loading names a station that this aeroplane does not have",
    "no-chord": "the wing's chord and leading_edge_arm were not given",
    "no-balance-limits": "no balance limits were given, or the envelope has no such weight",
    "no-maximum-weight": "no greatest weight was given",
    "no-envelope": "no envelope was given",
    "no-static-speed": "the engine's speed and the propeller's static_speed or pitch_class were not given",
    "no-way-over-ground": "the wind leaves no way over the ground, or thrust exceeds weight",
    "thrust-exceeds-weight": "thrust exceeds weight, which these formulas do not cover: check power and weight",
    "no-climb-speed": "no climb_speed was given",
    "no-ceiling": "there is no such climb at any altitude of the standard atmosphere from -5 to 32 km",
    "no-level-flight": "level flight cannot be held at any speed above the stall",
    "no-air": "no air was given",
    "outside-table": "the speed is outside the correction table, which is never extended",
    "no-change": "one of before and after does not exist",
    "no-cost": "no change says what it costs",
    "nothing-gained": "nothing is gained here that is larger than its spread",
    "no-ballast-asked": "neither ballast_arm nor ballast_weight was given",
    "ballast-in-envelope": "ballast is answered for forward and aft limits, not for an envelope",
    "no-ballast-needed": "the CG is inside its limits",
    "ballast-there-is-worse": "ballast at that arm does not bring the CG towards its limit",
    "no-limits": "no limits were given",
}

ASSUMED: Mapping[str, str] = {
    "parasite_area": "parasite area of such an airframe",
    "span_efficiency": "span efficiency of such an airframe",
    "lapse_constant": "altitude lapse of such an engine",
    "power_margin": "power as installed over rated power, of an engine in use",
    "power_margin_new": "power as installed over rated power, of a new engine",
    "best_efficiency": "best efficiency of such a propeller",
    "best_efficiency_speed": "speed of best efficiency of such a propeller at this power and drag",
    "static_speed": "engine speed standing still with such a propeller",
    "maximum_lift_coefficient": "greatest lift coefficient, clean",
    "span": "wing span of a light two-seater",
    "pitch-class-middle": "a propeller between climb and cruise pitch",
    "no-speed-floor": "no stall speed is known: the climb speed is not held above it",
    "standard-temperature": "standard temperature at this density altitude, dry air",
    "dry-air": "dry air: send dew_point or relative_humidity to count humidity",
    "no-wind": "no wind",
    "station-empty": "empty: the loading does not name this station",
    "no-tail-load": "the CG's effect on the stall is left out: send tail_arm, the stall's arm, chord, leading_edge_arm",
    "aerodynamic-centre": "the wing's aerodynamic centre lies at a quarter of its mean chord",
    "rated-speed-reached-level": "rated engine speed is reached at the greatest level speed at sea level",
    "same-lift-coefficient": "stalls that were flown keep their lift coefficient on the new wing",
    "power-limit-kept": "the old engine's power_limit stays with the mount and the hub",
    "no-position-error": "indicated equals calibrated: no airspeed_correction was given",
    "limit-outside-table": "this limit lies outside the correction table and is taken as calibrated",
    "natural-aspiration": "a naturally aspirated engine",
    "four-stroke": "a four-stroke engine",
    "direct-drive": "the propeller turns as fast as the engine",
    "no-temperature-offset": "standard temperature",
    "wings-level": "wings level",
    "no-lift-gain": "no lift gain",
    "sea-level-calibrated": "calibrated equals equivalent airspeed, as at sea level: no air was given",
}

# Starting values and other numbers that stood in
_SOURCED = {
    "parasite_area",
    "span_efficiency",
    "lapse_constant",
    "power_margin",
    "power_margin_new",
    "best_efficiency",
    "best_efficiency_speed",
    "static_speed",
    "maximum_lift_coefficient",
    "span",
    "pitch-class-middle",
    "aerodynamic-centre",
    "rated-speed-reached-level",
}

LABELS: Mapping[str, str] = {
    "weight": "weight",
    "cg_arm": "CG arm",
    "cg_chord_fraction": "CG, fraction of chord",
    "cg_margin": "CG inside its limits by",
    "power_available": "power available",
    "power_delivered": "power delivered, in the climb",
    "power_to_weight": "power to weight, here",
    "installed_power_to_weight": "power to weight, rated",
    "best_climb_rate": "best rate of climb",
    "best_climb_speed_calibrated": "  at, calibrated",
    "best_angle": "best angle of climb",
    "best_angle_speed_calibrated": "  at, calibrated",
    "climb_gradient": "  gradient over the ground",
    "climb_rate_at_speed": "climb at the speed asked",
    "service_ceiling": "service ceiling, 100 ft/min",
    "absolute_ceiling": "absolute ceiling",
    "greatest_level_speed_true": "greatest level speed, true",
    "greatest_level_speed_calibrated": "  calibrated",
    "stall_speed_calibrated": "stall, calibrated",
    "stall_speed_true": "  true",
}

MEANINGS: Mapping[str, str] = {
    "weight": "Weight of the loaded aeroplane.",
    "cg_arm": "Arm of its CG.",
    "cg_chord_fraction": "CG as a fraction of the mean chord.",
    "cg_margin": "Arm to the nearer limit at that weight, positive inside.",
    "power_available": "Full-throttle power of the engine at rated speed in this air.",
    "power_delivered": "Full-throttle power with this propeller, at the speed of the best climb.",
    "power_to_weight": "Available power over weight.",
    "installed_power_to_weight": "Rated power over weight.",
    "best_climb_rate": "Best rate of climb; negative where it sinks at full throttle.",
    "best_climb_speed_calibrated": "Calibrated airspeed of the best rate of climb, 1.2 stall speeds or more.",
    "best_angle": "Best angle of climb through the air.",
    "best_angle_speed_calibrated": "Calibrated airspeed of the best angle of climb, 1.2 stall speeds or more.",
    "climb_gradient": "Height gained over distance on the ground at that speed, with the wind.",
    "climb_rate_at_speed": "Rate of climb at the climb_speed asked for.",
    "service_ceiling": "Density altitude at which the best rate of climb is 100 ft/min.",
    "absolute_ceiling": "Density altitude at which the best rate of climb is zero.",
    "greatest_level_speed_true": "Greatest level speed at full throttle, true airspeed.",
    "greatest_level_speed_calibrated": "Greatest level speed at full throttle, calibrated airspeed.",
    "stall_speed_calibrated": "Stall speed of the first configuration, power off, calibrated.",
    "stall_speed_true": "Stall speed of the first configuration, power off, true airspeed.",
}

_DECIMALS = {
    "kg": 1, "lb": 1, "m": 3, "ft": 0, "kt": 1, "km/h": 1, "mph": 1, "m/s": 2, "ft/min": 0, "hp": 1, "kW": 1,
    "W": 0, "C": 1, "F": 1, "K": 1, "hPa": 1, "inHg": 2, "Pa": 0, "kg/m3": 4, "slug/ft3": 6, "hp/kg": 4, "kW/kg": 4,
    "hp/lb": 4, "W/kg": 1, "deg": 2, "rad": 4, "1": 3, "%": 1, "m2": 3, "ft2": 2, "L": 1, "US gal": 1,
    "kg m": 1, "lb in": 0, "rpm": 0, "N": 0, "lbf": 1, "in": 2, "cm": 1, "mm": 0, "km": 3,
}  # fmt: skip


_DECIMALS_OF_KIND = {("length", "ft"): 3, ("altitude", "m"): 0, ("altitude", "km"): 2, ("altitude", "in"): 0}


def _decimals(kind: str, unit: Unit) -> int | None:
    return _DECIMALS_OF_KIND.get((kind, unit.name), _DECIMALS.get(unit.name))


def number_text(value: float, kind: str, unit: Unit) -> str:
    """A number in a unit, rounded as the trade rounds it, without the unit's name."""
    number, decimals = float(to_unit(value, unit)), _decimals(kind, unit)
    return f"{number:.6g}" if decimals is None else f"{number:.{decimals}f}"


def spread_text(spread: float, kind: str, unit: Unit) -> str:
    """A spread, already in the unit, with the digits of its number, or one digit where those would show nothing."""
    decimals = _decimals(kind, unit)
    text = f"{spread:.2g}" if decimals is None else f"{spread:.{decimals}f}"
    return text if float(text) else f"{spread:.1g}"


def shown(value: float, kind: str, units: Mapping[str, Unit]) -> str:
    """A number with its unit, for a sentence."""
    unit = units[kind]
    number = number_text(value, kind, unit)
    return number if unit.name == "1" else f"{number} {unit.name}"


def caution_text(caution: Caution, units: Mapping[str, Unit]) -> tuple[str, str]:
    """Severity and sentence of a caution; it begins with the loading and condition it speaks of."""
    severity, template = CAUTIONS[caution.code]
    words = {
        name: value if isinstance(value, str) else shown(value[0], value[1], units)
        for name, value in caution.values.items()
    }
    scene = ", ".join(words[name] for name in ("loading", "condition") if words.get(name))
    sentence = template.format(**words)
    return severity, f"{scene}: {sentence}" if scene else sentence[0].upper() + sentence[1:]


def assumed_text(assumed: Assumed) -> tuple[str, str | None]:
    """Words and source of an assumption."""
    return ASSUMED[assumed.code], "common practice, no source" if assumed.code in _SOURCED else None


def measured_pair(value: float | Measured) -> tuple[float, float | None]:
    """A number and its spread."""
    return (value.value, value.plus_minus) if isinstance(value, Measured) else (value, None)
