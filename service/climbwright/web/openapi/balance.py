"""What a balance answers beside its totals."""

from typing import Any

from climbwright.answers.pilot import FUEL_STATES
from climbwright.web.openapi.builders import answered, json_array, json_object, json_text
from climbwright.web.rendering.balance import BURN_FIELDS, RECORD_FIELDS, WHEEL_FIELDS

__all__ = ["balance"]


def balance(fields: dict[str, Any]) -> dict[str, Any]:
    """What a balance answers, given its numbers."""
    inside = {
        "description": "Whether all limits given are kept; null without limits.",
        "anyOf": [{"type": "boolean"}, {"type": "null"}],
        "examples": [True],
    }
    burned = json_object(
        {"burned": json_text("The tank that has burned down to its unusable part.", "fuel")}
        | {name: fields[name] for name in BURN_FIELDS}
        | {"in_limits": inside},
        "The aeroplane after a tank has burned.",
    )
    extreme = json_object(
        {
            "stations": {
                "type": "object",
                "description": "What each station holds: its minimum (or nothing) or its capacity.",
                "additionalProperties": answered("Weight held (mass)", "mass"),
                "examples": [{}],
            }
        }
        | {name: fields[name] for name in BURN_FIELDS}
        | {"in_limits": inside},
        "A worst loading, of those that the greatest weight allows.",
    )
    worst = {
        name: {
            "description": f"The loading with the CG furthest {side}; null where no station has a capacity.",
            "anyOf": [extreme, {"type": "null"}],
            "examples": [None],
        }
        for name, side in (("worst_forward", "forward"), ("worst_aft", "aft"))
    }
    mend = json_object(
        {"weight": answered("Weight of the ballast (mass)", "mass"), "arm": answered("Its arm (length)", "length")},
        "The least ballast at its arm, or the arm of ballast of its weight, that brings it back inside its limits.",
    ) | {"examples": [{"weight": {"value": 3.5, "unit": "kg"}, "arm": {"value": 1.2, "unit": "m"}}]}
    burn = json_array(burned, "Tank by tank, in order.", [])
    return {"in_limits": inside, **fields, "fuel_burn": burn, **worst, "ballast": mend} | _balance_lists()


def _balance_lists() -> dict[str, Any]:
    """What a balance lists beside its totals."""

    def line(name: str, example: str, table: Any, description: str) -> dict[str, Any]:
        columns = {key: answered(f"{what} ({kind})", kind) for key, (kind, _, what) in table.items()}
        return json_object({"name": json_text(name, example)} | columns, description)

    states = {**json_text("State of the fuel.", "full"), "enum": list(FUEL_STATES)}
    seat = json_object(
        {
            "fuel": states,
            "least": answered("Least weight in the pilot_station that keeps all limits (mass)", "mass"),
            "greatest": answered("Greatest weight there (mass)", "mass"),
        },
        "A state of the fuel, the other stations as loaded.",
    )
    entry = line("Name of the item or change; a move has two lines.", "oil", RECORD_FIELDS, "A line of the record.")
    wheel = line("Which wheel.", "left main", WHEEL_FIELDS, "A wheel.")
    return {
        "empty_weight_record": json_array(
            entry, "The weighing, then every item and change in turn; without it none.", []
        ),
        "wheel_loads": json_array(wheel, "What each wheel of the loaded aeroplane carries, levelled.", []),
        "pilot_weights": json_array(
            seat, "For each state of the fuel, kept while it burns down, where a pilot_station was named.", []
        ),
    }
