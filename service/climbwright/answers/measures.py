"""The measures of an aeroplane answer: their names, kinds, why one may not exist, and the phase that computes them."""

from collections.abc import Collection
from dataclasses import dataclass

__all__ = ["MEASURES", "PHASES", "STALL_SPEEDS", "Measure", "phases_of", "wanted_measures", "worst_end"]


@dataclass(frozen=True, slots=True)
class Measure:
    """Kind of quantity, the code of the reason given when the measure does not exist, and its phase."""

    kind: str
    missing: str
    phase: str


# Every phase but the first is answered where a request speaks of it, or names one of its measures.
PHASES = (
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
)


def _phase(phase: str, rows: dict[str, tuple[str, str]]) -> dict[str, Measure]:
    return {name: Measure(kind, missing, phase) for name, (kind, missing) in rows.items()}


MEASURES = {
    **_phase(
        "aeroplane",
        {
            "weight": ("mass", "no-such-station"),
            "cg_arm": ("length", "no-such-station"),
            "cg_chord_fraction": ("ratio", "no-chord"),
            "cg_margin": ("length", "no-balance-limits"),
            "power_available": ("power", "no-such-station"),
            "power_delivered": ("power", "no-static-speed"),
            "power_to_weight": ("power to weight", "no-such-station"),
            "installed_power_to_weight": ("power to weight", "no-such-station"),
            "best_climb_rate": ("vertical speed", "no-such-station"),
            "best_climb_speed_calibrated": ("speed", "no-such-station"),
            "best_angle": ("angle", "thrust-exceeds-weight"),
            "best_angle_speed_calibrated": ("speed", "no-such-station"),
            "climb_gradient": ("ratio", "no-way-over-ground"),
            "service_ceiling": ("altitude", "no-ceiling"),
            "absolute_ceiling": ("altitude", "no-ceiling"),
            "greatest_level_speed_true": ("speed", "no-level-flight"),
            "greatest_level_speed_calibrated": ("speed", "no-level-flight"),
            "stall_speed_calibrated": ("speed", "no-such-station"),
            "stall_speed_true": ("speed", "no-such-station"),
        },
    ),
    **_phase(
        "propeller",
        {
            "static_thrust": ("force", "no-static-thrust"),
            "static_thrust_fraction": ("ratio", "no-diameter"),
            "static_engine_speed": ("rotational speed", "no-static-speed"),
            "engine_speed_in_climb": ("rotational speed", "no-static-speed"),
            "engine_speed_level": ("rotational speed", "no-engine-speed-level"),
            "tip_mach": ("ratio", "no-tip-mach"),
        },
    ),
    **_phase(
        "instruments",
        {
            "altimeter_climb_rate": ("vertical speed", "no-such-station"),
            "best_climb_speed_indicated": ("speed", "outside-table"),
            "best_angle_speed_indicated": ("speed", "outside-table"),
            "greatest_level_speed_indicated": ("speed", "outside-table"),
            "stall_speed_indicated": ("speed", "outside-table"),
            "approach_speed_indicated": ("speed", "outside-table"),
        },
    ),
    **_phase(
        "manoeuvre",
        {
            "approach_speed_calibrated": ("speed", "no-such-station"),
            "allowed_load_factor": ("ratio", "no-load-factor"),
            "manoeuvring_speed_calibrated": ("speed", "no-load-factor"),
        },
    ),
    **_phase(
        "climb",
        {
            "climb_rate_at_speed": ("vertical speed", "no-climb-asked"),
            "time_to_climb": ("time", "no-climb-to"),
            "fuel_to_climb": ("volume", "no-climb-fuel"),
            "distance_to_climb": ("distance", "no-climb-distance"),
        },
    ),
    **_phase(
        "cruise",
        {
            "cruise_speed_true": ("speed", "no-cruise"),
            "cruise_speed_calibrated": ("speed", "no-cruise"),
            "cruise_speed_indicated": ("speed", "no-cruise-indicated"),
            "cruise_power_fraction": ("ratio", "no-cruise"),
            "fuel_flow": ("fuel flow", "no-fuel-flow"),
            "endurance": ("time", "no-range"),
            "range": ("distance", "no-range"),
            "best_range_speed_calibrated": ("speed", "no-level-flight"),
            "best_endurance_speed_calibrated": ("speed", "no-level-flight"),
            "greatest_range": ("distance", "no-range"),
            "greatest_endurance": ("time", "no-range"),
        },
    ),
    **_phase(
        "glide",
        {
            "best_glide_ratio": ("ratio", "no-such-station"),
            "best_glide_speed_calibrated": ("speed", "no-such-station"),
            "glide_ratio_in_wind": ("ratio", "no-way-over-ground"),
            "glide_speed_in_wind_calibrated": ("speed", "no-such-station"),
            "least_sink": ("vertical speed", "no-such-station"),
            "least_sink_speed_calibrated": ("speed", "no-such-station"),
        },
    ),
    **_phase(
        "turn",
        {
            "load_factor_in_turn": ("ratio", "no-such-station"),
            "stall_speed_in_turn_calibrated": ("speed", "no-such-station"),
            "turn_glide_speed_calibrated": ("speed", "no-such-station"),
            "climb_rate_in_turn": ("vertical speed", "no-such-station"),
            "turn_radius": ("runway distance", "no-such-station"),
            "reversal_height_lost": ("altitude", "no-such-station"),
        },
    ),
    **_phase(
        "takeoff",
        {
            "lift_off_speed_calibrated": ("speed", "no-such-station"),
            "takeoff_roll": ("runway distance", "no-takeoff"),
            "takeoff_distance": ("runway distance", "no-takeoff"),
            "takeoff_distance_published": ("runway distance", "no-takeoff"),
            "takeoff_distance_required": ("runway distance", "no-takeoff"),
            "takeoff_checkpoint": ("runway distance", "no-takeoff"),
            "accelerate_stop_distance": ("runway distance", "no-takeoff-stop"),
        },
    ),
    **_phase(
        "landing",
        {
            "landing_roll": ("runway distance", "no-landing"),
            "landing_distance": ("runway distance", "no-landing"),
            "landing_distance_published": ("runway distance", "no-landing"),
            "landing_distance_required": ("runway distance", "no-landing"),
        },
    ),
    **_phase(
        "strip",
        {
            "headwind": ("speed", "no-wind-direction"),
            "crosswind": ("speed", "no-wind-direction"),
            "takeoff_margin": ("runway distance", "no-takeoff-margin"),
            "landing_margin": ("runway distance", "no-landing-margin"),
            "takeoff_distance_reversed": ("runway distance", "no-takeoff-reversed"),
            "takeoff_margin_reversed": ("runway distance", "no-takeoff-reversed"),
            "landing_distance_reversed": ("runway distance", "no-landing-reversed"),
            "landing_margin_reversed": ("runway distance", "no-landing-reversed"),
        },
    ),
}

