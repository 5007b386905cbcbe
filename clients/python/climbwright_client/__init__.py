"""Ask a climbwright service from Python.

Every figure is an estimate, not a flight manual: local rules, an approved weighing and a licensed inspector decide.
"""

from climbwright_client.answers import Written
from climbwright_client.client import AsyncClimbwright, Climbwright
from climbwright_client.errors import (
    Busy,
    ClimbwrightError,
    Failed,
    FieldError,
    NotAnswerable,
    NotAService,
    NotOffered,
    NotSent,
    NotUnderstood,
    Refused,
    TooLarge,
    Unreachable,
    Unreadable,
)
from climbwright_client.packing import pack
from climbwright_client.quantity import Quantity
from climbwright_client.retrying import Retry

__all__ = [
    "AsyncClimbwright",
    "Busy",
    "Climbwright",
    "ClimbwrightError",
    "Failed",
    "FieldError",
    "NotAService",
    "NotAnswerable",
    "NotOffered",
    "NotSent",
    "NotUnderstood",
    "Quantity",
    "Refused",
    "Retry",
    "TooLarge",
    "Unreachable",
    "Unreadable",
    "Written",
    "pack",
]
