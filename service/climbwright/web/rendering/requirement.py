"""A requirement's answer as JSON, as a row of a table and as text."""

from typing import Any

from climbwright.answers.measures import MEASURES
from climbwright.answers.requirement import Impossible, RequirementAnswer
from climbwright.answers.targets import Target
from climbwright.answers.unknowns import UNKNOWNS, Unknown
from climbwright.refusal import Refusal
from climbwright.web.rendering.aeroplane import performance_json
from climbwright.web.rendering.quantities import Units, quantity
from climbwright.web.rendering.tables import Row, columns_of, merged
from climbwright.web.rendering.text import answer_text, plain
from climbwright.web.words.numbers import shown

__all__ = ["GOALS", "impossible", "requirement_json", "requirement_rows", "requirement_text"]

GOALS = {"at_least": "at least", "at_most": "at most", "equals": "just"}


def requirement_json(found: RequirementAnswer, unknown: Unknown, target: Target, units: Units) -> dict[str, Any]:
    """The value, the measure there, and how steeply it changes."""
    kind, measured = UNKNOWNS[unknown.field].kind, MEASURES[target.measure].kind
    whole = performance_json(found.answer, units)
    result = whole["results"][0]
    per = f"{units[measured].name} per {units[kind].name}"
    return {
        "unknown": unknown.field,
        "value": quantity(found.value, kind, units, found.spread),
        "met": "throughout" if found.met_throughout else "just",
        "other_values": [quantity(value, kind, units) for value in found.others],
        "target": {
            "measure": target.measure,
            "goal": target.goal,
            "value": quantity(target.value, measured, units),
            "loading": result["loading"],
            "condition": result["condition"],
        },
        "measured": result["measures"][target.measure],
        "slope": {"value": found.slope * units[kind].factor / units[measured].factor, "unit": per},
        "assumed": whole["assumed"],
        "cautions": whole["cautions"],
    }


def impossible(refusal: Impossible, target: Target, units: Units) -> Refusal:
    """The refusal in the reader's units, with the nearest that can be had."""
    wanted = f"{GOALS[target.goal]} {shown(target.value, refusal.reached[1], units)}"
    reached = shown(*refusal.reached, units)
    value = shown(*refusal.value, units)
    return Refusal(
        refusal.where,
        f"no value in the range gives {target.measure} {wanted}: the nearest is {reached}, at {value}; "
        "send another target or a wider range",
    )


def requirement_rows(body: dict[str, Any]) -> list[Row]:
    """One row."""
    target = body["target"]
    head = {"unknown": body["unknown"], "met": body["met"], "measure": target["measure"], "goal": target["goal"]}
    scene = {"loading": target["loading"], "condition": target["condition"]}
    numbers = {"value": body["value"], "target": target["value"], "measured": body["measured"], "slope": body["slope"]}
    return [merged(head, scene, columns_of(numbers))]


def requirement_text(body: dict[str, Any], name: str) -> str:
    """A sentence, the numbers, and the notes."""
    target = body["target"]
    label, measured = target["measure"].replace("_", " "), MEASURES[target["measure"]].kind
    kind = UNKNOWNS[body["unknown"]].kind
    lines = [
        f"{name}: {body['unknown'].replace('_', ' ')} for {label} {GOALS[target['goal']]} "
        f"{plain(target['value'], measured)}",
        f"{target['loading']}, {target['condition']}",
        "",
        f"{body['unknown'].replace('_', ' '):34} {plain(body['value'], kind)}",
        f"{label:34} {plain(body['measured'], measured)}",
        f"{'change of it':34} {body['slope']['value']:.4g} {body['slope']['unit']}",
    ]
    if body["met"] == "throughout":
        lines.append("Every value of the range meets the target; this end of it does so most narrowly.")
    lines += [f"{'also at':34} {plain(value, kind)}" for value in body["other_values"]]
    return answer_text(lines, body)
