"""Cautions of the air alone: carburettor ice, fuel vapour, and an engine's cooling, which is not modelled."""

from collections.abc import Sequence

import numpy as np

from climbwright.air.condition import Condition
from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.state import Air
from climbwright.answers.notes import Caution, Value
from climbwright.answers.stacking import central_case
from climbwright.arrays import Floats

__all__ = ["cautions_of_air", "codes_of_air"]

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
    known = [_says_humidity(condition) for condition in conditions]
    temperature, humidity, found = _seen(air, np.array(known))
    wide = np.zeros((1, 1, len(conditions)))
    shown = [(value + wide)[0, 0].tolist() for value in (temperature, humidity)]
    codes = {code: (bad | (wide > 0.0))[0, 0].tolist() for code, bad in found.items()}
    cautions: list[Caution] = []
    for j, condition in enumerate(conditions):
        seen: dict[str, Value] = {"condition": condition.name, "value": (shown[0][j], "temperature")}
        damp: dict[str, Value] = {"humidity": (shown[1][j], "ratio")}
        for code, bad in codes.items():
            if bad[j]:
                cautions.append(Caution(code, f"/conditions/{j}", seen | damp if code in _OF_ICE else seen))
    return cautions


def codes_of_air(air: Air, condition: Condition, burning: bool) -> dict[str, Floats]:
    """The same for the rows of a table: where each code holds.

    Parameters
    ----------
    air : Air
        Of the rows.
    condition : Condition
        As stated, each of its numbers that of all rows or an array of theirs.
    burning : bool
        An engine burns fuel.
    """
    return _seen(air, np.bool_(_says_humidity(condition)))[2] if burning else {}


_OF_ICE = ("carburettor-ice-likely", "carburettor-ice-possible")


def _says_humidity(condition: Condition) -> bool:
    return condition.dew_point is not None or condition.relative_humidity is not None


def _seen(air: Air, known: Floats) -> tuple[Floats, Floats, dict[str, Floats]]:
    """The central case of temperature and relative humidity, and where each code holds."""
    temperature, vapour, warmer = map(central_case, (air.temperature, air.vapour_pressure, air.isa_deviation))
    humidity = np.divide(vapour, saturation_vapour_pressure(temperature))
    likely = known & (temperature <= ICE_LIKELY[0]) & (humidity >= ICE_LIKELY[1])
    possible = known & ~likely & (temperature <= ICE_POSSIBLE[0]) & (humidity >= ICE_POSSIBLE[1])
    codes = (*_OF_ICE, "fuel-vapour", "cooling-not-modelled")
    where = (likely, possible, np.greater_equal(temperature, HOT), np.greater_equal(warmer, HOT_DEVIATION))
    return temperature, humidity, dict(zip(codes, where, strict=True))
