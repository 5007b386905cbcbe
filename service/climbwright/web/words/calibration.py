"""Words of a calibration: what each learned number is, and what most likely went wrong with an observation."""

from climbwright.answers.calibration.doubts import Doubt

__all__ = ["cause_text", "number_words"]

_NUMBERS = {
    "parasite_area": "parasite area",
    "span_efficiency": "span efficiency",
    "idle_propeller_area": "drag area of the idle propeller",
    "power": "rated power",
    "power_margin": "power margin",
    "lapse_constant": "lapse constant",
    "best_efficiency": "best propeller efficiency",
    "best_efficiency_speed": "its true airspeed",
    "static_speed": "engine speed standing still",
    "efficiency": "propeller efficiency",
    "quality": "propeller quality",
    "static_quality": "propeller quality standing",
    "quality_speed": "speed of the propeller quality",
    "speed": "stall speed",
    "maximum_lift_coefficient": "greatest lift coefficient",
    "parasite_area_gain": "drag area of the flaps",
    "near_stall": "airspeed reading near the stall",
    "cruise": "airspeed reading in cruise",
}
_CAUSES = {
    "unit": "It fits as a number of {right}: it seems to have been sent as {sent} by mistake.",
    "air": "It fits in standard air: check the temperature and the altitude that were sent with it.",
    "indicated": "It is off by no more than an airspeed system may be: was an indicated airspeed sent as calibrated?",
    "position": "It is off by no more than an airspeed system may be: check the position error at this speed.",
    "unknown": "No usual mistake explains it: check the reading, the weight, the speed and the air.",
}


def number_words(where: str) -> str:
    """What a learned number is; a stall's is told by its place."""
    *path, name = where.split("/")[1:]
    words = _NUMBERS[name]
    return f"{words} {int(path[1]) + 1}" if path[0] == "stalls" else words


def cause_text(doubt: Doubt) -> str:
    """What most likely went wrong with an observation."""
    right, sent = doubt.unit or ("", "")
    return _CAUSES[doubt.cause].format(right=right, sent=sent)
