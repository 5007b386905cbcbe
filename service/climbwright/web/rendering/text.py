"""Answers as plain text that a pilot can read on a terminal or a printed page."""

import textwrap
from collections.abc import Sequence
from typing import Any

from climbwright.units import KINDS
from climbwright.web.wording import LABELS, number_text

__all__ = ["comparison_text", "flat_text", "performance_text"]

_WIDTH = 78


def _kind_of(unit: str, name: str) -> str:
    """The kind a unit's name belongs to; arms and chords are lengths, not altitudes."""
    for kind in ("length", "altitude", *KINDS):
        if unit in KINDS[kind].units and (kind != "length" or "arm" in name or "margin" in name or "chord" in name):
            return kind
    return "ratio"


def _number(leaf: dict[str, Any], name: str) -> str:
    if leaf["value"] is None:
        return "none"
    kind = _kind_of(leaf["unit"], name)
    unit = KINDS[kind].units[leaf["unit"]]
    return number_text(leaf["value"] * unit.factor + unit.zero, kind, unit)


def _spread(leaf: dict[str, Any], name: str) -> str:
    if not leaf.get("plus_minus"):
        return ""  # certain, or as certain as the request says
    kind = _kind_of(leaf["unit"], name)
    unit = KINDS[kind].units[leaf["unit"]]
    return "+/- " + number_text(leaf["plus_minus"] * unit.factor + unit.zero, kind, unit)


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=rest)


def _notes(body: dict[str, Any]) -> list[str]:
    lines: list[str] = []
    if body.get("cautions"):
        lines += ["", "Cautions"]
        for caution in body["cautions"]:
            mark = {"warning": "  !! ", "caution": "  ! ", "info": "  - "}[caution["severity"]]
            lines += _wrapped(caution["text"], mark, "     ")
    if body.get("assumed"):
        lines += ["", "Assumed"]
        for item in body["assumed"]:
            value = item.get("value")
            number = ""
            if value is not None:
                number = f" = {value['value']:.4g} {value['unit'] if value['unit'] != '1' else ''}".rstrip()
                if "plus_minus" in value:
                    number += f" +/- {value['plus_minus']:.2g}"
            source = f" ({item['source']})" if "source" in item else ""
            where = item["where"] or "(not said)"
            lines += _wrapped(f"{where}{number}: {item['text']}{source}", "  - ", "    ")
    return lines


def _provenance(body: dict[str, Any]) -> list[str]:
    said = body["provenance"]
    return ["", f"Build {said['build']}, input {said['input'][:23]}"]


def flat_text(body: dict[str, Any]) -> str:
    """A small answer: one quantity a line."""
    lines = []
    for name, leaf in body.items():
        if isinstance(leaf, dict) and "unit" in leaf:
            lines.append(f"{name.replace('_', ' '):34} {_plain(leaf, name)}")
        elif isinstance(leaf, bool):
            lines.append(f"{name.replace('_', ' '):34} {'yes' if leaf else 'no'}")
    for step in body.get("fuel_burn", ()):
        inside = {True: "inside", False: "OUTSIDE", None: ""}[step["in_limits"]]
        lines.append(
            f"with '{step['burned']}' burned: {_number(step['weight'], 'weight')} {step['weight']['unit']} at "
            f"{_number(step['cg_arm'], 'cg_arm')} {step['cg_arm']['unit']} {inside}".rstrip()
        )
    return "\n".join([*lines, *_notes(body), *_provenance(body)]) + "\n"


def _plain(leaf: dict[str, Any], name: str) -> str:
    """A quantity with its unit and spread, rounded as the trade rounds it; a list in full."""
    unit = "" if leaf["unit"] == "1" else f" {leaf['unit']}"
    if leaf["value"] is None:
        return f"none: {leaf['reason']}"
    if isinstance(leaf["value"], list):
        return ", ".join("none" if number is None else f"{number:.6g}" for number in leaf["value"]) + unit
    return " ".join(part for part in (_number(leaf, name), _spread(leaf, name)) if part) + unit


def _row(label: str, unit: str, cells: Sequence[str]) -> str:
    return f"  {label:30.30} {unit:7} " + " ".join(f"{cell:>11}" for cell in cells)


def _leaves(measures: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    """Label, name and leaf of every measure, the stall speeds of further configurations at the end."""
    rows = [(LABELS[name], name, leaf) for name, leaf in measures.items() if name != "stall_speeds"]
    configurations = list(measures["stall_speeds"].items())
    return rows + [(f"stall, {name}", "stall_speed", leaf) for name, leaf in configurations[1:]]


def performance_text(body: dict[str, Any], name: str) -> str:
    """A performance answer: one table for each loading and condition."""
    lines = [f"{name}: performance"]
    for result in body["results"]:
        lines += ["", f"{result['loading']}, {result['condition']}"]
        for label, key, leaf in _leaves(result["measures"]):
            lines.append(_row(label, leaf["unit"].replace("1", "") or "", [_number(leaf, key), _spread(leaf, key)]))
    return "\n".join([*(line.rstrip() for line in lines), *_notes(body), *_provenance(body)]) + "\n"


def comparison_text(body: dict[str, Any], name: str) -> str:
    """A comparison: for each option, broken limits first, then before, after and change at each scene."""
    lines = [f"{name}: before and after"]
    for option in body["options"]:
        lines += ["", "=" * _WIDTH, f"Option: {option['name']}"]
        if option["exceeded"]:
            lines += _wrapped("LIMITS EXCEEDED: " + ", ".join(option["exceeded"]), "  !! ", "     ")
        if option["cost"]["value"] is not None:
            lines.append(f"  cost {option['cost']['value']:,.0f} {option['cost']['unit']}")
        for result in option["results"]:
            lines += ["", f"{result['loading']}, {result['condition']}"]
            lines.append(_row("", "", ["before", "after", "change", "spread"]))
            for label, key, leaf in _leaves(result["measures"]):
                change = _number(leaf["change"], key)
                signed = change if change.startswith("-") or change == "none" else f"+{change}"
                cells = [_number(leaf["before"], key), _number(leaf["after"], key), signed]
                unit = leaf["before"]["unit"]
                lines.append(_row(label, "" if unit == "1" else unit, [*cells, _spread(leaf["change"], key)]))
            for key, label in (
                ("cost_per_100_ft_per_min", "each 100 ft/min costs"),
                ("cost_per_horsepower", "each hp costs"),
            ):
                if result[key]["value"] is not None:
                    lines.append(_row(label, result[key]["unit"], ["", f"{result[key]['value']:,.0f}"]))
        lines += _notes({"cautions": option["cautions"]})
    lines += ["", "=" * _WIDTH, "The aeroplane as it is"]
    return "\n".join([*(line.rstrip() for line in lines), *_notes(body), *_provenance(body)]) + "\n"
