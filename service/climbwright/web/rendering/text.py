"""Answers as plain text that a pilot can read on a terminal or a printed page."""

import textwrap
from collections.abc import Mapping, Sequence
from itertools import zip_longest
from typing import Any

from climbwright.answers.measures import MEASURES
from climbwright.units import KINDS
from climbwright.web.rendering.balance import FUEL_WORDS
from climbwright.web.words.measures import LABELS
from climbwright.web.words.numbers import number_text, spread_text

__all__ = ["answer_text", "comparison_text", "flat_text", "number", "performance_text", "plain"]

_WIDTH = 78
_LABEL = 30
_FOOT = (
    "Changes are computed before rounding. Ceilings are density altitudes of the standard atmosphere, whatever the "
    "condition."
)
_MEASURE_KINDS = {name: measure.kind for name, measure in MEASURES.items()} | {"stall_speeds": "speed"}


def number(leaf: dict[str, Any], kind: str) -> str:
    """The number of a quantity, rounded as the trade rounds it, without its unit."""
    if leaf["value"] is None:
        return "none"
    unit = KINDS[kind].units[leaf["unit"]]
    return number_text(leaf["value"] * unit.factor + unit.zero, kind, unit)


def _spread(leaf: dict[str, Any], kind: str) -> str:
    """Nothing where the answer is certain, or as certain as the request says."""
    if not leaf.get("plus_minus"):
        return ""
    return "+/- " + spread_text(leaf["plus_minus"], kind, KINDS[kind].units[leaf["unit"]])


def _range(leaf: dict[str, Any], kind: str) -> list[str]:
    """Between what nine of ten drawn aeroplanes lie; nothing where none were drawn."""
    drawn = [*leaf.get("percentiles", {}).values()]
    ends = ["..." if end is None else number(leaf | {"value": end}, kind) for end in (drawn[:1] + drawn[-1:])]
    return [" to ".join(ends)] if drawn else []


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _cautions(cautions: Sequence[dict[str, str]]) -> list[str]:
    marks = {"warning": "  !! ", "caution": "  ! ", "info": "  - "}
    return [line for caution in cautions for line in _wrapped(caution["text"], marks[caution["severity"]], "     ")]


def _notes(body: dict[str, Any]) -> list[str]:
    lines: list[str] = []
    if body.get("cautions"):
        lines += ["", "Cautions", *_cautions(body["cautions"])]
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
            where = item["where"] or "the request"
            lines += _wrapped(f"{where}{number}: {item['text']}{source}", "  - ", "    ")
    return lines


def _provenance(body: dict[str, Any]) -> list[str]:
    said = body["provenance"]
    return ["", f"Build {said['build']}, input {said['input'][:23]}"]


def answer_text(lines: Sequence[str], body: dict[str, Any]) -> str:
    """Lines of an answer with its notes and provenance below."""
    wrapped = [part for line in lines for part in (_wrapped(line, "", "  ") or [""])]
    return "\n".join([*wrapped, *_notes(body), *_provenance(body)]) + "\n"


def flat_text(body: dict[str, Any], kinds: Mapping[str, str]) -> str:
    """A small answer: one quantity a line; `kinds` are those of its fields."""
    lines = []
    for name, leaf in body.items():
        if isinstance(leaf, dict) and "unit" in leaf:
            drawn = "".join(f", nine of ten from {ends}" for ends in _range(leaf, kinds[name]))
            lines.append(f"{name.replace('_', ' '):34} {plain(leaf, kinds[name])}{drawn}")
        elif isinstance(leaf, bool):
            lines.append(f"{name.replace('_', ' '):34} {'yes' if leaf else 'no'}")
    for step in body.get("fuel_burn", ()):
        lines.append(f"with '{step['burned']}' burned: {_place(step)}")
    for name in ("worst_forward", "worst_aft"):
        if body.get(name):
            held = ", ".join(f"{station} {plain(leaf, 'mass')}" for station, leaf in body[name]["stations"].items())
            lines += _wrapped(f"{name.replace('_', ' ')}: {_place(body[name])} ({held})", "", "  ")
    if body.get("ballast", {}).get("weight", {}).get("value") is not None:
        ballast = body["ballast"]
        lines.append(f"ballast: {plain(ballast['weight'], 'mass')} at {plain(ballast['arm'], 'length')} mends the CG")
    for wheel in body.get("wheel_loads", ()):
        load, fraction = plain(wheel["load"], "mass"), plain(wheel["fraction"], "ratio")
        lines += _wrapped(f"wheel '{wheel['name']}' carries {load}, {fraction} of all", "", "  ")
    for state in body.get("pilot_weights", ()):
        ends = dict.fromkeys(plain(state[end], "mass") for end in ("least", "greatest"))
        lines += _wrapped(f"pilot's weight, {FUEL_WORDS[state['fuel']]}: {' to '.join(ends)}", "", "  ")
    lines += _record_lines(body.get("empty_weight_record", ()))
    return "\n".join([*lines, *_notes(body), *_provenance(body)]) + "\n"


