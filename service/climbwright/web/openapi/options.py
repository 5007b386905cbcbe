"""The options that every operation takes in its query: units, format, pick and the others."""

from typing import Any

__all__ = ["option_parameters"]


def option_parameters() -> list[dict[str, Any]]:
    """A parameter of the query for each option."""
    rows = (
        ("units", "Units of the answer: aviation, metric, us or si, then kinds: us,speed:mph.", "us,speed:mph", None),
        ("format", "Format of the answer; it beats Accept.", "json", ["json", "csv", "text"]),
        ("pick", "Answer this one value as plain text: a field's name, or a JSON Pointer.", None, None),
        ("working", "true shows every step; not with pick or format=csv.", "false", ["true", "false"]),
        (
            "spread",
            "linear: by central differences; sampled: of 4,000 aeroplanes drawn at random, always the same, fewer for "
            "many scenes (not of air alone or a calibration). Left out, it is linear where that tells it, else drawn.",
            "linear",
            ["linear", "sampled"],
        ),
        (
            "errors",
            "text answers a GET's refusal as text with status 200, for a spreadsheet.",
            "text",
            ["document", "text"],
        ),
    )
    found = []
    for name, description, example, choices in rows:
        schema: dict[str, Any] = {"type": "string", "minLength": 1}
        if choices:
            schema["enum"] = choices
        parameter = {"name": name, "in": "query", "required": False, "description": description, "schema": schema}
        if example is not None:
            parameter["example"] = example
        else:
            schema["examples"] = ["density_altitude"]
        found.append(parameter)
    return found
