"""The coded weather report (METAR): the three groups that air density needs, and the wind.

References
----------
.. [1] WMO-No. 306, *Manual on Codes*, vol. I.1, FM 15 METAR: temperature and dew-point group T'T'/T'dT'd, pressure
   group QPHPHPHPH in hPa; in the United States the group A in hundredths of an inch of mercury.
"""

import math
import re
import warnings
from dataclasses import dataclass

from metar.Metar import Metar, ParserError

__all__ = ["Report", "decode_report"]

_PRESSURE_GROUP = re.compile(r"(?:Q[0-9]{4}|A[0-9]{4})", re.ASCII)
_TEMPERATURE_GROUP = re.compile(r"[M-]?[0-9]{1,2}/[M-]?[0-9]{1,2}", re.ASCII)
_TENTHS = re.compile(r"T[01][0-9]{3}[01][0-9]{3}", re.ASCII)  # of temperature and dew point, among the remarks
_END_OF_BODY = re.compile(r"(?:^|\s)(?:RMKS?|NOSPECI|NOSIG|BECMG|TEMPO|FCST)\b")
_KIND = re.compile(r"^(?:METAR|SPECI)\s+")
_INCH_OF_MERCURY = 3386.389  # conventional, 0 °C (NIST SP 811) [Pa]
_ZERO_CELSIUS = 273.15
_KNOT = 1852.0 / 3600.0  # [m/s]
_PRESSURES = 85000.0, 110000.0  # met at sea level [Pa]
_TEMPERATURES = -90.0, 60.0  # met outdoors [°C]


@dataclass(frozen=True, slots=True)
class Report:
    """What a report says of the air: temperature [K], dew point [K], altimeter setting [Pa].

    The wind's speed [m/s] without gusts and the direction it comes from [rad], from true north; None where it is
    missing or has no steady direction.
    """

    temperature: float
    dew_point: float
    qnh: float
    wind_direction: float | None = None
    wind_speed: float | None = None


def decode_report(text: str) -> Report:
    """Read temperature, dew point and altimeter setting out of a coded report.

    Parameters
    ----------
    text : str
        The report as broadcast, with or without its leading word.

    Returns
    -------
    Report
        Tenths of a degree are used where the remarks carry them.

    Raises
    ------
    ValueError
        A needed group is missing or unreadable, named in the message; or two pressure groups contradict.

    Examples
    --------
    >>> report = decode_report("METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017")
    >>> round(report.temperature - 273.15, 1), report.qnh
    (31.0, 101700.0)
    """
    if not text.isascii() or len(text) > 1000:
        raise ValueError("the coded report must be plain ASCII of at most 1,000 characters")
    report = _KIND.sub("", text.upper().strip().rstrip("="))
    body, *rest = _END_OF_BODY.split(report, maxsplit=1)
    tenths = [word for word in " ".join(rest).split() if _TENTHS.fullmatch(word)]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # groups that this question does not need
        try:
            # of the remarks nothing else is needed, and on some the package's patterns would take for ever
            parsed = Metar(" ".join([body, "RMK", *tenths]), strict=False)
        except (ParserError, ValueError) as error:
            raise ValueError("the coded report cannot be read: send it as broadcast") from error
    groups = {word for word in body.split() if _PRESSURE_GROUP.fullmatch(word)}
    told = {word for word in body.split() if _TEMPERATURE_GROUP.fullmatch(word)}
    if parsed.temp is None and told:
        raise ValueError("the coded report cannot be read: send it as broadcast")
    if not told or parsed.temp is None or parsed.dewpt is None:
        raise ValueError("the report has no complete temperature and dew-point group, such as 31/09 or M02/M05")
    if len(told) > 1:
        raise ValueError(f"the report has {len(told)} temperature groups ({', '.join(sorted(told))}): send one")
    if parsed.press is None or not groups:
        raise ValueError("the report has no pressure group, such as Q1017 or A3003")
    if len(groups) > 1:
        raise ValueError(f"the report has {len(groups)} pressure groups ({', '.join(sorted(groups))}): send one")
    if parsed.dewpt.value("C") > parsed.temp.value("C"):
        raise ValueError("the report's dew point is above its temperature: check the group such as 31/09")
    group = groups.pop()
    pressure = float(group[1:]) * 100.0 if group[0] == "Q" else float(group[1:]) * 0.01 * _INCH_OF_MERCURY
    if not _PRESSURES[0] <= pressure <= _PRESSURES[1]:
        raise ValueError(f"no altimeter is set to {group}: check the pressure group")
    temperature, dew_point = (float(number.value("C")) for number in (parsed.temp, parsed.dewpt))
    if not _is_about(told.pop(), (temperature, dew_point)):
        raise ValueError("the remarks of the report give another temperature than its group such as 31/09: check both")
    if not _TEMPERATURES[0] <= dew_point <= temperature <= _TEMPERATURES[1]:
        raise ValueError("no air outdoors has this temperature: check the group such as 31/09")
    return Report(temperature + _ZERO_CELSIUS, dew_point + _ZERO_CELSIUS, pressure, *_wind(parsed))


def _is_about(group: str, found: tuple[float, float]) -> bool:
    """Whether numbers, whose tenths remarks may have told, are those of a group in whole degrees."""
    whole = [float(number.replace("M", "-")) for number in group.split("/")]
    return all(abs(one - other) <= 1.0 for one, other in zip(whole, found, strict=True))


def _wind(parsed: Metar) -> tuple[float | None, float | None]:
    """Direction and speed of a steady wind; calm is a wind of nothing."""
    if parsed.wind_speed is None:
        return None, None
    metric = any(word.endswith("MPS") for word in parsed.code.split())
    rounded = round(float(parsed.wind_speed.value("MPS" if metric else "KT")), 2)  # the package's factor is rounded
    speed = rounded if metric else rounded * _KNOT
    if parsed.wind_dir is None:
        return (0.0, 0.0) if speed == 0.0 else (None, None)
    return math.radians(parsed.wind_dir.value()), speed
