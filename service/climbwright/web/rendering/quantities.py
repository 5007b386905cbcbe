"""Numbers as quantities: value, unit, spread; or null with the reason."""

from collections.abc import Mapping, Sequence
from math import isfinite, isnan
from typing import Any

import numpy as np

from climbwright.answers.notes import EXCEEDED, Assumed, Caution
from climbwright.answers.single import Single
from climbwright.answers.spread import PERCENTILES
from climbwright.units import Unit, to_unit
from climbwright.web.words.assumed import assumed_text
from climbwright.web.words.cautions import caution_text
from climbwright.web.words.numbers import measured_pair
from climbwright.web.words.reasons import REASONS

__all__ = ["Units", "assumed_json", "cautions_json", "missing", "percentiles_json", "quantity", "single_json"]

SEVERITIES = ("warning", "caution", "info")  # the gravest first
Units = Mapping[str, Unit]
PERCENTILE_NAMES = [f"{percentile:.0f}" for percentile in PERCENTILES]


def missing(kind: str, reason: str, units: Units) -> dict[str, Any]:
    """A quantity that does not exist, and why."""
    return {"value": None, "unit": units[kind].name, "reason": REASONS[reason]}


def quantity(value: float, kind: str, units: Units, spread: float | None = None) -> dict[str, Any]:
    """A quantity in the reader's unit.

    Raises
    ------
    ArithmeticError
        The number is not finite, which is an error of ours.
    """
    unit = units[kind]
    number = float(to_unit(value, unit))
    if not isfinite(number):
        raise ArithmeticError(f"a {kind} is not finite")
    body: dict[str, Any] = {"value": number, "unit": unit.name}
    if spread is not None and isfinite(spread):
        body["plus_minus"] = float(spread / unit.factor)
    return body


def percentiles_json(values: Sequence[float], without: float) -> dict[str, Any]:
    """Percentiles of draws, null where one lies among those without a value, and the share of these; nothing if linear.

    Parameters
    ----------
    values : sequence of float
        In the reader's unit; nan where one lies beyond all values.
    without : float
        Share of the draws without a value; nan where none were made.
    """
    if not without >= 0.0:
        return {}
    told = [None if value != value else value for value in values]
    found: dict[str, Any] = {"percentiles": dict(zip(PERCENTILE_NAMES, told, strict=True))}
    return found | ({"share_without": without} if without > 0.0 else {})


def _drawn(single: Single, unit: Unit) -> dict[str, Any]:
    """As `percentiles_json`, of a number that has some."""
    if single.percentiles is None or single.without is None or not (single.spread or single.without > 0.0):
        return {}
    return percentiles_json(np.asarray(to_unit(single.percentiles, unit)).tolist(), float(single.without))


def _one_json(single: Single, value: float, kind: str, units: Units, reason: str | None) -> dict[str, Any]:
    """As `single_json`, of one number."""
    if isnan(value):
        if reason is None:
            raise ArithmeticError(f"a {kind} that always exists is not a number")
        return missing(kind, reason, units)
    if single.spread is None:
        return quantity(value, kind, units)
    return quantity(value, kind, units, float(single.spread)) | _drawn(single, units[kind])


def single_json(single: Single, kind: str, units: Units, reason: str | None) -> dict[str, Any]:
    """A number or a list of numbers as a quantity; a list with any gap has null there and the reason beside it.

    Raises
    ------
    ArithmeticError
        A gap without a reason, which is an error of ours.
    """
    if isinstance(single.value, float) or np.ndim(single.value) == 0:
        return _one_json(single, float(single.value), kind, units, reason)
    if reason is None and np.isnan(single.value).any():
        raise ArithmeticError(f"a {kind} that always exists is not a number")
    unit = units[kind]
    numbers = np.asarray(to_unit(single.value, unit), dtype=float)
    if np.isinf(numbers).any():
        raise ArithmeticError(f"a {kind} is not finite")
    gaps = np.isnan(numbers)
    body: dict[str, Any] = {"value": numbers.tolist(), "unit": unit.name}
    if gaps.any():
        body["value"] = [None if gap else number for gap, number in zip(gaps, numbers.tolist(), strict=True)]
        body["reason"] = REASONS[reason or ""]
    elif single.spread is not None and np.isfinite(single.spread).all():
        body["plus_minus"] = (single.spread / unit.factor).tolist()
    return body


def cautions_json(cautions: Sequence[Caution], units: Units) -> list[dict[str, str]]:
    """Cautions as code, severity and text, with where they apply; broken limits first, then the gravest."""
    found = []
    for caution in cautions:
        severity, text = caution_text(caution, units)
        found.append({"code": caution.code, "severity": severity, "text": text, "where": caution.where})
    return sorted(found, key=lambda entry: (entry["code"] not in EXCEEDED, SEVERITIES.index(entry["severity"])))


def assumed_json(assumed: Sequence[Assumed], units: Units) -> list[dict[str, Any]]:
    """What stood in for what was not said."""
    found = []
    for item in assumed:
        text, source = assumed_text(item)
        entry: dict[str, Any] = {"where": item.where, "text": text}
        if item.value is not None and item.kind is not None:
            value, spread = measured_pair(item.value)
            entry["value"] = quantity(value, item.kind, units, spread)
        if source is not None:
            entry["source"] = source
        found.append(entry)
    return found