def _record_lines(record: Sequence[dict[str, Any]]) -> list[str]:
    """The record of the empty weight, a line for each entry; none where it is the weighing alone."""
    if len(record) < 2:
        return []
    lines = ["", "Empty weight record"]
    for entry in record:
        came = f"{plain(entry['weight'], 'mass')} at {plain(entry['arm'], 'length')}"
        now = f"{plain(entry['running_weight'], 'mass')} at {plain(entry['running_arm'], 'length')}"
        moment = plain(entry["moment"], "moment")
        lines += _wrapped(f"{entry['name']}: {came} (moment {moment}), now {now}", "  ", "    ")
    return lines


def _place(step: dict[str, Any]) -> str:
    """Weight, CG, margin, and whether that is inside."""
    inside = {True: "inside", False: "OUTSIDE", None: ""}[step["in_limits"]]
    margin = "" if step["cg_margin"]["value"] is None else f", margin {plain(step['cg_margin'], 'length')}"
    return f"{plain(step['weight'], 'mass')} at {plain(step['cg_arm'], 'length')}{margin} {inside}".rstrip()


def plain(leaf: dict[str, Any], kind: str) -> str:
    """A quantity with its unit and spread, rounded as the trade rounds it; a list in full."""
    unit = "" if leaf["unit"] == "1" else f" {leaf['unit']}"
    if leaf["value"] is None:
        return f"none: {leaf['reason']}"
    if isinstance(leaf["value"], list):
        return ", ".join("none" if number is None else f"{number:.6g}" for number in leaf["value"]) + unit
    return " ".join(part for part in (number(leaf, kind), _spread(leaf, kind)) if part) + unit


def _row(label: str, unit: str, cells: Sequence[str]) -> list[str]:
    """A line of a table; a long label stands on lines of its own before it."""
    parts = textwrap.wrap(label, _LABEL, subsequent_indent="  ", drop_whitespace=False) or [""]
    head = [f"  {part}" for part in parts[:-1]]
    return [*head, f"  {parts[-1]:{_LABEL}} {unit:7} " + " ".join(f"{cell:>11}" for cell in cells)]


def _heading(loading: str, condition: str) -> list[str]:
    together = f"{loading}, {condition}"
    return ["", together] if len(together) <= _WIDTH else ["", f"{loading},", f"  {condition}"]


