"""What a calibration answers."""

from typing import Any

from climbwright.answers.calibration.observation import KINDS as KINDS_OF_OBSERVATION
from climbwright.web.openapi.builders import answered, json_array, json_object, json_text

__all__ = ["calibration"]


def calibration() -> dict[str, Any]:
    """What a calibration answers before its notes."""
    number = json_object(
        {
            "where": json_text("JSON Pointer of the number in the aircraft.", "/drag/parasite_area"),
            "text": json_text("What it is.", "parasite area"),
            "before": answered("What was known of it before.", "area"),
            "after": answered("What is known of it now.", "area"),
            "spread_left": answered("Spread after over spread before.", "ratio"),
        },
        "A number that was learned.",
    )
    day = json_object(
        {
            "day": {"type": "string", "description": "Name of the day.", "examples": ["first"]},
            "altitude_error": answered("What the altimeter was most likely wrong by.", "altitude"),
            "temperature_error": answered("What the thermometer was most likely wrong by.", "temperature difference"),
        },
        "What the flights of a day have in common.",
    )
    factor = answered("Empty weight over the one weighed; null where its spread was stated.", "ratio")
    observations = json_array(_seen(), "Each observation against the fit.", [])
    return {
        "aircraft": {
            "$ref": "#/components/schemas/Aircraft",
            "description": "The aeroplane as sent, with what was learned in its place and their covariance.",
            "examples": [{}],
        },
        "numbers": json_array(number, "What was learned.", []),
        "days": json_array(day, "Errors of each day.", []),
        "empty_weight_factor": {
            "description": factor["description"],
            "anyOf": [factor, {"type": "null"}],
            "examples": [None],
        },
        "observations": observations,
    }


def _seen() -> dict[str, Any]:
    """An observation against the fit."""
    reduced = {
        "type": "object",
        "description": "What it was reduced to, as it applies: weight, air, airspeeds, tapeline rate.",
        "additionalProperties": answered("A number it was reduced to.", "mass"),
        "examples": [{}],
    }
    doubt = json_object(
        {
            "cause": {
                **json_text("Likeliest cause.", "unit"),
                "enum": ["unit", "air", "indicated", "position", "unknown"],
            },
            "text": json_text("The same in words.", "No usual mistake explains it."),
        },
        "Where it does not fit the others.",
    )
    parts = {
        "name": json_text("Name of the observation.", "climb solo"),
        "kind": {**json_text("Its kind.", "climb"), "enum": list(KINDS_OF_OBSERVATION)},
        "measured": json_text("What it measured.", "rate"),
        "reduced": reduced,
        "observed": answered("As observed, with its spread.", "vertical speed"),
        "expected": answered("As the fit expects it, with its spread.", "vertical speed"),
        "difference": answered("Observed less expected.", "vertical speed"),
        "standard_deviations": answered("The same over its own standard deviation.", "ratio"),
        "doubt": doubt | {"examples": [{}]},
    }
    return json_object(parts, "An observation against the fit.", [name for name in parts if name != "doubt"])