# One measure that is a table: the stall speed of each configuration
STALL_SPEEDS = "stall_speeds"


_TOO_LONG = frozenset({"runway distance"})  # kinds of which more is worse
_LONGER = frozenset({"time_to_climb", "fuel_to_climb", "distance_to_climb", "reversal_height_lost"})


def worst_end(name: str) -> float:
    """Where an aeroplane that has no such measure stands among those that have: 1 beyond the greatest, -1 the least.

    A way that cannot be flown is longer than any; a rate, a height, a margin or a range that is not there is less.
    """
    kind = MEASURES[name].kind if name in MEASURES else "speed"
    longer = name in _LONGER or (kind in _TOO_LONG and not name.endswith(("_margin", "_margin_reversed")))
    return 1.0 if longer else -1.0


def phases_of(measures: Collection[str]) -> set[str]:
    """Phases that compute the measures of these names; the strip's margins rest on take-off and landing."""
    phases = {MEASURES[name].phase for name in measures if name != STALL_SPEEDS}
    return phases | {"takeoff", "landing"} if "strip" in phases else phases


def wanted_measures(phases: Collection[str]) -> list[str]:
    """Names of the measures of these phases, in the order of the table, and of the table of stall speeds."""
    return [*(name for name, measure in MEASURES.items() if measure.phase in phases), STALL_SPEEDS]
