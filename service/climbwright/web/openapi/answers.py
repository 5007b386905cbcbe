"""What each operation answers."""

from typing import Any

from climbwright.web.openapi.balance import balance
from climbwright.web.openapi.builders import answered, json_object
from climbwright.web.openapi.calibration import calibration
from climbwright.web.openapi.measures import comparison, performance
from climbwright.web.openapi.next_flights import next_flights
from climbwright.web.openapi.operability import operability
from climbwright.web.openapi.requirement import requirement
from climbwright.web.openapi.shared import notes
from climbwright.web.openapi.working import with_working
from climbwright.web.operations import Field, Operation

__all__ = ["answer_schema"]


def answer_schema(operation: Operation) -> dict[str, Any]:
    """The answer of an operation, with its working."""
    summary = operation.summary + "."
    if operation.name == "performance":
        answer = performance()
    elif operation.name == "comparison":
        answer = comparison()
    elif operation.name == "requirement":
        answer = json_object(requirement() | notes(), summary)
    elif operation.name == "operability":
        parts = operability() | notes()
        answer = json_object(parts, summary, [name for name in parts if name != "ways"])
    elif operation.name == "test-plan":
        answer = json_object(next_flights() | notes(), summary)
    elif operation.name == "calibration":
        answer = json_object(calibration() | notes(), summary)
    else:
        numbers = {name: _field(field) for name, field in operation.fields.items()}
        answer = json_object((balance(numbers) if operation.name == "balance" else numbers) | notes(), summary)
    return with_working(operation, answer)


def _field(field: Field) -> dict[str, Any]:
    return answered(f"{field.description} ({field.kind})", field.kind)
