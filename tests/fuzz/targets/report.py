"""Coded weather reports: the groups that air needs, each found again in the text by a plain pattern."""

import math
import re

from climbwright.air.report import Report, decode_report

from ..documents import told
from ..target import Target

_TEMPERATURES = re.compile(r"(?<!\S)([M-]?)([0-9]{1,2})/([M-]?)([0-9]{1,2})(?!\S)")
_PRESSURE = re.compile(r"(?<!\S)([QA])([0-9]{4})(?!\S)")


def check(case):
    text = case.decode("utf-8", "replace")
    try:
        report = decode_report(text)
    except ValueError as error:
        told(str(error), 300)
        return
    assert isinstance(report, Report)
    shown = text.upper().strip().rstrip("=")
    celsius = [one - 273.15 for one in (report.temperature, report.dew_point)]
    assert -90.0 <= celsius[1] <= celsius[0] <= 60.0
    assert any(_is_about(group, celsius) for group in _TEMPERATURES.findall(shown)), (celsius, shown)
    pressures = [float(number) * (100.0 if kind == "Q" else 33.86389) for kind, number in _PRESSURE.findall(shown)]
    assert any(math.isclose(report.qnh, one, rel_tol=1e-12) for one in pressures), (report.qnh, shown)
    assert 85_000.0 <= report.qnh <= 110_000.0
    if report.wind_speed is None:
        assert report.wind_direction is None
    else:
        assert 0.0 <= report.wind_speed < 1000.0
        assert 0.0 <= report.wind_direction <= 2.0 * math.pi
    assert decode_report(text) == report


def _is_about(group, celsius):
    """Whether whole degrees are the rounded ones of what was read, whose tenths a remark may tell."""
    whole = [(-1.0 if minus else 1.0) * float(number) for minus, number in (group[:2], group[2:])]
    return all(abs(one - found) <= 1.0 for one, found in zip(whole, celsius, strict=True))


def mutate(case, source):
    """Put one group in, out, elsewhere or in place of another."""
    groups = case.split(b" ")
    place = source.randrange(len(groups))
    way = source.randrange(4)
    if way == 0:
        del groups[place]
    elif way == 1:
        groups.insert(place, source.choice(groups))
    else:
        groups[place : place + way - 2] = [source.choice(TARGET.words)]
    return b" ".join(groups)


_SEEDS = (
    "METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017",
    "SPECI XXXX 010000Z 00000KT CAVOK M02/M05 Q0987=",
    "METAR XXXX 311753Z AUTO 24008G18KT 10SM FEW050 SCT250 31/09 A2992 RMK AO2 SLP132 T03110089",
    "XXXX 241200Z VRB03MPS 0800 R24/0600 FG VV001 07/07 Q1030 NOSIG",
    "METAR COR XXXX 241200Z 24008KT 210V270 5000 -SHRA BKN012CB OVC030 12/10 Q1001 TEMPO 3000 +TSRA BKN008",
    "METAR XXXX 241200Z /////KT //// // ////// 15/10 Q1012 RERA WS R24 RMK T01501000 10162 20100 58007",
    "METAR XXXX 241200Z 36099KT 1 1/2SM BLSN M20/M25 A3050 BECMG FM1300 20015KT RMK PK WND 36105/1150 P0003 60010",
)
_WORDS = (
    *("31/09", "M00/M00", "M/M", "//", "31/", "/09", "Q1017", "A2992", "Q////", "RMK", "BECMG", "TEMPO", "NOSIG", "="),
    *("T03110089", "T13111089", "VRB", "00000KT", "24008MPS", "24008KMH", "G99KT", "999", "CAVOK", "9999", "R24/0600"),
    *("AUTO", "COR", "NIL", "SLP132", "AO2", "60010", "WSHFT", "LTG", "CB", "TCU", "241200Z", "320000Z", "000000Z"),
)

TARGET = Target(
    "report", check, [one.encode() for one in _SEEDS], [one.encode() for one in _WORDS], mutate, longest=1100
)
