"""Worst loadings in an envelope, whose limits move with the weight: by hand, over all combinations."""

import itertools

import pytest

from .asking import send

CORNERS = [(380, 0.10), (440, 0.10), (640, 0.42), (640, 0.46), (380, 0.62)]
PLACES = {"seats": ((60, 180), 0.5), "fuel": ((0, 72), 0.7), "bags": ((0, 20), 1.3), "locker": ((0, 25), -0.6)}
BODY = {
    "empty": {"weight": "330 kg", "arm": "0.33 m"},
    "stations": [
        {"name": "seats", "arm": "0.5 m", "minimum": "60 kg", "capacity": "180 kg"},
        {"name": "fuel", "arm": "0.7 m", "density": "0.72 kg/L", "capacity": "100 L"},
        {"name": "bags", "arm": "1.3 m", "capacity": "20 kg"},
        {"name": "locker", "arm": "-0.6 m", "capacity": "25 kg"},
    ],
    "loading": {"seats": "80 kg"},
    "envelope": [{"weight": f"{w} kg", "arm": f"{a} m"} for w, a in CORNERS],
}


def forward(mass):
    return 0.10 if mass <= 440 else 0.10 + 0.32 * (mass - 440) / 200


def aft(mass):
    return 0.62 - 0.16 * (mass - 380) / 260


def combinations():
    for held in itertools.product(*(ends for ends, _ in PLACES.values())):
        mass = 330 + sum(held)
        moment = 330 * 0.33 + sum(m * arm for m, (_, arm) in zip(held, PLACES.values(), strict=True))
        if mass <= 640:
            yield mass, moment / mass, held


@pytest.mark.parametrize(
    ("name", "room"),
    [("worst_forward", lambda m, x: x - forward(m)), ("worst_aft", lambda m, x: aft(m) - x)],
)
def test_the_worst_has_the_least_room_to_its_own_limit(client, name, room):
    mass, arm, held = min(combinations(), key=lambda one: room(*one[:2]))
    worst = send(client, "balance", BODY)[name]
    assert [leaf["value"] for leaf in worst["stations"].values()] == pytest.approx(held)
    assert worst["weight"]["value"] == pytest.approx(mass)
    assert worst["cg_arm"]["value"] == pytest.approx(arm)
    assert worst["in_limits"] is (min(arm - forward(mass), aft(mass) - arm) >= 0)


def test_it_is_not_the_one_with_the_cg_furthest_forward(client):
    outermost = min(combinations(), key=lambda one: one[1])
    worst = send(client, "balance", BODY)["worst_forward"]
    assert [leaf["value"] for leaf in worst["stations"].values()] != pytest.approx(outermost[2])


def test_nothing_but_empty_stations_is_no_failure(client):
    body = {
        "load": ["0kg@0m"],
        "stations": [{"name": "seat", "arm": "0.5 m", "capacity": "100 kg"}],
        "loading": {"seat": "50 kg"},
    }
    assert send(client, "balance", body)["worst_forward"]["weight"]["value"] == pytest.approx(100)
