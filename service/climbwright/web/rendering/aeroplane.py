"""Performance and comparison answers as JSON and as rows of a table."""

from itertools import product
from typing import Any

import numpy as np

from climbwright.answers.comparison import Answer, Shares
from climbwright.answers.estimates import Estimates
from climbwright.answers.measures import MEASURES, STALL_SPEEDS
from climbwright.answers.stall_causes import CAUSES
from climbwright.answers.targets import Chance
from climbwright.units import FOOT, HORSEPOWER
from climbwright.web.rendering.quantities import Units, assumed_json, cautions_json, missing, percentiles_json, quantity
from climbwright.web.rendering.tables import Row, columns_of, merged
from climbwright.web.words.reasons import REASONS

__all__ = ["GAINS", "comparison_json", "comparison_rows", "performance_json", "performance_rows"]

GAINS = ("cost_per_100_ft_per_min", "cost_per_horsepower")
_STALLS = f"{STALL_SPEEDS}/"
_NO_STATION = REASONS["no-such-station"]

Leaf = dict[str, Any]
Scenes = dict[tuple[int, ...], list[Leaf]]  # every measure, by aircraft, loading and condition


def _scenes(answer: Answer, estimates: Estimates, units: Units, reasons: list[list[str]]) -> Scenes:
    """Every number of a table as a quantity, all units at once, with the reasons of each scene."""
    kinds = ["speed" if name.startswith(_STALLS) else MEASURES[name].kind for name in answer.names]
    names, factors = [units[kind].name for kind in kinds], np.array([units[kind].factor for kind in kinds])
    numbers = estimates.value.transpose(1, 2, 3, 0) / factors
    shape, rows = numbers.shape[:-1], numbers.reshape(-1, len(names)).tolist()
    infinite = np.isinf(numbers).any()
    if estimates.spread is None:
        leaves = [_certain(row, names, here) for row, here in zip(rows, reasons, strict=True)]
    else:
        spreads = estimates.spread.transpose(1, 2, 3, 0) / factors
        infinite = infinite or np.isinf(spreads).any()
        sides = spreads.reshape(-1, len(names)).tolist()
        leaves = [_uncertain(row, side, names, here) for row, side, here in zip(rows, sides, reasons, strict=True)]
    if estimates.percentiles is not None:
        drawn = (estimates.percentiles.transpose(2, 3, 4, 1, 0) / factors[:, None]).reshape(-1, len(names), 3).tolist()
        without = estimates.without
        lost = np.full(numbers.shape, np.nan) if without is None else without.transpose(1, 2, 3, 0)
        for row, here, none in zip(leaves, drawn, lost.reshape(-1, len(names)).tolist(), strict=True):
            _add_percentiles(row, here, none)
    if infinite:
        raise ArithmeticError("a measure is not finite")
    return dict(zip(product(*map(range, shape)), leaves, strict=True))


def _certain(values: list[float], units: list[str], reasons: list[str]) -> list[Leaf]:
    """Numbers as quantities, nan as null with the reason."""
    return [
        {"value": v, "unit": unit} if v == v else {"value": None, "unit": unit, "reason": why}
        for v, unit, why in zip(values, units, reasons, strict=True)
    ]


def _uncertain(values: list[float], spreads: list[float], units: list[str], reasons: list[str]) -> list[Leaf]:
    """The same with their spreads, where there are any."""
    leaves = _certain(values, units, reasons)
    for leaf, spread in zip(leaves, spreads, strict=True):
        if spread == spread and leaf["value"] is not None:
            leaf["plus_minus"] = spread
    return leaves


def _add_percentiles(leaves: list[Leaf], drawn: list[list[float]], without: list[float]) -> None:
    """The percentiles of draws beside the spread that they have, and the share of draws without a value."""
    for leaf, values, none in zip(leaves, drawn, without, strict=True):
        if leaf["value"] is not None and (leaf.get("plus_minus") or none > 0.0):
            leaf |= percentiles_json(values, none)


def _values(answer: Answer, units: Units) -> Scenes:
    codes = ["no-such-station" if name.startswith(_STALLS) else MEASURES[name].missing for name in answer.names]
    missing = np.isnan(answer.values.value)
    lost = missing[answer.names.index("weight")]
    if (missing[[code == "no-such-station" for code in codes]] & ~lost).any():
        raise ArithmeticError("a measure that always exists is not a number")
    reasons, nothing = [REASONS[code] for code in codes], [_NO_STATION] * len(codes)
    return _scenes(answer, answer.values, units, [nothing if here else reasons for here in lost.ravel().tolist()])


def _named(answer: Answer, leaves: list[Any]) -> dict[str, Any]:
    """Measures wanted by name, the stall speeds gathered under one."""
    every = dict(zip(answer.names, leaves, strict=True))
    measures: dict[str, Any] = {name: every[name] for name in answer.wanted if name != STALL_SPEEDS}
    if STALL_SPEEDS in answer.wanted:
        measures[STALL_SPEEDS] = {
            name.removeprefix(_STALLS): leaf for name, leaf in every.items() if name.startswith(_STALLS)
        }
    return measures


