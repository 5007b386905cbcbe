"""Observations in a comparison as JSON and as text: against their aeroplane, and in pairs before and after."""

from typing import Any

from climbwright.answers.calibration.observation import quantity_of
from climbwright.answers.observed import Observed, ObservedChange, Seen
from climbwright.arrays import Measured
from climbwright.web.rendering.quantities import Units, quantity
from climbwright.web.rendering.text import plain
from climbwright.web.schemas.calibration import AS_IT_IS

__all__ = ["observed_json", "observed_lines"]


def observed_json(found: Observed, units: Units) -> dict[str, Any]:
    """Members of a comparison's answer."""
    return {
        "observations": [_seen(seen, units) for seen in found.seen],
        "observed_changes": [_changed(change, units) for change in found.changes],
    }


def _seen(seen: Seen, units: Units) -> dict[str, Any]:
    one = seen.observation
    kind = quantity_of(one.kind, one.measured).kind
    return {
        "name": one.name,
        "of": AS_IT_IS if one.of is None else one.of,
        "kind": one.kind,
        "measured": one.measured,
        **({} if seen.read == seen.observed.value else {"read": quantity(seen.read, kind, units)}),
        "observed": quantity(seen.observed.value, kind, units, seen.observed.plus_minus),
        "expected": quantity(seen.expected.value, kind, units, seen.expected.plus_minus),
        "standard_deviations": {"value": seen.deviations, "unit": "1"},
    }


def _changed(change: ObservedChange, units: Units) -> dict[str, Any]:
    after = change.after
    unit = units[quantity_of(after.kind, after.measured).kind]

    def difference(number: Measured) -> dict[str, Any]:
        return {
            "value": number.value / unit.factor,
            "unit": unit.name,
            "plus_minus": number.plus_minus / unit.factor,
        }

    return {
        "option": after.of,
        "before": change.before.name,
        "after": after.name,
        "kind": after.kind,
        "measured": after.measured,
        "observed_change": difference(change.observed),
        "explained": difference(change.explained),
        "unexplained": difference(change.unexplained),
        "standard_deviations": {"value": change.deviations, "unit": "1"},
    }


def observed_lines(body: dict[str, Any]) -> list[str]:
    """Observations of a comparison's answer, for a page; none where there are none."""
    if not body.get("observations"):
        return []
    lines = ["", "Observed (sd: standard deviations of the difference)"]
    for seen in body["observations"]:
        kind = quantity_of(seen["kind"], seen["measured"]).kind
        read, expected = plain(seen["observed"], kind), plain(seen["expected"], kind)
        off = seen["standard_deviations"]["value"]
        lines.append(f"  {seen['name']} ({seen['of']}): read {read}, expected {expected}: {off:+.1f} sd")
    for change in body["observed_changes"]:
        kind = quantity_of(change["kind"], change["measured"]).kind
        parts = {name: plain(change[name], kind) for name in ("observed_change", "explained", "unexplained")}
        lines.append(
            f"  {change['before']} to {change['after']}: {parts['observed_change']} observed, {parts['explained']} "
            f"explained by the changes, the load and the air, {parts['unexplained']} not"
        )
    return lines
