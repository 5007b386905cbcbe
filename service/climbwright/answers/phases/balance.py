"""Weight and balance of each loading, and the way of its CG as fuel burns."""

from collections.abc import Collection

from climbwright.aircraft.balance import arm_margin, chord_fraction, margins
from climbwright.aircraft.changes import weighed
from climbwright.aircraft.description import Aircraft, Mass
from climbwright.aircraft.loading import Amount, burn_path, load
from climbwright.answers.phases.flight import Evaluation

__all__ = ["balanced"]


def balanced(
    aircraft: Aircraft, amounts: dict[str, Amount], only: Collection[str] | None = None
) -> tuple[Evaluation, Mass]:
    """A new evaluation with weight, CG and margins in it, and the loaded aeroplane.

    Parameters
    ----------
    aircraft : Aircraft
        Stacked.
    amounts : dict of str to Amount
        What each station holds, by its name.
    only : collection of str, optional
        Measures that are wanted; with them the way of the CG and the margins beyond the one wanted are left out.
    """
    parts = [weighed(aircraft), *aircraft.items]
    if only is None:
        path = burn_path(parts, aircraft.stations, amounts, aircraft.burn_order)
    else:
        path = [load(parts, aircraft.stations, amounts)]
    loaded = path[0]
    found = None if only is not None else margins(loaded.mass, loaded.arm, aircraft.limits)
    answer = Evaluation(aircraft, amounts, found, path)
    if found is not None:
        answer.measures["cg_margin"] = found.arm
    elif only is not None and "cg_margin" in only:
        answer.measures["cg_margin"] = arm_margin(loaded.mass, loaded.arm, aircraft.limits)
    wing = aircraft.wing
    answer.measures["weight"] = loaded.mass
    answer.measures["cg_arm"] = loaded.arm
    shown = only is None or "cg_chord_fraction" in only
    if shown and wing.chord is not None and wing.leading_edge_arm is not None:
        answer.measures["cg_chord_fraction"] = chord_fraction(loaded.arm, wing.leading_edge_arm, wing.chord)
    return answer, loaded
