"""The envelope while fuel burns, in its notches, and below its lightest corner; masses in kg, arms in m."""

import pytest

from .asking import send

NOTCHED = [(300, 0.3), (440, 0.3), (445, 0.55), (450, 0.3), (600, 0.3), (600, 0.6), (300, 0.6)]


def corners(points):
    return [{"weight": f"{weight} kg", "arm": f"{arm} m"} for weight, arm in points]


def found(answer, code):
    return [caution["text"] for caution in answer["cautions"] if caution["code"] == code]


def test_a_narrow_notch_in_the_way_is_found(client):
    # at 445 kg 65 kg of fuel are left: (380 * 0.35 + 65 * 0.8) / 445 = 0.4157, ahead of the notch's 0.55
    body = {
        "empty": {"weight": "380 kg", "arm": "0.35 m"},
        "stations": [{"name": "fuel", "arm": "0.8 m", "density": "0.72 kg/L"}],
        "loading": {"fuel": "100 kg"},
        "envelope": corners(NOTCHED),
    }
    answer = send(client, "balance", body)
    assert answer["in_limits"] is True
    assert answer["fuel_burn"][0]["in_limits"] is True
    (text,) = found(answer, "cg-leaves-limits-as-fuel-burns")
    assert "445.0 kg" in text
    assert "0.416 m" in text


def test_a_notch_is_named_by_its_nearest_edge(client):
    # at 445 kg the notch reaches from 0.3 to 0.55; at 447.5 kg its edge lies half way, at 0.425
    answer = send(client, "balance", {"load": ["447.5kg@0.40m"], "envelope": corners(NOTCHED)})
    assert answer["in_limits"] is False
    assert answer["cg_margin"]["value"] == pytest.approx(-0.025, abs=1e-9)
    assert "0.025 m ahead of its limit of 0.425 m" in found(answer, "cg-outside-limits")[0]


def test_below_the_lightest_corner_there_is_no_arm_limit_and_a_caution(client):
    box = corners([(380, 1.84), (540, 1.84), (620, 1.89), (620, 2.03), (380, 2.03)])
    answer = send(client, "balance", {"load": ["300kg@1.9m"], "envelope": box})
    assert answer["in_limits"] is False
    assert answer["cg_margin"]["value"] is None
    assert "no such weight" in answer["cg_margin"]["reason"]
    assert "380.0 kg" in found(answer, "below-envelope")[0]


def test_too_light_is_said_first_of_an_option(client, given_request):
    body = given_request("comparison")
    limits = body["baseline"]["limits"]
    del limits["forward"], limits["aft"]
    body["baseline"]["envelope"] = corners([(500, 0.3), (700, 0.3), (700, 0.7), (500, 0.7)])
    option = send(client, "comparison", body)["options"][0]
    assert option["exceeded"][0] == "below-envelope"
    assert option["cautions"][0]["code"] == "below-envelope"
