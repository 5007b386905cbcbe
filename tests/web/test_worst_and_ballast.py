"""Worst loadings and ballast of a balance, worked out by hand; masses in kg, arms in m unless a row says otherwise."""

import itertools

import pytest

from .asking import ask, pointers, refused, send

SEATS = {"name": "seats", "arm": "0.5 m", "minimum": "60 kg", "capacity": "180 kg"}
FUEL = {"name": "fuel", "arm": "0.7 m", "density": "0.72 kg/L", "capacity": "100 L"}
BAGS = {"name": "bags", "arm": "1.3 m", "capacity": "20 kg"}
BODY = {
    "empty": {"weight": "320 kg", "arm": "0.4 m"},
    "stations": [SEATS, FUEL, BAGS],
    "loading": {"seats": "80 kg", "fuel": "20 L"},
    "maximum_weight": "580 kg",
    "forward": "0.42 m",
    "aft": "0.48 m",
}


def by_hand():
    """Every combination of extremes that weighs 580 kg at most: mass and arm."""
    found = []
    for seats, fuel, bags in itertools.product((60, 180), (0, 72), (0, 20)):
        mass = 320 + seats + fuel + bags
        if mass <= 580:
            found.append(((320 * 0.4 + seats * 0.5 + fuel * 0.7 + bags * 1.3) / mass, mass, (seats, fuel, bags)))
    return sorted(found)


def test_the_worst_loadings_are_those_of_all_combinations(client):
    answer = send(client, "balance", BODY)
    for name, (arm, mass, held) in (("worst_forward", by_hand()[0]), ("worst_aft", by_hand()[-1])):
        assert answer[name]["cg_arm"]["value"] == pytest.approx(arm, rel=1e-12)
        assert answer[name]["weight"]["value"] == pytest.approx(mass, rel=1e-12)
        assert [leaf["value"] for leaf in answer[name]["stations"].values()] == pytest.approx(held)
    assert answer["worst_aft"]["in_limits"] is False
    assert answer["worst_aft"]["cg_margin"]["value"] == pytest.approx(0.48 - by_hand()[-1][0], rel=1e-9)


def test_what_weighs_too_much_is_left_out(client):
    light = send(client, "balance", BODY | {"maximum_weight": "390 kg"})
    assert light["worst_forward"]["weight"]["value"] == pytest.approx(380.0)
    assert light["worst_aft"]["weight"]["value"] == pytest.approx(380.0)
    assert send(client, "balance", BODY | {"maximum_weight": "370 kg"})["worst_aft"] is None


def test_a_station_without_a_capacity_keeps_its_load(client):
    stations = [SEATS, {key: value for key, value in FUEL.items() if key != "capacity"}]
    answer = send(client, "balance", BODY | {"stations": stations})
    assert answer["worst_aft"]["stations"]["fuel"]["value"] == pytest.approx(14.4)


def test_no_station_no_worst_loading(client):
    answer = ask(client, "balance", {"load": "400kg@0.4m"})
    assert answer["worst_forward"] is None
    assert answer["ballast"]["weight"]["value"] is None


def test_the_handbooks_permanent_ballast(client):
    # WB-22, FAA-H-8083-1 (limit, station and answer from memory): 1876 lb at 32.2 in, limit 33.0, station 228: 7.7 lb
    query = {"load": "1876lb@32.2in", "forward": "33.0in", "ballast_arm": "228in", "units": "us"}
    assert ask(client, "balance", query)["ballast"]["weight"]["value"] == pytest.approx(7.7, abs=0.05)


def test_the_question_banks_ballast(client):
    # WB-08, ATPL question bank (seen): 136 kg bring 2222 kg from 6.13 m to 6.28 m when they sit at 8.73 m
    query = {"load": "2222kg@6.13m", "forward": "6.28m", "ballast_weight": "136kg"}
    answer = ask(client, "balance", query)
    assert answer["ballast"]["arm"]["value"] == pytest.approx(8.73, abs=0.01)
    mended = ask(
        client, "balance", {"load": f"2358kg@{(2222 * 6.13 + 136 * answer['ballast']['arm']['value']) / 2358}m"}
    )
    assert mended["cg_arm"]["value"] == pytest.approx(6.28, rel=1e-9)


@pytest.mark.parametrize(
    ("query", "word"),
    [
        ({"forward": "0.35m", "ballast_arm": "1m"}, "inside"),
        ({"forward": "0.45m", "ballast_arm": "0.2m"}, "does not bring"),
        ({"forward": "0.45m", "ballast_arm": "0.45m"}, "does not bring"),
        ({"forward": "0.45m"}, "neither"),
    ],
)
def test_no_ballast_says_why(client, query, word):
    assert word in ask(client, "balance", {"load": "400kg@0.40m"} | query)["ballast"]["weight"]["reason"]


def test_ballast_is_asked_one_way(client):
    query = {"load": "400kg@0.4m", "ballast_arm": "1m", "ballast_weight": "5kg"}
    assert pointers(refused(client.get("/v1/balance", query_string=query), 422)) == ["/ballast_weight"]


def test_the_weight_itself_can_still_be_picked(client):
    assert client.get("/v1/balance?load=400kg@0.4m&pick=weight").text == "400"


def test_both_stand_in_the_table_and_on_paper(client):
    lines = client.post("/v1/balance?format=csv", json=BODY).text.splitlines()
    assert lines[0].startswith("state,")
    assert [line.split(",")[0] for line in lines[1:]] == ["loaded", "with fuel burned", "worst forward", "worst aft"]
    text = " ".join(client.post("/v1/balance?format=text", json=BODY).text.split())
    assert "worst aft:" in text
    assert "bags 20.0 kg" in text
