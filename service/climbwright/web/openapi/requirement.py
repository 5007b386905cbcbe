"""What a requirement answers."""

from typing import Any

from climbwright.answers.measures import MEASURES
from climbwright.answers.unknowns import UNKNOWNS
from climbwright.web.openapi.builders import answered, json_array, json_object, json_text

__all__ = ["requirement"]


def requirement() -> dict[str, Any]:
    """What a requirement answers before its notes."""
    value = answered("The value that just meets the target, in the unknown's kind.", "power")
    others = json_array(
        answered("Another value that meets it.", "power"), "Other values of the range that just meet it.", []
    )
    target = json_object(
        {
            "measure": {**json_text("Name of the measure.", "best_climb_rate"), "enum": list(MEASURES)},
            "goal": {**json_text("What it shall be.", "at_least"), "enum": ["at_least", "at_most", "equals"]},
            "value": answered("The value that it shall meet.", "vertical speed"),
            "loading": json_text("Name of the loading.", "two-up"),
            "condition": json_text("Name of the condition.", "summer noon"),
        },
        "The target.",
    )
    slope = json_object(
        {
            "value": {"type": "number", "description": "The slope.", "examples": [8.9]},
            "unit": json_text("Its unit.", "ft/min per hp"),
        },
        "Change of the measure for each unit of the unknown.",
    )
    met = json_text("just; or throughout, where every value of the range meets the target.", "just")
    return {
        "unknown": {**json_text("What was asked for.", "power"), "enum": list(UNKNOWNS)},
        "value": value,
        "met": {**met, "enum": ["just", "throughout"]},
        "other_values": others,
        "target": target | {"examples": [{}]},
        "measured": answered("The measure there.", "vertical speed"),
        "slope": slope | {"examples": [{"value": 8.9, "unit": "ft/min per hp"}]},
    }
