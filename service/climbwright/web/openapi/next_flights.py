"""What a plan of test flights answers."""

from typing import Any

from climbwright.answers.calibration.observation import KINDS as KINDS_OF_OBSERVATION
from climbwright.answers.measures import MEASURES
from climbwright.web.openapi.builders import answered, json_array, json_object, json_text

__all__ = ["next_flights"]


def next_flights() -> dict[str, Any]:
    """What a plan of test flights answers before its notes."""
    narrow = json_object(
        {
            "measure": {**json_text("Name of the measure.", "best_climb_rate"), "enum": list(MEASURES)},
            "loading": json_text("Name of its loading.", "two-up"),
            "condition": json_text("Name of its condition.", "summer noon"),
            "now": answered("The measure as it is known now.", "vertical speed"),
        },
        "The answer to be narrowed.",
    )
    parts = {
        "name": json_text("Name of the flight.", "climb, solo, cool morning"),
        "kind": {**json_text("Kind of observation.", "climb"), "enum": list(KINDS_OF_OBSERVATION)},
        "loading": json_text("Name of its loading.", "solo"),
        "condition": json_text("Name of its condition.", "cool morning"),
        "weight": answered("Weight at the start (mass)", "mass"),
        "expected": answered("What it should read, with its usual spread.", "vertical speed"),
        "spread_left": answered("Spread of the answer after this flight and those before it.", "vertical speed"),
        "indicated": answered("Airspeed to hold.", "speed"),
        "power": json_text("Power of a level flight.", "full throttle"),
    }
    flight = json_object(parts, "A flight to fly.", [name for name in parts if name not in ("indicated", "power")])
    return {
        "narrow": narrow | {"examples": [{}]},
        "flights": json_array(flight, "In the order in which to fly them.", []),
    }
