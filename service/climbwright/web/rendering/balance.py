"""A balance as JSON, and as rows of a table."""

from collections.abc import Mapping
from typing import Any

from climbwright.answers.balance import BalanceAnswer, Extreme
from climbwright.answers.single import Single
from climbwright.web.rendering.quantities import Units, missing, quantity, single_json
from climbwright.web.rendering.tables import Row, columns_of

__all__ = [
    "BALANCE_FIELDS",
    "BURN_FIELDS",
    "FUEL_WORDS",
    "RECORD_FIELDS",
    "WHEEL_FIELDS",
    "balance_json",
    "balance_rows",
]

Rows = Mapping[str, tuple[str, str | None, str]]  # kind, why it may be null (None: it never is), what it is

BALANCE_FIELDS: Rows = {
    "weight": ("mass", None, "Total weight."),
    "cg_arm": ("length", None, "Arm of the CG."),
    "moment": ("moment", None, "Weight times arm."),
    "cg_chord_fraction": ("ratio", "no-chord", "CG as a fraction of the mean chord."),
    "cg_margin": ("length", "no-balance-limits", "Arm to the nearer limit at this weight, positive inside."),
    "forward_limit": ("length", "no-balance-limits", "Forward limit at this weight."),
    "aft_limit": ("length", "no-balance-limits", "Aft limit at this weight."),
    "weight_margin": ("mass", "no-maximum-weight", "Greatest weight minus this weight."),
    "envelope_distance": (
        "ratio",
        "no-envelope",
        "Distance to the envelope's nearest edge, drawn one by one; positive inside.",
    ),
    "chord": ("length", "no-chord", "Mean aerodynamic chord, as given or of the tapered wing."),
    "leading_edge_arm": ("length", "no-chord", "Arm of its leading edge."),
}
BURN_FIELDS = ("weight", "cg_arm", "cg_chord_fraction", "cg_margin")
RECORD_FIELDS: Rows = {
    "weight": ("mass", None, "What came in, negative for what went out."),
    "arm": ("length", None, "Where."),
    "moment": ("moment", None, "What that changes the moment by."),
    "running_weight": ("mass", None, "Empty weight after it."),
    "running_arm": ("length", "nothing-left", "Arm of the empty CG after it."),
}
WHEEL_FIELDS: Rows = {
    "arm": ("length", None, "Arm of the wheel."),
    "load": ("mass", None, "What a scale under it would read; negative where the aeroplane would tip."),
    "fraction": ("ratio", None, "That over the whole weight."),
}
FUEL_WORDS = {"as loaded": "fuel as loaded", "full": "tanks full", "unusable": "only unusable fuel"}


def _fields(values: Mapping[str, Single], table: Rows, units: Units) -> dict[str, Any]:
    return {name: single_json(values[name], kind, units, reason) for name, (kind, reason, _) in table.items()}


def _burn_fields(totals: Mapping[str, Single], units: Units) -> dict[str, Any]:
    return _fields(totals, {name: BALANCE_FIELDS[name] for name in BURN_FIELDS}, units)


def balance_json(found: BalanceAnswer, units: Units) -> dict[str, Any]:
    """Everything but the notes."""
    burn = [
        {"burned": tank} | _burn_fields(totals, units) | {"in_limits": inside} for tank, totals, inside in found.burn
    ]
    extremes = zip(("worst_forward", "worst_aft"), found.worst or (None, None), strict=True)
    return {
        "in_limits": found.in_limits,
        **_fields(found.totals, BALANCE_FIELDS, units),
        "fuel_burn": burn,
        **{name: None if extreme is None else _extreme(extreme, units) for name, extreme in extremes},
        "ballast": _ballast(found, units),
        "empty_weight_record": [
            {"name": entry.name} | _fields(entry.columns, RECORD_FIELDS, units) for entry in found.record
        ],
        "wheel_loads": [{"name": wheel.name} | _fields(wheel.columns, WHEEL_FIELDS, units) for wheel in found.wheels],
        "pilot_weights": [
            {
                "fuel": state.fuel,
                "least": single_json(state.least, "mass", units, state.missing),
                "greatest": single_json(state.greatest, "mass", units, state.missing),
            }
            for state in found.pilot
        ],
    }


def _extreme(extreme: Extreme, units: Units) -> dict[str, Any]:
    return {
        "stations": {name: quantity(mass, "mass", units) for name, mass in extreme.held.items()},
        **_burn_fields(extreme.totals, units),
        "in_limits": extreme.in_limits,
    }


def _ballast(found: BalanceAnswer, units: Units) -> dict[str, Any]:
    """Weight and arm, or null with the reason."""
    kinds = {"weight": "mass", "arm": "length"}
    if isinstance(found.ballast, str):
        return {name: missing(kind, found.ballast, units) for name, kind in kinds.items()}
    values = {"weight": found.ballast.mass, "arm": found.ballast.arm}
    return {name: quantity(float(values[name]), kind, units) for name, kind in kinds.items()}


def balance_rows(body: dict[str, Any]) -> list[Row]:
    """The loaded aeroplane, then one row for each tank that has burned, worst loading, entry, wheel and pilot's range.

    An entry's row has the running empty weight and arm where the others have theirs. A record that is the weighing and
    no more has no row of its own.
    """
    steps = [(f"with {step['burned']} burned", columns_of(step)) for step in body["fuel_burn"]]
    steps += [(name.replace("_", " "), columns_of(body[name])) for name in ("worst_forward", "worst_aft") if body[name]]
    record = body["empty_weight_record"]
    steps += [(f"empty: {entry['name']}", _entry_cells(entry)) for entry in record if len(record) > 1]
    for wheel in body["wheel_loads"]:
        cells = {f"wheel_{name}": wheel[name] for name in WHEEL_FIELDS}
        steps.append((f"wheel: {wheel['name']}", columns_of(cells)))
    for state in body["pilot_weights"]:
        cells = {"least_weight": state["least"], "greatest_weight": state["greatest"]}
        steps.append((f"pilot: {FUEL_WORDS[state['fuel']]}", columns_of(cells)))
    if not steps:
        return [columns_of(body)]
    return [{"state": "loaded"} | columns_of(body), *({"state": name} | cells for name, cells in steps)]


def _entry_cells(entry: dict[str, Any]) -> Row:
    return columns_of(
        {
            "weight": entry["running_weight"],
            "cg_arm": entry["running_arm"],
            "entry_weight": entry["weight"],
            "entry_arm": entry["arm"],
            "entry_moment": entry["moment"],
        }
    )
