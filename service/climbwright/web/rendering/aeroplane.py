"""Performance and comparison answers as JSON and as rows of a table."""

from typing import Any

import numpy as np

from climbwright.answers.comparison import Answer, Estimates
from climbwright.answers.measures import MEASURES, STALL_SPEEDS
from climbwright.units import FOOT, HORSEPOWER
from climbwright.web.rendering.quantities import Units, assumed_json, cautions_json
from climbwright.web.rendering.tables import Row, columns_of, merged
from climbwright.web.words.reasons import REASONS

__all__ = ["GAINS", "comparison_json", "comparison_rows", "performance_json", "performance_rows"]

GAINS = ("cost_per_100_ft_per_min", "cost_per_horsepower")
_STALLS = f"{STALL_SPEEDS}/"
_NO_STATION = REASONS["no-such-station"]

Cube = list[list[list[list[dict[str, Any]]]]]  # measure, aircraft, loading, condition


def _kinds(answer: Answer) -> list[str]:
    return ["speed" if name.startswith(_STALLS) else MEASURES[name].kind for name in answer.names]


def _leaves(estimates: Estimates, kinds: list[str], units: Units, reasons: list[str], lost: Any) -> Cube:
    """Every number of a table as a quantity, all units at once."""
    factors = np.array([units[kind].factor for kind in kinds]).reshape(-1, 1, 1, 1)
    numbers = estimates.value / factors
    if np.isinf(numbers).any() or (estimates.spread is not None and np.isinf(estimates.spread).any()):
        raise ArithmeticError("a measure is not finite")
    values = numbers.tolist()
    spreads = None if estimates.spread is None else (estimates.spread / factors).tolist()
    names = [units[kind].name for kind in kinds]
    whole = ~np.isnan(numbers).any(axis=(1, 2, 3)) if spreads is None else np.zeros(len(names), dtype=bool)
    cube: Cube = []
    for m, table in enumerate(values):
        unit, reason = names[m], reasons[m]
        if whole[m]:  # nothing is missing and nothing is uncertain
            cube.append([[[{"value": v, "unit": unit} for v in row] for row in plane] for plane in table])
            continue
        block = []
        for a, plane in enumerate(table):
            rows = []
            for i, row in enumerate(plane):
                cells = []
                for j, value in enumerate(row):
                    if value != value:
                        why = _NO_STATION if lost[a][i] else reason
                        if reason is _NO_STATION and not lost[a][i]:
                            raise ArithmeticError("a measure that always exists is not a number")
                        cells.append({"value": None, "unit": unit, "reason": why})
                    elif spreads is None or spreads[m][a][i][j] != spreads[m][a][i][j]:
                        cells.append({"value": value, "unit": unit})
                    else:
                        cells.append({"value": value, "unit": unit, "plus_minus": spreads[m][a][i][j]})
                rows.append(cells)
            block.append(rows)
        cube.append(block)
    return cube


def _values(answer: Answer, units: Units) -> Cube:
    reasons = [
        REASONS["no-such-station" if name.startswith(_STALLS) else MEASURES[name].missing] for name in answer.names
    ]
    lost = np.isnan(answer.values.value[answer.names.index("weight"), :, :, 0]).tolist()
    return _leaves(answer.values, _kinds(answer), units, reasons, lost)


def _named(answer: Answer, leaves: list[Any]) -> dict[str, Any]:
    """Measures wanted by name, the stall speeds gathered under one."""
    measures: dict[str, Any] = {}
    stalls: dict[str, Any] = {}
    for name, leaf in zip(answer.names, leaves, strict=True):
        if name.startswith(_STALLS):
            stalls[name[len(_STALLS) :]] = leaf
        elif name in answer.wanted:
            measures[name] = leaf
    if STALL_SPEEDS in answer.wanted:
        measures[STALL_SPEEDS] = stalls
    return measures


def performance_json(answer: Answer, units: Units) -> dict[str, Any]:
    """Results for each loading and condition."""
    cube = _values(answer, units)
    results = [
        {
            "loading": loading,
            "condition": condition,
            "measures": _named(answer, [block[0][i][j] for block in cube]),
        }
        for i, loading in enumerate(answer.loadings)
        for j, condition in enumerate(answer.conditions)
    ]
    return {
        "results": results,
        **({"settings": _settings(answer, cube)} if answer.options else {}),
        "assumed": assumed_json(answer.assumed, units),
        "cautions": cautions_json(answer.cautions, units),
    }


# What a pitch setting is chosen for: the measure that decides, and whether more of it is better
_CHOICES = {
    "climb": ("best_climb_rate", True),
    "cruise": ("cruise_speed_true", True),
    "strip": ("takeoff_distance", False),
}


