"""What makes an aeroplane's own numbers: its scales, its propeller's place, and the changes of an option, worked."""

from collections.abc import Collection, Sequence

from climbwright.aircraft.changes import (
    Change,
    DragChange,
    EngineChange,
    LiftChange,
    PropellerChange,
    WingChange,
    moved_parts,
)
from climbwright.aircraft.description import Aircraft
from climbwright.answers.working import weight
from climbwright.answers.working.step import Chain, Step, central

__all__ = ["own"]


def own(one: Aircraft, baseline: Aircraft, changes: Sequence[Change], given: Collection[str]) -> list[Step]:
    """Steps to the numbers of one aeroplane that its flight begins with.

    Parameters
    ----------
    one : Aircraft
        Weighed and settled, its changes made.
    baseline : Aircraft
        The aeroplane before, weighed and settled.
    changes : sequence of Change
        None for the baseline itself.
    given : collection of str
        Symbols that its flight begins with.
    """
    chain = Chain()
    moved = ((change.name, part) for change in changes for part in moved_parts(change))
    parts = [(name, part) for name, part in moved if (central(part.mass) != 0.0).any()]
    if parts and baseline.empty is not None:
        chain.give("m_e0", baseline.empty.mass, "mass", "empty-before")
        chain.give("x_e0", baseline.empty.arm, "length", "empty-arm-before")
        given_parts = [weight.part(chain, i, part, "change", name) for i, (name, part) in enumerate(parts, 1)]
        keys = ("changed-weight", "changed-moment", "changed-arm")
        weight.summed(chain, [("m_e0", "x_e0"), *given_parts], ("m_e", "M_e", "x_e"), keys)
    elif one.scales:
        weight.scales(chain, one.scales)
    _propulsion(chain, one, baseline, changes)
    _numbers(chain, one, baseline, changes)
    made = {step.symbol for step in chain.steps}
    return chain.needed((), None, made & set(given))


def _propulsion(chain: Chain, one: Aircraft, baseline: Aircraft, changes: Sequence[Change]) -> None:
    """A new engine's power, and where a pitch class places the propeller's speed."""
    engines = [change for change in changes if isinstance(change, EngineChange)]
    renewed = engines or any(isinstance(change, PropellerChange) for change in changes)
    if engines:
        chain.give("P_n", one.engine.power, "power", "new-power")
        chain.step("new-power", "P_r", "P_n", "power", "definition")
    propeller = one.propeller
    if propeller.speed_ratio is None or (changes and not renewed):
        return
    if not engines:
        chain.give("P_r", one.engine.power, "power", "rated-power")
    symbol = "V_q" if propeller.kind == "constant-speed" else "V_b"
    chain.give("f_0", baseline.drag.parasite_area, "area", "parasite-area-before")
    chain.give("k_v", propeller.speed_ratio, "ratio", "speed-ratio")
    chain.step("reference-speed", "V_ref", "0.95*cbrt(1.5*P_r/(rho_0*f_0))", "speed", "lowry")
    chain.step("placed-speed", symbol, "k_v*V_ref", "speed", "common-practice")


def _numbers(chain: Chain, one: Aircraft, baseline: Aircraft, changes: Sequence[Change]) -> None:
    """Drag, lift and wing as changed."""
    drags = [change for change in changes if isinstance(change, DragChange)]
    if drags:
        chain.give("f_0", baseline.drag.parasite_area, "area", "parasite-area-before")
        for i, change in enumerate(drags, 1):
            chain.give(f"df_{i}", change.parasite_area_change, "area", "drag-change", change.name)
        formula = "f_0 + " + " + ".join(f"df_{i}" for i in range(1, len(drags) + 1))
        chain.step("changed-area", "f", formula, "area", "definition")
    for i, stall in enumerate(baseline.stalls, 1):
        lifts = [
            change
            for change in changes
            if isinstance(change, LiftChange) and change.configuration in (None, stall.configuration)
        ]
        if not lifts:
            continue
        chain.give(f"k_o{i}", stall.lift_gain, "ratio", "lift-before", stall.configuration)
        for k, lift in enumerate(lifts, 1):
            chain.give(f"k_{i}_{k}", lift.maximum_lift_gain, "ratio", "lift-change", lift.name)
        product = "*".join(f"(1 + k_{i}_{k})" for k in range(1, len(lifts) + 1))
        formula = f"(1 + k_o{i})*{product} - 1"
        chain.step("changed-lift", f"k_l{i}", formula, "ratio", "definition", name=stall.configuration)
    if any(isinstance(change, WingChange) for change in changes):
        _wing(chain, one, baseline)


def _wing(chain: Chain, one: Aircraft, baseline: Aircraft) -> None:
    """Stalls that were flown, carried to a new area at the same lift coefficient."""
    if baseline.wing.area is None or not (central(one.wing.area) != central(baseline.wing.area)).any():
        return
    chain.give("S_0", baseline.wing.area, "area", "wing-area-before")
    chain.give("S_n", one.wing.area, "area", "wing-area")
    for i, stall in enumerate(baseline.stalls, 1):
        if stall.speed is not None:
            chain.give(f"V_o{i}", stall.speed, "speed", "stall-flown", stall.configuration)
            formula = f"V_o{i}*sqrt(S_0/S_n)"
            chain.step("changed-stall", f"V_r{i}", formula, "speed", "anderson-5", name=stall.configuration)
