"""A year of invented weather at an invented mesa, by a formula and a seed: no place on earth had it.

Temperature is a yearly and a daily cycle, each a cosine, and the deviation of each day, which keeps seven tenths of the
one before; the altimeter setting wanders in the same way and has its half-daily tide; the dew point has a yearly cycle
and a deviation of its own, and stays half a degree below the temperature. The wind is steady for a day. Numbers are
rounded as a station's are.
"""

from dataclasses import dataclass, field

import numpy as np

HOURS = 8760
SEED = 20250101


@dataclass(frozen=True)
class Weather:
    """Hours in plain lists: ISO 8601, C, hPa, deg and kt."""

    time: list[str]
    temperature: list[float]
    qnh: list[float]
    dew_point: list[float]
    wind_direction: list[float]
    wind_speed: list[float]
    units: dict[str, str] = field(
        default_factory=lambda: {
            "temperature": "C", "qnh": "hPa", "dew_point": "C", "wind_direction": "deg", "wind_speed": "kt",
        }
    )  # fmt: skip

    def columns(self, *names):
        """Columns of a request, by name."""
        values = {name: {"value": list(getattr(self, name)), "unit": self.units[name]} for name in names}
        return {"time": list(self.time)} | values

    def csv(self, *names):
        """The same as a table."""
        lines = [",".join(["time", *(f"{name} [{self.units[name]}]" for name in names)])]
        rows = zip(self.time, *(getattr(self, name) for name in names), strict=True)
        lines += [",".join("" if cell is None else str(cell) for cell in row) for row in rows]
        return "\r\n".join(lines) + "\r\n"

    def at(self, hours):
        """Some of the hours."""
        return Weather(*([getattr(self, name)[i] for i in hours] for name in ("time", *self.units)))


def _wandering(source, days, size):
    """A deviation for each day, of this size, that keeps seven tenths of the one before."""
    steps = source.standard_normal(days) * size * np.sqrt(1.0 - 0.7**2)
    found = np.zeros(days)
    for day in range(1, days):
        found[day] = 0.7 * found[day - 1] + steps[day]
    return found


def year(hours=HOURS, seed=SEED):
    """The first hours of the year."""
    source = np.random.default_rng(seed)
    hour = np.arange(hours)
    day, of_day = hour // 24, hour % 24
    days = int(day[-1]) + 1
    warmth = np.cos(2.0 * np.pi * (hour / 24.0 - 200.0) / 365.0)  # 1 late in July
    noon = np.cos(2.0 * np.pi * (of_day - 15.0) / 24.0)
    temperature = 11.0 + 12.0 * warmth + (7.0 + 2.5 * warmth) * noon + _wandering(source, days, 3.0)[day]
    qnh = 1016.0 + _wandering(source, days, 5.0)[day] + 1.2 * np.cos(2.0 * np.pi * (of_day - 10.0) / 12.0)
    dew_point = -3.0 + 6.0 * warmth + _wandering(source, days, 3.0)[day]
    dew_point = np.minimum(dew_point, temperature - 0.5)
    speed = np.abs(_wandering(source, days, 8.0))[day]
    direction = source.uniform(0.0, 359.0, days)[day]
    start = np.datetime64("2025-01-01T00", "h")
    times = np.datetime_as_string(start + hour, unit="m").tolist()
    temperature, dew_point = np.round(temperature, 1), np.round(dew_point, 1)
    return Weather(
        times,
        temperature.tolist(),
        np.round(qnh, 1).tolist(),
        np.minimum(dew_point, temperature).tolist(),
        np.round(direction).tolist(),
        np.round(speed).tolist(),
    )
