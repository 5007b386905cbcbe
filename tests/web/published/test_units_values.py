"""UNT rows: a quantity sent in one unit and read in another, exact by definition unless marked."""

import pytest

from ..asking import ask, near


def _mass(client, text, unit):
    query = {"load": f"{text}@1m"}
    return ask(client, "balance", query, units=f"si,mass:{unit}")["weight"]["value"]


def _length(client, text, unit):
    return ask(client, "balance", {"load": f"1kg@{text}"}, units=f"si,length:{unit}")["cg_arm"]["value"]


def _altitude(client, text, unit):
    return ask(client, "atmosphere", {"altitude": text}, units=f"si,altitude:{unit}")["altitude"]["value"]


def _speed(client, text, unit):
    query = {"true": text, "density_altitude": "0 ft"}
    return ask(client, "airspeed", query, units=f"si,speed:{unit}")["true"]["value"]


def _pressure(client, text, unit):
    query = {"station_pressure": text, "oat": "15 C"}
    return ask(client, "density-altitude", query, units=f"si,pressure:{unit}")["station_pressure"]["value"]


def _temperature(client, text, unit):
    query = {"pressure_altitude": "0 m", "oat": text}
    return ask(client, "density-altitude", query, units=f"si,temperature:{unit}")["temperature"]["value"]


def _power(client, text, unit):
    # At standard sea level all of the rated power is available.
    query = {"power": text, "weight": "1 kg", "power_margin": "1", "density_altitude": "0 ft"}
    return ask(client, "climb-estimate", query, units=f"si,power:{unit}")["power_available"]["value"]


def _litres(client, text, unit):
    # A litre at one kilogram a litre weighs a kilogram.
    assert unit == "L"
    return ask(client, "balance", {"load": f"{text}*1kg/L@1m"}, units="si")["weight"]["value"]


def _litre_density(client, text, unit):
    assert unit == "kg/L"
    return ask(client, "balance", {"load": f"1L*{text}@1m"}, units="si")["weight"]["value"]


def _density(client, text, unit):
    # 1.225 kg/m3 at sea level read in another unit, over itself
    assert text == "1.225 kg/m3"
    return ask(client, "atmosphere", {"altitude": "0 m"}, units=f"si,density:{unit}")["density"]["value"]


# id, how, sent, read in, expected, relative tolerance (1e-12 where exact), source
CASES = [
    ("UNT-01", _length, "1 ft", "m", 0.3048, 1e-12, "1959 yard agreement"),
    ("UNT-01", _length, "1 in", "m", 0.0254, 1e-12, "1959 yard agreement"),
    ("UNT-01", _altitude, "1 mi", "m", 1609.344, 1e-12, "1959 yard agreement"),
    ("UNT-01", _altitude, "1 NM", "m", 1852.0, 1e-12, "1929 nautical mile"),
    ("UNT-01", _altitude, "1 NM", "ft", 6076.1155, 1e-8, "recomputed"),
    ("UNT-02", _speed, "1 kt", "m/s", 0.514444444, 1e-6, "definition"),
    ("UNT-02", _speed, "1 kt", "ft/s", 1.6878099, 1e-6, "definition"),
    ("UNT-02", _speed, "1 kt", "mph", 1.1507794, 1e-6, "definition"),
    ("UNT-02", _speed, "1 mph", "m/s", 0.44704, 1e-12, "definition"),
    ("UNT-02", _speed, "1 ft/min", "m/s", 0.00508, 1e-12, "definition"),
    ("UNT-03", _mass, "1 lb", "kg", 0.45359237, 1e-12, "definition"),
    ("UNT-04", _power, "2 hp", "W", 2 * 745.699872, 1e-9, "definition, 550 ft lbf/s"),
    ("UNT-04", _power, "2 PS", "W", 2 * 735.49875, 1e-12, "definition, 75 kgf m/s"),
    ("UNT-04", _power, "2 PS", "hp", 2 * 0.986320, 1e-6, "definition"),
    ("UNT-05", _litres, "1 US gal", "L", 3.785411784, 1e-12, "definition, 231 in3"),
    ("UNT-05", _litres, "1 imp gal", "L", 4.54609, 1e-12, "UK 1985"),
    ("UNT-05", _litre_density, "1 lb/US gal", "kg/L", 0.11982643, 1e-7, "definition"),
    ("UNT-06", _pressure, "28 inHg", "Pa", 28 * 3386.389, 1e-9, "NIST SP 811"),
    ("UNT-06", _pressure, "1013.25 hPa", "inHg", 29.92125, 2e-7, "NIST SP 811"),
    ("UNT-07", _pressure, "14 psi", "Pa", 14 * 6894.757, 1e-7, "definition"),
    ("UNT-07", _pressure, "2000 lbf/ft2", "Pa", 2000 * 47.88026, 1e-7, "definition"),
    ("UNT-07", _density, "1.225 kg/m3", "slug/ft3", 1.225 / 515.37882, 2e-7, "definition; density to 7 digits"),
    ("UNT-08", _temperature, "59 F", "C", 15.0, 1e-12, "definition"),
    ("UNT-08", _temperature, "59 F", "K", 288.15, 1e-12, "definition"),
    ("UNT-08", _temperature, "288.15 K", "R", 518.67, 1e-12, "definition"),
    ("UNT-08", _temperature, "518.67 R", "F", 59.0, 1e-12, "definition"),
    ("UNT-08", _temperature, "-40 F", "C", -40.0, 1e-12, "definition"),
    ("UNT-08", _temperature, "-40 C", "F", -40.0, 1e-12, "definition"),
]


@pytest.mark.parametrize("case", CASES, ids=[f"{case[0]}-{case[2]}-{case[3]}" for case in CASES])
def test_sent_in_one_unit_and_read_in_another(client, case):
    _, read, sent, unit, expected, relative, source = case
    found = read(client, sent, unit)
    assert near(found, expected, relative * abs(expected)), (found, source)
