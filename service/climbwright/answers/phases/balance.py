"""Weight and balance of each loading, and the way of its CG as fuel burns."""

from climbwright.aircraft.balance import chord_fraction, margins
from climbwright.aircraft.changes import weighed
from climbwright.aircraft.description import Aircraft, Mass
from climbwright.aircraft.loading import Amount, burn_path
from climbwright.answers.phases.flight import Evaluation

__all__ = ["balanced"]


def balanced(aircraft: Aircraft, amounts: dict[str, Amount]) -> tuple[Evaluation, Mass]:
    """A new evaluation with weight, CG and margins in it, and the loaded aeroplane.

    Parameters
    ----------
    aircraft : Aircraft
        Stacked.
    amounts : dict of str to Amount
        What each station holds, by its name.
    """
    path = burn_path([weighed(aircraft), *aircraft.items], aircraft.stations, amounts, aircraft.burn_order)
    loaded = path[0]
    answer = Evaluation(aircraft, amounts, margins(loaded.mass, loaded.arm, aircraft.limits), path)
    wing = aircraft.wing
    answer.measures["weight"] = loaded.mass
    answer.measures["cg_arm"] = loaded.arm
    if wing.chord is not None and wing.leading_edge_arm is not None:
        answer.measures["cg_chord_fraction"] = chord_fraction(loaded.arm, wing.leading_edge_arm, wing.chord)
    answer.measures["cg_margin"] = answer.margins.arm
    return answer, loaded
