"""Properties of the stall speed and of airspeeds through HTTP."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from .asking import ask, send

FLOWN = {"reference_speed": "40 kt", "reference_weight": "500 kg"}


@settings(max_examples=25, deadline=None)
@given(weight=st.floats(50.0, 2400.0), area=st.floats(4.0, 60.0), lift=st.floats(0.8, 3.0))
def test_four_times_the_weight_doubles_the_speed(app, weight, area, lift):
    client = app.test_client()
    wing = {"wing_area": f"{area!r} m2", "maximum_lift_coefficient": lift}
    for known in (FLOWN, wing):
        one, four = (
            send(client, "stall-speed", known | {"weight": f"{factor * weight!r} kg"})["stall_speed_calibrated"]
            for factor in (1, 4)
        )
        assert four["value"] == pytest.approx(2.0 * one["value"], rel=1e-12)


@settings(max_examples=20, deadline=None)
@given(bank=st.floats(0.0, 80.0), gain=st.floats(-0.2, 0.6))
def test_bank_and_lift_gain(app, bank, gain):
    client = app.test_client()
    answer = send(client, "stall-speed", FLOWN | {"weight": "500 kg", "bank": f"{bank!r} deg", "lift_gain": gain})
    load = 1.0 / math.cos(math.radians(bank))
    assert answer["load_factor"]["value"] == pytest.approx(load, rel=1e-12)
    assert answer["stall_speed_calibrated"]["value"] == pytest.approx(40.0 * math.sqrt(load / (1.0 + gain)), rel=1e-9)
    # the approach is flown with wings level
    assert answer["approach_speed_calibrated"]["value"] == pytest.approx(1.3 * 40.0 / math.sqrt(1.0 + gain), rel=1e-9)
    same = send(client, "stall-speed", FLOWN | {"weight": "500 kg", "load_factor": load, "lift_gain": gain})
    assert same["stall_speed_calibrated"]["value"] == pytest.approx(answer["stall_speed_calibrated"]["value"])


@settings(max_examples=20, deadline=None)
@given(altitude=st.floats(-3000.0, 30_000.0))
def test_true_stall_speed_rises_as_the_air_thins(app, altitude):
    client = app.test_client()
    low, high = (
        send(client, "stall-speed", FLOWN | {"weight": "500 kg", "density_altitude": f"{h!r} ft"})["stall_speed_true"]
        for h in (altitude, altitude + 1000.0)
    )
    assert high["value"] > low["value"]


@settings(max_examples=25, deadline=None)
@given(speed=st.floats(20.0, 250.0), altitude=st.floats(-2000.0, 30_000.0), offset=st.floats(-30.0, 30.0))
def test_speeds_there_and_back(app, speed, altitude, offset):
    client = app.test_client()
    air = {"pressure_altitude": f"{altitude!r} ft", "temperature_offset": f"{offset!r} K"}
    first = ask(client, "airspeed", air | {"calibrated": f"{speed!r} kt"})
    for name in ("true", "equivalent"):
        back = send(client, "airspeed", air | {name: first[name]})
        assert back["calibrated"]["value"] == pytest.approx(speed, rel=1e-9)
    back = send(client, "airspeed", air | {"mach": first["mach"]["value"]})
    assert back["calibrated"]["value"] == pytest.approx(speed, rel=1e-9)
    # what presses on the wing: half of density times true airspeed squared
    density = ask(client, "density-altitude", air, units="si")["density"]["value"]
    si = ask(client, "airspeed", air | {"calibrated": f"{speed!r} kt"}, units="si")
    assert si["dynamic_pressure"]["value"] == pytest.approx(0.5 * density * si["true"]["value"] ** 2, rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(elevation=st.floats(-300.0, 8000.0), qnh=st.floats(950.0, 1050.0))
def test_pressure_altitude_there_and_back(app, elevation, qnh):
    client = app.test_client()
    place = {"elevation": f"{elevation!r} m", "qnh": f"{qnh!r} hPa", "oat": "5 C"}
    first = ask(client, "density-altitude", place, units="si")
    again = ask(client, "density-altitude", {"pressure_altitude": f"{first['pressure_altitude']['value']!r} m",
                                             "oat": "5 C"}, units="si")  # fmt: skip
    assert again["station_pressure"]["value"] == pytest.approx(first["station_pressure"]["value"], rel=1e-12)
    assert again["density_altitude"]["value"] == pytest.approx(first["density_altitude"]["value"], rel=1e-9, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(height=st.floats(-3000.0, 20_000.0))
def test_density_altitude_of_standard_air_is_its_altitude(app, height):
    answer = ask(app.test_client(), "atmosphere", {"altitude": f"{height!r} m"}, units="si")
    assert answer["density_altitude"]["value"] == pytest.approx(height, abs=1e-5)
    density = answer["pressure"]["value"] / (287.05287 * answer["temperature"]["value"])
    assert answer["density"]["value"] == pytest.approx(density, rel=1e-9)