def performance_json(answer: Answer, units: Units) -> dict[str, Any]:
    """Results for each loading and condition."""
    scenes = _values(answer, units)
    results = [
        {
            "loading": loading,
            "condition": condition,
            "measures": _named(answer, scenes[0, i, j]),
        }
        for i, loading in enumerate(answer.loadings)
        for j, condition in enumerate(answer.conditions)
    ]
    return {
        "results": results,
        **({"settings": _settings(answer, scenes)} if answer.options else {}),
        **chances_json(answer, units, "setting"),
        "assumed": assumed_json(answer.assumed, units),
        "cautions": cautions_json(answer.cautions, units),
    }


# What a pitch setting is chosen for: the measure that decides, and whether more of it is better
_CHOICES = {
    "climb": ("best_climb_rate", True),
    "cruise": ("cruise_speed_true", True),
    "strip": ("takeoff_distance", False),
}


def _settings(answer: Answer, scenes: Scenes) -> list[dict[str, Any]]:
    """For each scene the measures at every pitch setting, and which setting is best for what."""
    names = [option.name for option in answer.options]
    level = "cruise_speed_true" if "cruise_speed_true" in answer.names else "greatest_level_speed_true"
    choices = {use: (level if use == "cruise" else name, more) for use, (name, more) in _CHOICES.items()}
    found = []
    for i, loading in enumerate(answer.loadings):
        for j, condition in enumerate(answer.conditions):
            at = {name: _named(answer, scenes[k + 1, i, j]) for k, name in enumerate(names)}
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
    unchanged = [[REASONS["no-change"]] * len(answer.names)] * answer.changes.value[0].size
    changes = _scenes(answer, answer.changes, units, unchanged)
    options = []
    for k, option in enumerate(answer.options):
        results, bought = [], _bought(answer, option.shares, units)
        for i, loading in enumerate(answer.loadings):
            for j, condition in enumerate(answer.conditions):
                leaves = [
                    {"before": before, "after": after, "change": change}
                    for before, after, change in zip(
                        values[0, i, j], values[k + 1, i, j], changes[k, i, j], strict=True
                    )
                ]
                for name, shares in bought.items():
                    for leaf, share in zip(leaves, shares[i, j], strict=True):
                        leaf.setdefault("shares", {})[name] = share
                measures = _named(answer, leaves)
                _add_causes(measures, answer, (k, i, j), units)
                result = {"loading": loading, "condition": condition, "measures": measures}
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
        **chances_json(answer, units, "option"),
        "assumed": assumed_json(answer.assumed, units),
        "cautions": cautions_json(answer.cautions, units),
    }


def _add_causes(measures: dict[str, Any], answer: Answer, place: tuple[int, int, int], units: Units) -> None:
    """Why the stall speed changed, beside its change."""
    leaf, causes = measures.get("stall_speed_calibrated"), answer.causes
    if leaf is None or causes is None or leaf["change"]["value"] is None:
        return
    spreads = causes.spread
    leaf["causes"] = {
        name: quantity(
            float(causes.value[(c, *place)]), "speed", units, None if spreads is None else float(spreads[(c, *place)])
        )
        for c, name in enumerate(CAUSES)
    }


def chances_json(answer: Answer, units: Units, named: str) -> dict[str, Any]:
    """The chance of every target, of the aeroplane as it is and as each option makes it; nothing without targets."""
    if not answer.chances:
        return {}
    names = [None, *(option.name for option in answer.options)]
    return {"targets": [_chance(chance, names[chance.aircraft], units, named) for chance in answer.chances]}


def _chance(chance: Chance, name: str | None, units: Units, named: str) -> dict[str, Any]:
    target, kind = chance.target, MEASURES[chance.target.measure].kind
    expected = missing(kind, MEASURES[target.measure].missing, units)
    if not np.isnan(chance.expected):
        expected = quantity(chance.expected, kind, units, chance.spread)
    met: dict[str, Any] = {"value": chance.chance, "unit": "1"}
    if chance.chance is None:
        met["reason"] = REASONS["no-chance"]
    return {
        named: name,
        "loading": chance.loading,
        "condition": chance.condition,
        "measure": target.measure,
        "goal": target.goal,
        "target": quantity(target.value, kind, units),
        "expected": expected,
        "chance": met,
    }


def _bought(answer: Answer, shares: Shares | None, units: Units) -> dict[str, dict[tuple[int, int], list[Leaf]]]:
    """What each change bought of every measure, by its name or its group's, at each loading and condition."""
    if shares is None:
        return {}
    value = shares.estimates.value
    missing = [[REASONS["no-share"]] * len(answer.names)] * value[0].size
    scenes = _scenes(answer, shares.estimates, units, missing)
    loadings, conditions = range(value.shape[2]), range(value.shape[3])
    return {
        name: {(i, j): scenes[k, i, j] for i in loadings for j in conditions} for k, name in enumerate(shares.names)
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
            named |= {
                f"{name} share of {change}": share
                for name, leaf in _flat(result["measures"]).items()
                for change, share in leaf.get("shares", {}).items()
            }
            head = {"option": option["name"], "loading": result["loading"], "condition": result["condition"]}
            place = f"/loadings/{loadings.index(result['loading'])}"
            here = {caution["code"] for caution in option["cautions"] if caution["where"] == place}
            limits = {"exceeded": " ".join(code for code in option["exceeded"] if code in here)}
            costs = {"cost": option["cost"]} | {name: result[name] for name in GAINS}
            rows.append(merged(head, limits, columns_of(costs), columns_of(named)))
    return rows
