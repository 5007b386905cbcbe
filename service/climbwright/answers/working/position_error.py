"""The position error of an airspeed indicator, worked: the wind triangle of three or more legs."""

import numpy as np

from climbwright.answers.position_error import PositionErrorInputs
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.step import Chain, Step

__all__ = ["position_error"]


def position_error(inputs: PositionErrorInputs) -> list[Step]:
    """Steps from the legs to the correction of the indicated airspeed.

    Parameters
    ----------
    inputs : PositionErrorInputs
        As noted in flight.

    Notes
    -----
    With G for a ground speed squared, the legs are fitted by G = a e + b n + c, where e and n are the ends of the
    ground velocities (tracks) or the directions flown (headings).
    """
    chain, legs = Chain(), range(1, len(inputs.legs) + 1)
    with np.errstate(all="ignore"):
        worked_air.state(chain, inputs.condition)
        chain.give("V_i", inputs.indicated, "speed", "stated-indicated")
        for i, leg in zip(legs, inputs.legs, strict=True):
            chain.give(f"g_{i}", leg.ground_speed, "speed", "leg-ground-speed", str(i))
            chain.give(f"chi_{i}", leg.course, "angle", f"leg-{inputs.kind}", str(i))
        (_tracks if inputs.kind == "track" else _headings)(chain, list(legs))
        _wind(chain)
        chain.step("impact-of-moist", "q_c", "p*((1 + rho*V^2/(7*p))^3.5 - 1)", "pressure", "naca-837")
        formula = "a_0*sqrt(5*((1 + q_c/p_0)^(2/7) - 1))"
        chain.step("calibrated", "V_c", formula, "speed", "naca-837", ends="calibrated", what="")
        chain.step("correction", "dV", "V_c - V_i", "speed", "definition", ends="correction")
    return chain.needed({step.ends for step in chain.steps if step.ends})


def _sum(terms: list[str]) -> str:
    return " + ".join(terms)


def _tracks(chain: Chain, legs: list[int]) -> None:
    for i in legs:
        for axis, turn in (("e", "sin"), ("n", "cos")):
            formula = f"g_{i}*{turn}(chi_{i})"
            chain.step(f"leg-{axis}", f"{axis}_{i}", formula, "speed", "definition", leg=str(i))
    count = len(legs)
    for axis in ("e", "n"):
        formula = f"({_sum([f'{axis}_{i}' for i in legs])})/{count}"
        chain.step(f"mean-{axis}", f"{axis}_m", formula, "speed", "gray")
    chain.step("mean-square", "G_m", f"({_sum([f'g_{i}^2' for i in legs])})/{count}", "speed squared", "gray")
    _plane(chain, legs, dict.fromkeys(legs, "1"), ("speed squared", "speed cubed"))
    for axis, slope in (("E", "a"), ("N", "b")):
        chain.step(f"wind-{axis}", f"w_{axis}", f"{slope}/2", "speed", "gray")
    squares = _sum([f"(e_{i} - w_E)^2 + (n_{i} - w_N)^2" for i in legs])
    chain.step("true-of-legs", "V", f"sqrt(({squares})/{count})", "speed", "gray", ends="true")
    if count > 3:
        left = _sum([f"(sqrt((e_{i} - w_E)^2 + (n_{i} - w_N)^2) - V)^2" for i in legs])
        chain.step("residual", "s", f"sqrt(({left})/{count - 3})", "speed", "least-squares", ends="residual")


def _headings(chain: Chain, legs: list[int]) -> None:
    for i in legs:
        for axis, turn in (("e", "sin"), ("n", "cos")):
            chain.step(f"heading-{axis}", f"{axis}_{i}", f"{turn}(chi_{i})", "ratio", "definition", leg=str(i))
    chain.step("sum-of-weights", "k", _sum([f"1/g_{i}^2" for i in legs]), "per speed squared", "least-squares")
    for axis in ("e", "n"):
        formula = f"({_sum([f'{axis}_{i}/g_{i}^2' for i in legs])})/k"
        chain.step(f"mean-{axis}", f"{axis}_m", formula, "ratio", "least-squares")
    chain.step("mean-square", "G_m", f"{len(legs)}/k", "speed squared", "least-squares")
    _plane(chain, legs, {i: f"g_{i}^2" for i in legs}, ("ratio", "speed squared"))
    chain.step("plane-constant", "c", "G_m - a*e_m - b*n_m", "speed squared", "least-squares")
    formula = "(sqrt(c + sqrt(a^2 + b^2)) + sqrt(c - sqrt(a^2 + b^2)))/2"
    chain.step("true-of-headings", "V", formula, "speed", "least-squares", ends="true")
    for axis, slope in (("E", "a"), ("N", "b")):
        chain.step(f"wind-{axis}", f"w_{axis}", f"{slope}/(2*V)", "speed", "least-squares")
    if len(legs) > 3:
        left = _sum([f"(sqrt((V*e_{i} + w_E)^2 + (V*n_{i} + w_N)^2) - g_{i})^2" for i in legs])
        chain.step("residual", "s", f"sqrt(({left})/{len(legs) - 3})", "speed", "least-squares", ends="residual")


def _plane(chain: Chain, legs: list[int], over: dict[int, str], kinds: tuple[str, str]) -> None:
    """Slopes a and b of the plane through the legs' squares, each leg weighed by one over `over`."""

    def moment(one: str, other: str) -> str:
        parts = {"e": "(e_{i} - e_m)", "n": "(n_{i} - n_m)", "G": "(g_{i}^2 - G_m)"}
        terms = []
        for i in legs:
            product = f"{parts[one]}*{parts[other]}" if one != other else f"{parts[one]}^2"
            terms.append(product.format(i=i) + ("" if over[i] == "1" else f"/{over[i]}"))
        return _sum(terms)

    even = all(each == "1" for each in over.values())
    squares = kinds[0] if even else "per speed squared"
    thirds = kinds[1] if even else "ratio"
    for one, other, kind in (
        ("e", "e", squares), ("e", "n", squares), ("n", "n", squares), ("e", "G", thirds), ("n", "G", thirds)
    ):  # fmt: skip
        chain.step("moment-of-legs", f"S_{one}{other}", moment(one, other), kind, "least-squares")
    slope = "speed" if even else "speed squared"
    chain.step("slope-a", "a", "(S_nn*S_eG - S_en*S_nG)/(S_ee*S_nn - S_en^2)", slope, "least-squares")
    chain.step("slope-b", "b", "(S_ee*S_nG - S_en*S_eG)/(S_ee*S_nn - S_en^2)", slope, "least-squares")


def _wind(chain: Chain) -> None:
    chain.step("wind-speed", "w", "sqrt(w_E^2 + w_N^2)", "speed", "definition", ends="wind_speed")
    east, north = float(chain.values["w_E"]), float(chain.values["w_N"])
    if not chain.values["w"] > 1e-9 * chain.values["V"]:
        return
    if abs(east) > abs(north):
        formula = "pi/2 - atan(w_N/w_E)" if east < 0.0 else "3*pi/2 - atan(w_N/w_E)"
    elif north > 0.0:
        formula = "pi + atan(w_E/w_N)"
    else:
        formula = "atan(w_E/w_N)" if east <= 0.0 else "2*pi + atan(w_E/w_N)"
    chain.step("wind-direction", "psi", formula, "angle", "definition", ends="wind_direction")
