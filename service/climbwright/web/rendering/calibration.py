"""A calibration as JSON, as rows of a table, and as text."""

import copy
from collections.abc import Mapping
from typing import Any

from climbwright.aircraft.learned import kind_of
from climbwright.answers.calibration.observation import quantity_of
from climbwright.answers.calibration.report import Calibration, LearnedNumber, Seen
from climbwright.arrays import Measured
from climbwright.web.rendering.quantities import Units, assumed_json, cautions_json, quantity
from climbwright.web.rendering.tables import Row, columns_of, merged
from climbwright.web.rendering.text import answer_text, plain
from climbwright.web.words.calibration import cause_text, number_words

__all__ = ["calibration_json", "calibration_rows", "calibration_text"]

_WORD = 32


def calibration_json(found: Calibration, document: Mapping[str, Any], units: Units) -> dict[str, Any]:
    """The completed aeroplane, each number before and after, and each observation against the fit."""
    return {
        "aircraft": _completed(found, document, units),
        "numbers": [_number(number, units) for number in found.numbers],
        "days": [
            {
                "day": day.day,
                "altitude_error": _measured(day.altitude, "altitude", units),
                "temperature_error": _measured(day.temperature, "temperature difference", units),
            }
            for day in found.days
        ],
        "empty_weight_factor": None if found.empty_mass is None else _measured(found.empty_mass, "ratio", units),
        "observations": [_seen(seen, units) for seen in found.seen],
        "assumed": assumed_json(found.assumed, units),
        "cautions": cautions_json(found.cautions, units),
    }


def _measured(number: Measured, kind: str, units: Units) -> dict[str, Any]:
    return quantity(number.value, kind, units, number.plus_minus)


def _completed(found: Calibration, document: Mapping[str, Any], units: Units) -> dict[str, Any]:
    """The owner's description with what was learned in its place, and what belongs together."""
    whole: dict[str, Any] = copy.deepcopy(dict(document))
    for number in found.numbers:
        *path, name = number.where.split("/")[1:]
        node: Any = whole
        for word in path:
            if isinstance(node, list):
                node = node[int(word)]
            elif word == "stalls":
                whole["stalls"] = node = whole.get("stalls") or [{"configuration": "clean"}]
            else:
                node = node.setdefault(word, {})
        node[name] = _measured(number.after, number.kind, units)
    block = found.covariance
    whole["covariance"] = {
        "parameters": list(block.parameters),
        "correlation": [list(row) for row in block.correlation],
        "observations": list(block.observations),
    }
    return whole


def _number(number: LearnedNumber, units: Units) -> dict[str, Any]:
    return {
        "where": number.where,
        "text": number_words(number.where),
        "before": _measured(number.before, number.kind, units),
        "after": _measured(number.after, number.kind, units),
        "spread_left": {"value": number.narrowed, "unit": "1"},
    }


def _seen(seen: Seen, units: Units) -> dict[str, Any]:
    kind = quantity_of(seen.kind, seen.measured).kind
    difference, unit = seen.observed.value - seen.expected.value, units[kind]
    body = {
        "name": seen.name,
        "kind": seen.kind,
        "measured": seen.measured,
        "reduced": {name: quantity(value, kind, units) for name, (value, kind) in seen.reduced.items()},
        "observed": _measured(seen.observed, kind, units),
        "expected": _measured(seen.expected, kind, units),
        "difference": {"value": difference / unit.factor, "unit": unit.name},
        "standard_deviations": {"value": seen.deviations, "unit": "1"},
    }
    if seen.doubt is not None:
        body["doubt"] = {"cause": seen.doubt.cause, "text": cause_text(seen.doubt)}
    return body


def calibration_rows(body: dict[str, Any]) -> list[Row]:
    """A row for each observation."""
    return [
        merged(
            {"name": seen["name"], "kind": seen["kind"], "doubt": seen.get("doubt", {}).get("cause", "")},
            columns_of({k: seen[k] for k in ("observed", "expected", "difference", "standard_deviations")}),
            columns_of(seen["reduced"]),
        )
        for seen in body["observations"]
    ]


def calibration_text(body: dict[str, Any], name: str) -> str:
    """Numbers before and after, then the observations."""
    lines = [f"{name}: what {len(body['observations'])} observations say", "", "Numbers, before and after"]
    for number in body["numbers"]:
        before, after = (plain(number[when], kind_of(number["where"])) for when in ("before", "after"))
        lines.append(f"  {number['text']:{_WORD}} {before:>20} {after:>20}")
    lines += ["", "Observations (sd: standard deviations of the difference)"]
    for seen in body["observations"]:
        deviations, kind = seen["standard_deviations"]["value"], quantity_of(seen["kind"], seen["measured"]).kind
        read, expected = plain(seen["observed"], kind), plain(seen["expected"], kind)
        lines += [f"  {seen['name']} ({seen['kind']})", f"    read {read}, expected {expected}: {deviations:+.1f} sd"]
        if "doubt" in seen:
            lines.append(f"    {seen['doubt']['text']}")
    return answer_text(lines, body)
