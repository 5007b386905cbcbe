"""Ballast for an envelope, where the added weight moves the limit, and ballast that would make it too heavy."""

import pytest

from .asking import send

CORNERS = [(320, 0.34), (450, 0.34), (560, 0.42), (560, 0.46), (440, 0.49), (320, 0.49)]
ENVELOPE = [{"weight": f"{w} kg", "arm": f"{a} m"} for w, a in CORNERS]


def asked(client, weight, arm, **more):
    return send(client, "balance", {"load": [f"{weight!r}kg@{arm!r}m"], "envelope": ENVELOPE} | more)


def inside(client, weight, arm, ballast, place):
    body = {"load": [f"{weight!r}kg@{arm!r}m", f"{ballast!r}kg@{place!r}m"], "envelope": ENVELOPE}
    return send(client, "balance", body)["in_limits"]


@pytest.mark.parametrize(
    ("weight", "arm", "place"),
    [
        (500.0, 0.36, 2.0),  # ahead of the slope, which moves aft under it
        (470.0, 0.345, 1.0),
        (480.0, 0.50, -0.8),  # behind the aft slope
        (340.0, 0.51, -1.0),
        (300.0, 0.40, 0.5),  # too light for the envelope
    ],
)
def test_the_least_ballast_at_an_arm(client, weight, arm, place):
    answer = asked(client, weight, arm, ballast_arm=f"{place} m")
    assert answer["in_limits"] is False
    ballast = answer["ballast"]["weight"]["value"]
    assert answer["ballast"]["arm"]["value"] == pytest.approx(place)
    assert inside(client, weight, arm, ballast + 1e-6, place)
    assert not inside(client, weight, arm, ballast - 1e-6, place)


def test_by_hand_on_the_slope(client):
    # 500 kg at 0.36 and b kg at 2.0, y = 500 + b in all, meet the edge where 180 + 2 b = y (0.34 + slope (y - 450))
    slope = 0.08 / 110
    # slope y^2 + (0.34 - 450 slope - 2) y + 820 = 0
    a, b, c = slope, 0.34 - 450 * slope - 2.0, 820.0
    expected = (-b - (b * b - 4 * a * c) ** 0.5) / (2 * a) - 500
    found = asked(client, 500.0, 0.36, ballast_arm="2 m")["ballast"]["weight"]["value"]
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("weight", "arm", "ballast", "side"),
    [(500.0, 0.36, 12.0, 1), (480.0, 0.50, 9.0, -1), (340.0, 0.51, 20.0, -1), (440.0, 0.33, 15.0, 1)],
)
def test_the_arm_for_ballast_of_a_weight(client, weight, arm, ballast, side):
    answer = asked(client, weight, arm, ballast_weight=f"{ballast} kg")
    place = answer["ballast"]["arm"]["value"]
    assert inside(client, weight, arm, ballast, place + side * 1e-6)
    assert not inside(client, weight, arm, ballast, place - side * 1e-6)


def test_ballast_may_be_all_that_is_missing(client):
    # 300 kg at 0.40 lie below the envelope; 30 kg anywhere near lift it in, at the CG to begin with
    answer = asked(client, 300.0, 0.40, ballast_weight="30 kg")
    assert answer["ballast"]["arm"]["value"] == pytest.approx(0.40)


@pytest.mark.parametrize(
    ("weight", "arm", "more", "word"),
    [
        (400.0, 0.40, {"ballast_arm": "1 m"}, "inside its limits"),
        (500.0, 0.36, {"ballast_arm": "0.2 m"}, "does not bring"),
        (540.0, 0.36, {"ballast_arm": "0.6 m"}, "does not bring"),  # it would be too heavy first
        (580.0, 0.44, {"ballast_arm": "0.4 m"}, "does not bring"),
        (540.0, 0.36, {"ballast_weight": "25 kg"}, "heavier or lighter"),
        (280.0, 0.40, {"ballast_weight": "5 kg"}, "heavier or lighter"),
        (500.0, 0.36, {}, "neither"),
    ],
)
def test_no_ballast_says_why(client, weight, arm, more, word):
    ballast = asked(client, weight, arm, **more)["ballast"]
    assert ballast["weight"]["value"] is ballast["arm"]["value"] is None
    assert word in ballast["weight"]["reason"]


@pytest.mark.parametrize("more", [{"ballast_arm": "0.6 m"}, {"ballast_weight": "20 kg"}])
def test_the_greatest_weight_bounds_it_between_plain_limits_too(client, more):
    body = {"load": ["490kg@0.36m"], "forward": "0.40 m", "maximum_weight": "500 kg"}
    ballast = send(client, "balance", body | more)["ballast"]
    assert ballast["weight"]["value"] is None
    assert ballast["weight"]["reason"]
    roomy = send(client, "balance", body | more | {"maximum_weight": "900 kg"})["ballast"]
    assert roomy["weight"]["value"] > 0
