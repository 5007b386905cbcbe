"""Pitch settings: a ground-adjustable propeller's aeroplane as it is set, and at each of its settings beside it."""

import re
from collections.abc import Sequence
from dataclasses import replace

from climbwright.air.condition import Condition
from climbwright.aircraft.changes import PropellerChange
from climbwright.aircraft.description import Aircraft, Mass, Propeller
from climbwright.aircraft.loading import Loading
from climbwright.answers.comparison import Answer, compare, perform
from climbwright.answers.flying import AS_USUAL, Flying
from climbwright.answers.notes import Assumed
from climbwright.answers.question import Option
from climbwright.answers.targets import Target
from climbwright.refusal import Refusal

__all__ = ["perform_settings"]


def perform_settings(
    aircraft: Aircraft,
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    flying: Flying = AS_USUAL,
    measures: Sequence[str] | None = None,
    where: str = "/aircraft",
    working: bool = False,
    targets: Sequence[Target] = (),
    draws: int | None = None,
) -> Answer:
    """`perform`, and for a ground-adjustable propeller the same at each of its settings, as options of that name."""
    settings = aircraft.propeller.settings
    if len(settings) < 2:
        return perform(aircraft, loadings, conditions, flying, measures, where, working, targets, draws)
    nothing = Mass(0.0, 0.0)
    options = [
        Option(
            one.name,
            (PropellerChange(name=one.name, propeller=_set(aircraft, one.name), removed=nothing, fitted=nothing),),
        )
        for one in settings
    ]
    try:
        answer = compare(
            aircraft, options, loadings, conditions, flying, measures, where, working, targets=targets, draws=draws
        )
    except Refusal as refusal:
        raise Refusal(_OF_A_SETTING.sub(f"{where}/propeller", refusal.where), refusal.message) from None
    told = {item.where: item for item in (_placed(item, where) for item in answer.assumed)}
    return replace(answer, assumed=list(told.values()))


_OF_A_SETTING = re.compile(r"^/options/[0-9]+/changes/0/propeller")


def _set(aircraft: Aircraft, name: str) -> Propeller:
    return replace(aircraft.propeller, setting=name)


def _placed(item: Assumed, where: str) -> Assumed:
    """An assumption of a setting at its place in the request."""
    return replace(item, where=_OF_A_SETTING.sub(f"{where}/propeller", item.where))
