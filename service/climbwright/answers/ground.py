"""The aeroplane on its wheels: what each carries, and what a weighing cannot have been."""

from collections.abc import Sequence
from dataclasses import dataclass

from climbwright.aircraft.description import Mass, Scale, Wheel
from climbwright.aircraft.wheels import abreast, wheel_loads
from climbwright.answers.balance_cautions import scale_empty, weighed_at_one_arm, would_tip
from climbwright.answers.cases import Cases, single_of
from climbwright.answers.notes import Caution
from climbwright.answers.single import Single
from climbwright.arrays import middle

__all__ = ["WheelLoad", "loads_on_wheels", "tipping", "weighing_doubts", "wheels_of"]


@dataclass(frozen=True, slots=True)
class WheelLoad:
    """A wheel: its arm [m], the mass it carries [kg], and that over the whole."""

    name: str
    columns: dict[str, Single]


def wheels_of(wheels: Sequence[Wheel], scales: Sequence[Scale]) -> list[Wheel]:
    """The wheels as given, or those that stood on the scales; none where they do not stand at two arms."""
    stand = list(wheels) or [Wheel(scale.name, scale.arm) for scale in scales]
    return stand if abreast([wheel.arm for wheel in stand]) is not None else []


def loads_on_wheels(loaded: Mass, wheels: Sequence[Wheel], cases: Cases) -> list[WheelLoad]:
    """What each wheel of the loaded aeroplane carries.

    Parameters
    ----------
    loaded : Mass
        Mass [kg] and arm [m].
    wheels : sequence of Wheel
        At two arms; none answers nothing.
    cases : Cases
        Of what is laid out along the first axis.

    Returns
    -------
    list of WheelLoad
        In the order given.
    """
    if not wheels:
        return []
    loads = wheel_loads(loaded.mass, loaded.arm, [wheel.arm for wheel in wheels])
    return [
        WheelLoad(
            wheel.name,
            {
                "arm": single_of(wheel.arm, cases),
                "load": single_of(load, cases),
                "fraction": single_of(load / loaded.mass, cases),
            },
        )
        for wheel, load in zip(wheels, loads, strict=True)
    ]


def tipping(wheels: Sequence[WheelLoad]) -> list[Caution]:
    """A caution for each wheel that would carry less than nothing."""
    return [
        would_tip(wheel.name, float(wheel.columns["load"].value), "/wheels")
        for wheel in wheels
        if wheel.columns["fraction"].value < -1e-12
    ]


def weighing_doubts(scales: Sequence[Scale]) -> list[Caution]:
    """What no standing aeroplane shows its scales.

    A CG outside the wheels would need a net reading below zero, which is refused where it is read; at the edge of that
    a wheel carries nothing.
    """
    if not scales:
        return []
    found = [
        scale_empty(scale.name, f"/scales/{i}")
        for i, scale in enumerate(scales)
        if middle(scale.mass) <= middle(scale.tare)
    ]
    if len({middle(scale.arm) for scale in scales}) == 1:
        found.append(weighed_at_one_arm(middle(scales[0].arm), "/scales"))
    return found
