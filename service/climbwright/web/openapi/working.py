"""A calculation shown."""

from typing import Any

from climbwright.web.openapi.builders import json_array, json_object, json_text
from climbwright.web.operations import Operation

__all__ = ["with_working", "worked_schemas"]


def with_working(operation: Operation, answer: dict[str, Any]) -> dict[str, Any]:
    """An answer that has its working too where that is asked for."""
    kind = "Step" if operation.fields else "WorkedScene"
    steps = json_array({"$ref": f"#/components/schemas/{kind}"}, "The calculation, where working=true asks for it.", [])
    return answer | {"properties": answer["properties"] | {"working": steps}}


def worked_schemas() -> dict[str, dict[str, Any]]:
    """A step of a shown calculation, and the steps that hold for one scene."""
    example = {
        "quantity": "weight as a force",
        "formula": "W = m*g",
        "with_numbers": "443.4 kg*9.80665 m/s2",
        "result": "4348.3 N",
        "where": {"g": "standard gravity"},
        "source": "definition",
    }
    where = {
        "type": "object",
        "description": "What the symbols stand for that no earlier step gives, where they are first used.",
        "additionalProperties": json_text("What it stands for.", "standard gravity"),
        "examples": [{"g": "standard gravity"}],
    }
    step = json_object(
        {
            "quantity": json_text("What is computed.", "weight as a force"),
            "formula": json_text("The formula; or that the value was found by a search.", "W = m*g"),
            "with_numbers": json_text(
                "The formula with its numbers put in, SI, seven digits.", "443.4 kg*9.80665 m/s2"
            ),
            "result": json_text("What that gives, SI, five digits.", "4348.3 N"),
            "reader": json_text("The same in the reader's unit where it differs.", "4348 N"),
            "where": where,
            "source": json_text("Where the formula comes from.", "definition"),
        },
        "A step of the calculation.",
        ["quantity", "formula", "result", "source"],
    ) | {"examples": [example]}
    scene = json_object(
        {
            "option": json_text("The option, after which these steps hold.", "geared 112 hp engine"),
            "when": {**json_text("Before or after the option.", "after"), "enum": ["before", "after"]},
            "setting": json_text("The propeller's setting.", "fine"),
            "loading": json_text("The loading; left out, they hold for each.", "two-up"),
            "condition": json_text("The condition; left out, they hold for each.", "summer noon"),
            "observation": json_text("The observation of a calibration.", "climb solo"),
            "flight": json_text("The flight of a test plan.", "climb, two-up, summer noon"),
            "steps": json_array({"$ref": "#/components/schemas/Step"}, "In order; they use what stands before.", []),
        },
        "Steps, and what they hold for.",
        ["steps"],
    ) | {"examples": [{"loading": "two-up", "steps": [example]}]}
    return {"Step": step, "WorkedScene": scene}
