"""Cautions of weight and balance, each with its numbers: of a balance, and of every aeroplane answer."""

from climbwright.aircraft.balance import Margins
from climbwright.aircraft.description import Mass
from climbwright.answers.notes import Caution, Value

__all__ = [
    "below_envelope",
    "below_minimum",
    "leaves_limits",
    "outside",
    "over_maximum",
    "scale_empty",
    "weighed_at_one_arm",
    "would_tip",
]


def over_maximum(mass: float, margin: float, where: str, **names: Value) -> Caution:
    """The aeroplane weighs more than its limits allow."""
    values: dict[str, Value] = {"weight": (mass, "mass"), "limit": (mass + margin, "mass"), "excess": (-margin, "mass")}
    return Caution("over-maximum-weight", where, names | values)


def outside(arm: float, found: Margins, where: str, **names: Value) -> Caution:
    """The CG is outside its limits, with the limit that it breaks."""
    limit = float(found.nearest_limit)
    values: dict[str, Value] = {
        "arm": (arm, "length"),
        "limit": (limit, "length"),
        "excess": (-float(found.arm), "length"),
        "side": "ahead of" if arm < limit else "behind",
    }
    return Caution("cg-outside-limits", where, names | values)


def below_envelope(mass: float, margin: float, where: str, **names: Value) -> Caution:
    """The aeroplane weighs less than the lightest corner of its envelope."""
    values: dict[str, Value] = {"weight": (mass, "mass"), "limit": (mass - margin, "mass")}
    return Caution("below-envelope", where, names | values)


def leaves_limits(point: Mass, where: str, **names: Value) -> Caution:
    """The loading begins inside its limits and leaves them as fuel burns, first seen at a point of its way."""
    values: dict[str, Value] = {"weight": (float(point.mass), "mass"), "arm": (float(point.arm), "length")}
    return Caution("cg-leaves-limits-as-fuel-burns", where, names | values)


def below_minimum(station: str, mass: float, least: float, where: str, **names: Value) -> Caution:
    """A station holds less than its minimum."""
    values: dict[str, Value] = {"station": station, "weight": (mass, "mass"), "least": (least, "mass")}
    return Caution("below-station-minimum", where, names | values)


def would_tip(wheel: str, load: float, where: str) -> Caution:
    """A wheel would have to pull the aeroplane down to keep it standing."""
    return Caution("would-tip", where, {"wheel": wheel, "load": (load, "mass")})


def scale_empty(scale: str, where: str) -> Caution:
    """A scale of the weighing read no more than its tare."""
    return Caution("scale-empty", where, {"scale": scale})


def weighed_at_one_arm(arm: float, where: str) -> Caution:
    """All scales stood at one arm, on which nothing stands."""
    return Caution("weighed-at-one-arm", where, {"arm": (arm, "length")})
