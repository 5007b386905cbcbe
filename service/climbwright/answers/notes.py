"""What an answer says beside its numbers: cautions, and what was assumed. Codes and SI values, no words."""

from dataclasses import dataclass, field

from climbwright.aircraft.starting_values import StartingValue
from climbwright.arrays import Measured

__all__ = ["ESTIMATE", "EXCEEDED", "STALL_POWER_OFF", "Assumed", "Caution", "Value", "assumed_start"]

# Cautions that say a limit is broken, the gravest first: an option that has one says so first.
EXCEEDED = (
    "over-maximum-weight",
    "cg-outside-limits",
    "below-envelope",
    "cg-leaves-limits-as-fuel-burns",
    "power-above-limit",
    "faster-than-never-exceed",
    "faster-than-smooth-air-limit",
    "above-rule-weight",
    "above-rule-stall-speed",
    "above-rule-level-speed",
    "too-short-for-takeoff",
    "too-short-for-landing",
    "does-not-move",
    "does-not-lift-off",
    "does-not-clear-obstacle",
    "does-not-stop",
)


Value = tuple[float, str] | str


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its code, where it applies (JSON Pointer), and the SI values and names its text shows.

    A value is a pair of SI number and kind, or a name.
    """

    code: str
    where: str
    values: dict[str, Value] = field(default_factory=dict)


ESTIMATE = Caution("estimate", "")
STALL_POWER_OFF = Caution("stall-power-off", "")


@dataclass(frozen=True, slots=True)
class Assumed:
    """Something the request did not say: where it belongs, a code for its text, and the value that stood in."""

    where: str
    code: str
    value: float | Measured | None = None
    kind: str | None = None


def assumed_start(start: StartingValue) -> Assumed:
    """A starting value as an assumption."""
    return Assumed(start.where, start.code, start.value, start.kind)
