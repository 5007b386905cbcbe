"""Least and greatest weight in one station for each state of the fuel, by hand and by sending it back."""

import csv
import io

import pytest

from .asking import pointers, refused, send

BODY = {
    "empty": {"weight": "320 kg", "arm": "0.47 m"},
    "stations": [
        {"name": "pilot", "arm": "0.30 m"},
        {"name": "fuel", "arm": "0.60 m", "density": "0.72 kg/L", "capacity": "100 L", "unusable": "5 L"},
        {"name": "bags", "arm": "1.30 m"},
    ],
    "loading": {"pilot": "80 kg", "fuel": "50 L", "bags": "10 kg"},
    "pilot_station": "pilot",
    "maximum_weight": "560 kg",
    "forward": "0.40 m",
    "aft": "0.47 m",
}
ENVELOPE = [(320, 0.34), (450, 0.34), (560, 0.42), (560, 0.46), (440, 0.49), (320, 0.49)]
FUEL = {"as loaded": 36.0, "full": 72.0, "unusable": 3.6}


def with_envelope(body):
    plain = {name: value for name, value in body.items() if name not in ("forward", "aft")}
    return plain | {"envelope": [{"weight": f"{w} kg", "arm": f"{a} m"} for w, a in ENVELOPE]}


def ranges(answer):
    return {
        state["fuel"]: tuple(state[end]["value"] for end in ("least", "greatest")) for state in answer["pilot_weights"]
    }


def by_hand(fuel):
    """The pilot must bring the CG ahead of 0.47 and not ahead of 0.40, and not above 560 kg."""
    mass, moment = 320 + fuel + 10, 320 * 0.47 + fuel * 0.60 + 13
    least = (moment - 0.47 * mass) / (0.47 - 0.30)
    most = (moment - 0.40 * mass) / (0.40 - 0.30)
    return max(least, 0.0), min(most, 560 - mass)


def test_between_plain_limits_by_hand(client):
    found = ranges(send(client, "balance", BODY))
    assert list(found) == list(FUEL)
    for state, fuel in FUEL.items():
        assert found[state] == pytest.approx(by_hand(fuel), rel=1e-12)
    assert found["as loaded"][0] > 0


def shown_inside(client, body, fuel, pilot):
    loading = body["loading"] | {"pilot": f"{pilot!r} kg", "fuel": f"{fuel} kg"}
    return send(client, "balance", body | {"loading": loading})["in_limits"]


@pytest.mark.parametrize("body", [BODY, with_envelope(BODY)], ids=["plain", "envelope"])
@pytest.mark.parametrize("fuel", FUEL)
def test_just_inside_is_inside_and_just_outside_is_not(client, body, fuel):
    least, greatest = ranges(send(client, "balance", body))[fuel]
    assert 0.0 < least < greatest
    assert shown_inside(client, body, FUEL[fuel], least + 1e-4)
    assert shown_inside(client, body, FUEL[fuel], (least + greatest) / 2)
    assert shown_inside(client, body, FUEL[fuel], greatest - 1e-4)
    assert not shown_inside(client, body, FUEL[fuel], least - 1e-4)
    assert not shown_inside(client, body, FUEL[fuel], greatest + 1e-4)


def test_what_the_pilot_weighs_now_does_not_matter(client):
    loaded = BODY["loading"]
    for other in (loaded | {"pilot": "0 kg"}, {"fuel": "50 L", "bags": "10 kg"}):
        assert ranges(send(client, "balance", BODY | {"loading": other})) == ranges(send(client, "balance", BODY))


def test_the_stations_own_minimum_and_capacity_bound_it(client):
    seat = BODY["stations"][0] | {"minimum": "75 kg", "capacity": "110 kg"}
    body = BODY | {"stations": [seat, *BODY["stations"][1:]]}
    for state, fuel in FUEL.items():
        least, most = by_hand(fuel)
        assert ranges(send(client, "balance", body))[state] == pytest.approx((max(least, 75.0), min(most, 110.0)))


def test_no_weight_does(client):
    answer = send(client, "balance", BODY | {"maximum_weight": "330 kg"})
    for state in answer["pilot_weights"]:
        for end in ("least", "greatest"):
            assert state[end]["value"] is None
            assert "no weight in that station" in state[end]["reason"]