def _settings(answer: Answer, cube: Cube) -> list[dict[str, Any]]:
    """For each scene the measures at every pitch setting, and which setting is best for what."""
    names = [option.name for option in answer.options]
    level = "cruise_speed_true" if "cruise_speed_true" in answer.names else "greatest_level_speed_true"
    choices = {use: (level if use == "cruise" else name, more) for use, (name, more) in _CHOICES.items()}
    found = []
    for i, loading in enumerate(answer.loadings):
        for j, condition in enumerate(answer.conditions):
            at = {name: _named(answer, [block[k + 1][i][j] for block in cube]) for k, name in enumerate(names)}
            best = {
                use: _best(names, answer.values.value[answer.names.index(measure), 1:, i, j], more)
                for use, (measure, more) in choices.items()
                if measure in answer.names
            }
            found.append({"loading": loading, "condition": condition, "best_for": best, "measures": at})
    return found


def _best(names: list[str], values: Any, more: bool) -> str | None:
    """The setting with the greatest or least value; None where it exists for none."""
    if np.isnan(values).all():
        return None
    return names[int(np.nanargmax(values) if more else np.nanargmin(values))]


def comparison_json(answer: Answer, units: Units) -> dict[str, Any]:
    """Before, after and change of every measure for each option, loading and condition."""
    values = _values(answer, units)
    lost = np.zeros(answer.changes.value.shape[1:3], dtype=bool).tolist()
    reasons = [REASONS["no-change"]] * len(answer.names)
    changes = _leaves(answer.changes, _kinds(answer), units, reasons, lost)
    options = []
    for k, option in enumerate(answer.options):
        results = []
        for i, loading in enumerate(answer.loadings):
            for j, condition in enumerate(answer.conditions):
                leaves = [
                    {"before": block[0][i][j], "after": block[k + 1][i][j], "change": change[k][i][j]}
                    for block, change in zip(values, changes, strict=True)
                ]
                result = {"loading": loading, "condition": condition, "measures": _named(answer, leaves)}
                results.append(result | _cost_per_gain(answer, k, i, j))
        cost = option.cost
        options.append(
            {
                "name": option.name,
                "exceeded": option.exceeded,
                "exceeded_before": option.exceeded_before,
                "cost": _money(
                    None if cost is None else cost.amount, None if cost is None else cost.currency, "no-cost"
                ),
                "results": results,
                "cautions": cautions_json(option.cautions, units),
            }
        )
    return {
        "options": options,
        "assumed": assumed_json(answer.assumed, units),
        "cautions": cautions_json(answer.cautions, units),
    }


def _money(amount: float | None, currency: str | None, reason: str) -> dict[str, Any]:
    if amount is None or not np.isfinite(amount):
        return {"value": None, "unit": currency, "reason": REASONS[reason]}
    return {"value": float(amount), "unit": currency}


def _cost_per_gain(answer: Answer, option: int, i: int, j: int) -> dict[str, Any]:
    chosen = answer.options[option]
    if chosen.gain is None or chosen.cost is None:
        nothing = _money(None, None, "no-cost")
        return {"cost_per_100_ft_per_min": nothing, "cost_per_horsepower": nothing}
    per_rate = float(chosen.gain.per_climb_rate[i, j]) * 100.0 * FOOT / 60.0
    per_power = float(chosen.gain.per_power[i, j]) * HORSEPOWER
    return {
        "cost_per_100_ft_per_min": _money(per_rate, chosen.cost.currency, "nothing-gained"),
        "cost_per_horsepower": _money(per_power, chosen.cost.currency, "nothing-gained"),
    }


def _flat(measures: dict[str, Any]) -> dict[str, Any]:
    stalls = {f"{STALL_SPEEDS} {name}": leaf for name, leaf in measures.get(STALL_SPEEDS, {}).items()}
    return {name: leaf for name, leaf in measures.items() if name != STALL_SPEEDS} | stalls


def performance_rows(body: dict[str, Any]) -> list[Row]:
    """One row for each loading and condition, and for each pitch setting there."""
    rows = [
        merged({"loading": result["loading"], "condition": result["condition"]}, columns_of(_flat(result["measures"])))
        for result in body["results"]
    ]
    for scene in body.get("settings", ()):
        head = {"loading": scene["loading"], "condition": scene["condition"]}
        rows += [
            merged(head, {"setting": name}, columns_of(_flat(measures))) for name, measures in scene["measures"].items()
        ]
    return rows


def comparison_rows(body: dict[str, Any]) -> list[Row]:
    """One row for each option, loading and condition: before, after and change of each measure."""
    rows = []
    for option in body["options"]:
        loadings = list(dict.fromkeys(result["loading"] for result in option["results"]))
        for result in option["results"]:
            named = {
                f"{name} {when}": leaf[when]
                for name, leaf in _flat(result["measures"]).items()
                for when in ("before", "after", "change")
            }
            head = {"option": option["name"], "loading": result["loading"], "condition": result["condition"]}
            place = f"/loadings/{loadings.index(result['loading'])}"
            here = {caution["code"] for caution in option["cautions"] if caution["where"] == place}
            limits = {"exceeded": " ".join(code for code in option["exceeded"] if code in here)}
            costs = {"cost": option["cost"]} | {name: result[name] for name in GAINS}
            rows.append(merged(head, limits, columns_of(costs), columns_of(named)))
    return rows
