"""The stall speed at a weight, in a bank, with a lift gain."""

from collections.abc import Mapping
from dataclasses import fields

import numpy as np

from climbwright.air.airspeed import calibrated_from_mach, mach_from_true, true_from_equivalent
from climbwright.air.condition import Condition, air_of, check_condition, refuse_beyond
from climbwright.answers.single import Single, answer_with_spread
from climbwright.arrays import Floats, Number
from climbwright.flight.climb import APPROACH_FACTOR
from climbwright.flight.stall import load_factor, scaled_stall_speed, stall_speed

__all__ = ["stall_speeds"]

INPUTS = (
    "weight",
    "reference_speed",
    "reference_weight",
    "wing_area",
    "maximum_lift_coefficient",
    "bank",
    "load_factor",
    "lift_gain",
)


def stall_speeds(given: Mapping[str, Number], condition: Condition | None, draws: int = 0) -> dict[str, Single]:
    """Calibrated and true stall speed, load factor, and an approach speed.

    Parameters
    ----------
    given : mapping
        weight [kg]; reference_speed [m/s] and reference_weight [kg], or wing_area [m²], maximum_lift_coefficient [-];
        bank [rad] or load_factor [-]; lift_gain [-]. What is missing was not said.
    condition : Condition or None
        The air; without it the true speed does not exist and calibrated is taken at sea level.

    Returns
    -------
    dict of str to Single
        The approach speed is 1.3 times the stall speed with wings level.

    Raises
    ------
    Refusal
        As `air_of`.
    """

    def evaluate(laid: Mapping[str, Number]) -> dict[str, Floats]:
        n = load_factor(laid["bank"]) if laid["bank"] is not None else laid["load_factor"]
        n = np.float64(1.0) if n is None else n
        gain = 0.0 if laid["lift_gain"] is None else laid["lift_gain"]

        def equivalent(factor: Number) -> Floats:
            if laid["reference_speed"] is not None:
                return scaled_stall_speed(
                    laid["reference_speed"], laid["reference_weight"], laid["weight"], factor, gain
                )
            return stall_speed(laid["weight"], laid["wing_area"], laid["maximum_lift_coefficient"], factor, gain)

        stall, level = equivalent(n), equivalent(1.0)
        if condition is None:
            return {
                "stall_speed_calibrated": stall,
                "stall_speed_true": stall * np.nan,
                "load_factor": n,
                "approach_speed_calibrated": APPROACH_FACTOR * level,
            }
        air = air_of(Condition(**{field.name: laid[field.name] for field in fields(Condition)}))
        refuse_beyond(air, [condition], "")
        true, level_true = true_from_equivalent(stall, air.density), true_from_equivalent(level, air.density)

        def calibrated(speed: Floats) -> Floats:
            return calibrated_from_mach(mach_from_true(speed, air.temperature), air.pressure)

        return {
            "stall_speed_calibrated": calibrated(true),
            "stall_speed_true": true,
            "load_factor": n,
            "approach_speed_calibrated": APPROACH_FACTOR * calibrated(level_true),
        }

    inputs: dict[str, Number] = {name: given.get(name) for name in INPUTS}
    if condition is not None:
        check_condition(condition)
        inputs |= {field.name: getattr(condition, field.name) for field in fields(Condition)}
    return answer_with_spread(evaluate, inputs, draws)
