"""Cautions of the air alone: carburettor ice, fuel vapour, and an engine's cooling, which is not modelled."""

from collections.abc import Sequence

import numpy as np

from climbwright.air.condition import Condition
from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.state import Air
from climbwright.answers.notes import Caution, Value
from climbwright.answers.stacking import central_case

__all__ = ["cautions_of_air"]

HOT = 273.15 + 30.0  # fuel vapour; common practice, no source [K]
HOT_DEVIATION = 10.0  # above standard, engine cooling; common practice, no source [K]
# Carburettor ice: FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, ch. 7 (from memory)
ICE_LIKELY, ICE_POSSIBLE = (273.15 + 21.0, 0.80), (273.15 + 38.0, 0.50)


def cautions_of_air(air: Air, conditions: Sequence[Condition], burning: bool) -> list[Caution]:
    """What the air itself does to an engine: carburettor ice, fuel vapour, cooling.

    Parameters
    ----------
    air : Air
        Conditions along its last axis.
    conditions : sequence of Condition
        As stated.
    burning : bool
        An engine burns fuel.

    Returns
    -------
    list of Caution
        One of each code for each condition.
    """
    if not burning:
        return []
    count = len(conditions)
    temperature, vapour, warmer = (
        (central_case(value) + np.zeros((1, 1, count)))[0, 0].tolist()
        for value in (air.temperature, air.vapour_pressure, air.isa_deviation)
    )
    found: list[Caution] = []
    for j, condition in enumerate(conditions):
        t, where = temperature[j], f"/conditions/{j}"
        seen: dict[str, Value] = {"condition": condition.name, "value": (t, "temperature")}
        if condition.dew_point is not None or condition.relative_humidity is not None:
            humidity = vapour[j] / float(saturation_vapour_pressure(t))
            likely = t <= ICE_LIKELY[0] and humidity >= ICE_LIKELY[1]
            possible = t <= ICE_POSSIBLE[0] and humidity >= ICE_POSSIBLE[1]
            if likely or possible:
                code = "carburettor-ice-likely" if likely else "carburettor-ice-possible"
                found.append(Caution(code, where, seen | {"humidity": (humidity, "ratio")}))
        if t >= HOT:
            found.append(Caution("fuel-vapour", where, seen))
        if warmer[j] >= HOT_DEVIATION:
            found.append(Caution("cooling-not-modelled", where, seen))
    return found