def _leaves(measures: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    """Label, kind and leaf of every measure, the stall speeds of further configurations at the end."""
    rows = [(LABELS[name], _MEASURE_KINDS[name], leaf) for name, leaf in measures.items() if name != "stall_speeds"]
    configurations = list(measures.get("stall_speeds", {}).items())
    return rows + [(f"stall, {name}", "speed", leaf) for name, leaf in configurations[1:]]


def _unit(leaf: dict[str, Any]) -> str:
    return "" if leaf["unit"] == "1" else str(leaf["unit"])


def _reasons(leaves: Sequence[dict[str, Any]]) -> list[str]:
    """Why there is a 'none' in a table, each reason once."""
    said = dict.fromkeys(leaf["reason"] for leaf in leaves if leaf["value"] is None)
    return [line for reason in said for line in _wrapped(f"none: {reason}", "    ", "      ")]


def performance_text(body: dict[str, Any], name: str) -> str:
    """A performance answer: one table for each loading and condition."""
    lines = [f"{name}: performance"]
    for result in body["results"]:
        lines += _heading(result["loading"], result["condition"])
        rows = _leaves(result["measures"])
        for label, kind, leaf in rows:
            lines += _row(label, _unit(leaf), [number(leaf, kind), _spread(leaf, kind), *_range(leaf, kind)])
            if "share_without" in leaf:
                share = 100.0 * leaf["share_without"]
                told = f"{share:.0f} %" if share >= 1.0 else "under 1 %"
                lines.append(f"    {told} of the aeroplanes drawn cannot do it")
        lines += _reasons([leaf for _, _, leaf in rows])
    for scene in body.get("settings", ()):
        lines += _settings(scene)
    lines += _targets(body)
    return (
        "\n".join([*(line.rstrip() for line in lines), "", *_wrapped(_FOOT + _drawn(body)), *_notes(body)])
        + "\n".join(["", *_provenance(body)])
        + "\n"
    )


def _drawn(body: dict[str, Any]) -> str:
    """What a third column is, where there is one."""
    some = any("percentiles" in leaf for result in body["results"] for _, _, leaf in _leaves(result["measures"]))
    return (
        " Between the two numbers of the third column lie nine of ten aeroplanes drawn at random; an end that "
        "is not there lies beyond what can be done."
        if some
        else ""
    )


_OF_SETTINGS = ("best_climb_rate", "greatest_level_speed_true", "cruise_speed_true", "takeoff_distance")


def _settings(scene: dict[str, Any]) -> list[str]:
    """Pitch settings side by side, and which is best for what."""
    lines = [*_heading(scene["loading"], scene["condition"]), "  pitch settings side by side"]
    names = list(scene["measures"])
    for heading in zip_longest(*(textwrap.wrap(name, 11) for name in names), fillvalue=""):
        lines += _row("", "", heading)
    first = scene["measures"][names[0]]
    for measure in _OF_SETTINGS:
        if measure in first:
            leaves = [scene["measures"][name][measure] for name in names]
            cells = [number(leaf, _MEASURE_KINDS[measure]) for leaf in leaves]
            lines += _row(LABELS[measure], _unit(leaves[0]), cells)
    uses = [f"{use}: {name}" for use, name in scene["best_for"].items() if name is not None]
    return [*lines, *_wrapped(f"best for {', '.join(uses)}", "  ", "    ")]


def comparison_text(body: dict[str, Any], name: str, observed: Sequence[str]) -> str:
    """A comparison: for each option, broken limits first, then before, after and change at each scene; below them the
    lines of what was observed.
    """
    lines = [f"{name}: before and after"]
    for option in body["options"]:
        lines += ["", "=" * _WIDTH, f"Option: {option['name']}"]
        broken = [caution for caution in option["cautions"] if caution["code"] in option["exceeded"]]
        if broken:
            lines += ["LIMITS EXCEEDED", *_cautions(broken)]
            already = ", ".join(option["exceeded_before"])
            lines += _wrapped(f"exceeded before the change too: {already}", "     ", "     ") if already else []
        if option["cost"]["value"] is not None:
            lines.append(f"  cost {option['cost']['value']:,.0f} {option['cost']['unit']}")
        for result in option["results"]:
            lines += _heading(result["loading"], result["condition"]) + _changes(result)
        others = [caution for caution in option["cautions"] if caution not in broken]
        lines += _notes({"cautions": others})
    lines += _targets(body)
    lines += [part for line in observed for part in (_wrapped(line, "", "    ") or [""])]
    lines += ["", "=" * _WIDTH, *_wrapped(_FOOT), "", "The aeroplane as it is"]
    return "\n".join([*(line.rstrip() for line in lines), *_notes(body), *_provenance(body)]) + "\n"


def _targets(body: dict[str, Any]) -> list[str]:
    """The chance of each target; nothing without targets."""
    lines = ["", "Targets, and the chance of each"] if body.get("targets") else []
    for found in body.get("targets", ()):
        kind = _MEASURE_KINDS[found["measure"]]
        name = found.get("option") or found.get("setting") or "as it is"
        goal = found["goal"].replace("_", " ")
        asked = f"{found['measure'].replace('_', ' ')} {goal} {plain(found['target'], kind)}"
        chance = found["chance"]["value"]
        told = "no chance can be told" if chance is None else f"{100.0 * chance:.0f} %"
        scene = f"{name}, {found['loading']}, {found['condition']}"
        lines += _wrapped(f"{told}: {asked}; expected {plain(found['expected'], kind)} ({scene})", "  ", "    ")
    return lines


def _changes(result: dict[str, Any]) -> list[str]:
    lines = _row("", "", ["before", "after", "change", "spread"])
    rows = _leaves(result["measures"])
    for label, kind, leaf in rows:
        change = number(leaf["change"], kind)
        signed = change if change.startswith("-") or change == "none" else f"+{change}"
        cells = [number(leaf["before"], kind), number(leaf["after"], kind), signed, _spread(leaf["change"], kind)]
        lines += _row(label, _unit(leaf["before"]), cells)
        parts = {f"  by {name}": share for name, share in leaf.get("shares", {}).items()}
        parts |= {f"  of it through {name}": cause for name, cause in leaf.get("causes", {}).items()}
        for label_of_part, share in parts.items():
            part = number(share, kind)
            if any(digit in part for digit in "123456789"):
                part = part if part.startswith("-") else f"+{part}"
                lines += _row(label_of_part, "", ["", "", part, _spread(share, kind)])
    lines += _reasons([leaf[when] for _, _, leaf in rows for when in ("before", "after")])
    for key, label in (("cost_per_100_ft_per_min", "each 100 ft/min costs"), ("cost_per_horsepower", "each hp costs")):
        if result[key]["value"] is not None:
            lines += _row(label, result[key]["unit"], ["", f"{result[key]['value']:,.0f}"])
    return lines
