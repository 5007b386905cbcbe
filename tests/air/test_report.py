"""The coded report: what is read of it, and what is refused. Stations and reports are invented."""

import pytest
from numpy.testing import assert_allclose

from climbwright.air.report import decode_report

INCH_OF_MERCURY = 3386.389


@pytest.mark.parametrize(
    ("text", "celsius", "dew_point", "qnh"),
    [
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017", 31.0, 9.0, 101700.0),
        ("XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017", 31.0, 9.0, 101700.0),
        ("SPECI XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017=", 31.0, 9.0, 101700.0),
        ("metar xxxx 241200z auto 24008kt 9999 31/09 q1017", 31.0, 9.0, 101700.0),
        ("METAR XXXX 241200Z 24008KT 10SM CLR 23/14 A3003", 23.0, 14.0, 30.03 * INCH_OF_MERCURY),
        ("METAR XXXX 241200Z 24008KT 10SM CLR 23/14 A2892", 23.0, 14.0, 28.92 * INCH_OF_MERCURY),
        ("METAR XXXX 241200Z 24008KT CAVOK M02/M05 Q0987", -2.0, -5.0, 98700.0),
        ("METAR XXXX 241200Z 24008KT CAVOK 00/M00 Q1013", 0.0, 0.0, 101300.0),
        ("METAR XXXX 241200Z 24008KT CAVOK 05/M01 Q1013", 5.0, -1.0, 101300.0),
        (
            "METAR XXXX 241253Z 24008KT 10SM CLR 23/14 A3003 RMK AO2 SLP164 T02280139",
            22.8,
            13.9,
            30.03 * INCH_OF_MERCURY,
        ),
        ("METAR XXXX 241253Z 24008KT 10SM CLR M02/M05 A3003 RMK AO2 T10171050", -1.7, -5.0, 30.03 * INCH_OF_MERCURY),
        ("METAR XXXX 241253Z 24008KT 10SM CLR 23/14 A3003 RMK A2992 SLP164", 23.0, 14.0, 30.03 * INCH_OF_MERCURY),
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017 NOSIG", 31.0, 9.0, 101700.0),
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017 TEMPO 4000 TSRA", 31.0, 9.0, 101700.0),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 BECMG 25015KT Q1005", 31.0, 9.0, 101700.0),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 TEMPO Q1005 NOSIG", 31.0, 9.0, 101700.0),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 Q1017", 31.0, 9.0, 101700.0),
    ],
)
def test_reads_the_three_groups(text, celsius, dew_point, qnh):
    report = decode_report(text)
    assert_allclose(report.temperature, celsius + 273.15, atol=1e-9)
    assert_allclose(report.dew_point, dew_point + 273.15, atol=1e-9)
    assert_allclose(report.qnh, qnh, rtol=1e-12)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 Q1017", "no complete temperature and dew-point group"),
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 31/ Q1017", "no complete temperature and dew-point group"),
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 ///// Q1017", "no complete temperature and dew-point group"),
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 31/09", "no pressure group"),
        ("METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q////", "no pressure group"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 BECMG Q1005", "no pressure group"),
        ("METAR XXXX 241200Z 24008KT 10SM CLR 23/14 RMK A3003", "no pressure group"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 A3003", r"2 pressure groups \(A3003, Q1017\): send one"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 Q1018", r"2 pressure groups \(Q1017, Q1018\): send one"),
        ("METAR XXXX 241200Z 24008KT 9999 Q1017 RMK T03110089", "no complete temperature and dew-point group"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 28/09 Q1017", r"2 temperature groups \(28/09, 31/09\): send one"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 RMK T02110089", "remarks of the report give another temperature"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 RMK T03111089", "remarks of the report give another temperature"),
        ("", "no complete temperature and dew-point group"),
        ("hello", "no complete temperature and dew-point group"),
        ("it is warm today and the strip is dry", "no complete temperature and dew-point group"),
        ("METAR XXXX 991299Z 24008KT 9999 31/09 Q1017", "cannot be read"),
        ("METAR XXXX 241200Z 24008KT 9999 ３１/09 Q1017", "plain ASCII"),
        ("METAR XXXX 241200Z 24008KT 9999 31/09 Q1017 " + "X" * 1000, "at most 1,000 characters"),
    ],
)
def test_refuses_by_name_what_it_cannot_use(text, message):
    with pytest.raises(ValueError, match=message):
        decode_report(text)
