"""The measures of performance and of a comparison, scene by scene."""

from typing import Any

from climbwright.answers.measures import MEASURES, STALL_SPEEDS
from climbwright.web.openapi.builders import answered, json_array, json_object, json_text
from climbwright.web.openapi.shared import notes
from climbwright.web.words.measures import MEANINGS

__all__ = ["comparison", "performance"]


def _measures(leaf: Any) -> dict[str, Any]:
    properties = {name: leaf(MEANINGS[name], measure.kind) for name, measure in MEASURES.items()}
    stalls = {
        "type": "object",
        "description": "Stall speed, calibrated, of each configuration.",
        "additionalProperties": leaf("Stall speed, power off, calibrated.", "speed"),
        "examples": [{}],
    }
    if "change" in properties["stall_speed_calibrated"].get("properties", {}):
        properties["stall_speed_calibrated"]["properties"]["causes"] = _stall_causes()
    shown = json_object(properties | {STALL_SPEEDS: stalls}, "Measures by name: those asked for.", [])
    return shown | {"examples": [{}]}


def _single_leaf(label: str, kind: str) -> dict[str, Any]:
    return answered(f"{label} ({kind})", kind)


def _change_leaf(label: str, kind: str) -> dict[str, Any]:
    parts = {when: answered(f"{label} {when.capitalize()} ({kind})", kind) for when in ("before", "after", "change")}
    shown = {when: part["examples"][0] for when, part in parts.items()}
    shares = {
        "type": "object",
        "description": "What each change bought of it, by its name or its group's, where shares are asked for.",
        "additionalProperties": answered(f"{label} Share ({kind})", kind),
        "examples": [{}],
    }
    return json_object(parts | {"shares": shares}, label, list(parts)) | {"examples": [shown]}


def _scene(measures: dict[str, Any], more: dict[str, Any]) -> dict[str, Any]:
    return json_object(
        {
            "loading": json_text("Name of the loading.", "two-up"),
            "condition": json_text("Name of the condition.", "summer noon"),
            "measures": measures,
            **more,
        },
        "One loading in one condition.",
    )


def _targets(named: str) -> dict[str, Any]:
    name = {
        "description": f"Name of the {named}; null for the aeroplane as it is.",
        "anyOf": [json_text("Name.", "one hundred horsepower"), {"type": "null"}],
        "examples": [None],
    }
    found = json_object(
        {
            named: name,
            "loading": json_text("Name of the loading.", "two-up"),
            "condition": json_text("Name of the condition.", "summer noon"),
            "measure": {**json_text("Name of the measure.", "best_climb_rate"), "enum": list(MEASURES)},
            "goal": {**json_text("What it shall be.", "at_least"), "enum": ["at_least", "at_most"]},
            "target": answered("The value that it shall meet.", "vertical speed"),
            "expected": answered("The measure as it is expected.", "vertical speed"),
            "chance": answered("Chance of meeting the target (ratio)", "ratio"),
        },
        "A target in one scene.",
    )
    return json_array(found, "The chance of each target, where the request has targets.", [])


def _settings() -> dict[str, Any]:
    best = {
        "type": "object",
        "description": "The best setting for climb, cruise and strip, as far as they are answered.",
        "additionalProperties": {"anyOf": [json_text("Name of the setting.", "fine"), {"type": "null"}]},
        "examples": [{"climb": "fine", "cruise": "coarse"}],
    }
    each = {
        "type": "object",
        "description": "The measures at each setting, by its name.",
        "additionalProperties": _measures(_single_leaf),
        "examples": [{}],
    }
    scene = _scene(each, {"best_for": best})
    return json_array(scene, "For a ground-adjustable propeller with several settings, each of them.", [])


def performance() -> dict[str, Any]:
    """What performance answers."""
    results = json_array(_scene(_measures(_single_leaf), {}), "For each loading and condition.", [])
    parts = {"results": results, "settings": _settings(), "targets": _targets("setting"), **notes()}
    return json_object(parts, "Performance.", [name for name in parts if name not in ("settings", "targets")])


def comparison() -> dict[str, Any]:
    """What a comparison answers."""
    gains = {
        "cost_per_100_ft_per_min": answered("Cost of each 100 ft/min of the best rate of climb gained.", "money"),
        "cost_per_horsepower": answered("Cost of each horsepower of available power gained.", "money"),
    }
    option = json_object(
        {
            "name": json_text("Name of the option.", "geared 112 hp engine"),
            "exceeded": json_array(
                {"type": "string", "examples": ["cg-outside-limits"]}, "Codes of the limits that are broken.", []
            ),
            "exceeded_before": json_array(
                {"type": "string", "examples": ["over-maximum-weight"]},
                "Those of them that were broken in the same loadings before the change.",
                [],
            ),
            "cost": answered("What the changes cost together.", "money"),
            "results": json_array(_scene(_measures(_change_leaf), gains), "For each loading and condition.", []),
            "cautions": json_array({"$ref": "#/components/schemas/Caution"}, "Of the changed aeroplane.", []),
        },
        "An option, before and after.",
    )
    parts = {
        "options": json_array(option, "In the order of the request.", []),
        "targets": _targets("option"),
        **_observed(),
        **notes(),
    }
    asked = ("targets", *_observed())
    return json_object(parts, "Before and after.", [name for name in parts if name not in asked])


def _observed() -> dict[str, Any]:
    """Observations in a comparison."""
    about = {"kind": json_text("Kind of observation.", "stall"), "measured": json_text("What it measures.", "speed")}
    off = answered("That difference in its standard deviations (ratio)", "ratio")
    seen = json_object(
        {
            "name": json_text("Name of the observation.", "stall before"),
            "of": json_text("baseline, or the option that it was flown after.", "baseline"),
            **about,
            "observed": answered("What was observed, airspeeds through the owner's table.", "speed"),
            "expected": answered("What that aeroplane should have read.", "speed"),
            "standard_deviations": off,
        },
        "An observation against the aeroplane that it is of.",
    )
    changed = json_object(
        {
            "option": json_text("The option.", "geared 112 hp engine"),
            "before": json_text("Observation of the aeroplane as it is.", "stall before"),
            "after": json_text("Observation of the same sort, flown after the option.", "stall after"),
            **about,
            "observed_change": answered("After less before, as observed.", "speed"),
            "explained": answered("What the changes made, and another load or air, explain of it.", "speed"),
            "unexplained": answered("What they do not.", "speed"),
            "standard_deviations": off,
        },
        "An observed change, and what of it the changes made explain.",
    )
    seen["properties"]["read"] = answered(
        "What was read, where the owner's table makes another airspeed of it.", "speed"
    )
    return {
        "observations": json_array(seen, "Where observations were sent: each against its aeroplane.", []),
        "observed_changes": json_array(changed, "Each pair of one sort.", []),
    }


def _stall_causes() -> dict[str, Any]:
    """Why a stall speed changed."""
    words = {
        "weight": "Through the weight.",
        "balance": "Through the centre of gravity, which decides what the tail carries.",
        "lift": "Through the greatest lift of the wing, or its area.",
    }
    parts = {name: answered(f"{text} (speed)", "speed") for name, text in words.items()}
    whole = json_object(parts, "Parts of the change, where shares are asked for; they add up to it.")
    return whole | {"examples": [{name: part["examples"][0] for name, part in parts.items()}]}