def test_nothing_limits_it_upwards(client):
    body = {name: value for name, value in BODY.items() if name not in ("maximum_weight", "forward")}
    state = send(client, "balance", body)["pilot_weights"][0]
    assert state["least"]["value"] == pytest.approx(by_hand(36.0)[0])
    assert state["greatest"]["value"] is None
    assert "nothing limits it" in state["greatest"]["reason"]


def test_without_limits_there_is_a_reason(client):
    body = {name: value for name, value in BODY.items() if name not in ("maximum_weight", "forward", "aft")}
    for state in send(client, "balance", body)["pilot_weights"]:
        assert state["least"]["value"] is state["greatest"]["value"] is None
        assert state["least"]["reason"] == "no limits were given"


def test_a_tank_without_a_capacity_is_never_full(client):
    tank = {name: value for name, value in BODY["stations"][1].items() if name != "capacity"}
    answer = send(client, "balance", BODY | {"stations": [BODY["stations"][0], tank, BODY["stations"][2]]})
    full = answer["pilot_weights"][1]
    assert full["least"]["value"] is None
    assert "capacity of a tank" in full["least"]["reason"]
    assert ranges(answer)["unusable"] == pytest.approx(by_hand(3.6))


def test_without_a_tank_there_is_one_state(client):
    body = BODY | {"stations": [BODY["stations"][0], BODY["stations"][2]], "loading": {"bags": "10 kg"}}
    assert list(ranges(send(client, "balance", body))) == ["as loaded"]


def test_not_asked_not_answered(client):
    body = {name: value for name, value in BODY.items() if name != "pilot_station"}
    assert send(client, "balance", body)["pilot_weights"] == []
    assert client.get("/v1/balance?load=318kg@0.33m").json["pilot_weights"] == []


@pytest.mark.parametrize("name", ["plain", "envelope"])
def test_spreads_are_those_of_requests_one_standard_deviation_apart(client, name):
    body = BODY if name == "plain" else with_envelope(BODY)

    def asked(weight, arm):
        return ranges(send(client, "balance", body | {"empty": {"weight": weight, "arm": arm}}))

    weight = {"value": 320, "unit": "kg", "plus_minus": 2}
    arm = {"value": 0.47, "unit": "m", "plus_minus": 0.003}
    sure = asked("320 kg", "0.47 m")
    heavy, light = asked("322 kg", "0.47 m"), asked("318 kg", "0.47 m")
    behind, ahead = asked("320 kg", "0.473 m"), asked("320 kg", "0.467 m")
    for state in send(client, "balance", body | {"empty": {"weight": weight, "arm": arm}})["pilot_weights"]:
        for k, end in enumerate(("least", "greatest")):
            fuel = state["fuel"]
            steps = [(up[fuel][k] - down[fuel][k]) / 2 for up, down in ((heavy, light), (behind, ahead))]
            assert state[end]["value"] == pytest.approx(sure[fuel][k])
            assert state[end]["plus_minus"] == pytest.approx(sum(step**2 for step in steps) ** 0.5, rel=1e-6)


@pytest.mark.parametrize(
    ("name", "word"), [("pilto", "is not a station"), ("fuel", "is a tank"), ("", "1 to"), (7, "text")]
)
def test_refused_by_name(client, name, word):
    document = refused(client.post("/v1/balance", json=BODY | {"pilot_station": name}), 422)
    assert pointers(document) == ["/pilot_station"]
    assert word in document["detail"]


def test_it_stands_in_the_table_and_on_paper(client):
    rows = list(csv.DictReader(io.StringIO(client.post("/v1/balance?format=csv", json=BODY).text, newline="")))
    lines = [row for row in rows if row["state"].startswith("pilot: ")]
    assert [row["state"] for row in lines] == [
        "pilot: fuel as loaded", "pilot: tanks full", "pilot: only unusable fuel",
    ]  # fmt: skip
    for row, fuel in zip(lines, FUEL.values(), strict=True):
        cells = [float(row[f"{end}_weight [kg]"]) for end in ("least", "greatest")]
        assert cells == pytest.approx(by_hand(fuel))
    page = client.post("/v1/balance?format=text", json=BODY).text
    least, greatest = by_hand(72.0)
    assert f"pilot's weight, tanks full: {least:.1f} kg to {greatest:.1f} kg" in page
    none = client.post("/v1/balance?format=text", json=BODY | {"maximum_weight": "330 kg"}).text
    assert "pilot's weight, tanks full: none: no weight in that station" in none
