"""The measures of an aeroplane answer: their names, kinds, and why one may not exist."""

from dataclasses import dataclass

__all__ = ["MEASURES", "Measure"]


@dataclass(frozen=True, slots=True)
class Measure:
    """Kind of quantity, and the code of the reason given when the measure does not exist."""

    kind: str
    missing: str


MEASURES = {
    "weight": Measure("mass", "no-such-station"),
    "cg_arm": Measure("length", "no-such-station"),
    "cg_chord_fraction": Measure("ratio", "no-chord"),
    "cg_margin": Measure("length", "no-balance-limits"),
    "power_available": Measure("power", "no-such-station"),
    "power_delivered": Measure("power", "no-static-speed"),
    "power_to_weight": Measure("power to weight", "no-such-station"),
    "installed_power_to_weight": Measure("power to weight", "no-such-station"),
    "best_climb_rate": Measure("vertical speed", "no-such-station"),
    "best_climb_speed_calibrated": Measure("speed", "no-such-station"),
    "best_angle": Measure("angle", "thrust-exceeds-weight"),
    "best_angle_speed_calibrated": Measure("speed", "no-such-station"),
    "climb_gradient": Measure("ratio", "no-way-over-ground"),
    "climb_rate_at_speed": Measure("vertical speed", "no-climb-speed"),
    "service_ceiling": Measure("altitude", "no-ceiling"),
    "absolute_ceiling": Measure("altitude", "no-ceiling"),
    "greatest_level_speed_true": Measure("speed", "no-level-flight"),
    "greatest_level_speed_calibrated": Measure("speed", "no-level-flight"),
    "stall_speed_calibrated": Measure("speed", "no-such-station"),
    "stall_speed_true": Measure("speed", "no-such-station"),
}
