"""The record of the empty weight: after the weighing, then line by line, as it is kept on paper."""

import csv
import io

import pytest

from .asking import near, send
from .published.weighings import FIG_4_20, ITEM_LIST

INCHES = "us,length:in"
BODY = {
    "scales": [
        {"name": "left", "weight": "151 kg", "tare": "1 kg", "arm": "0.1 m"},
        {"name": "right", "weight": "150 kg", "arm": "0.1 m"},
        {"name": "tail", "weight": "20 kg", "arm": "4.6 m"},
    ],
    "items": [{"name": "oil", "weight": "3 kg", "arm": "-0.8 m"}],
    "changes": [
        {"kind": "remove", "name": "pump", "weight": "2 kg", "arm": "-0.6 m"},
        {"kind": "move", "name": "battery", "weight": "7 kg", "from_arm": "-0.5 m", "to_arm": "1.9 m"},
        {"kind": "station", "name": "rack", "station": {"name": "rack", "arm": "1.2 m"}},
        {"kind": "add", "name": "radio", "weight": "1.5 kg", "arm": "0.2 m"},
    ],
    "loading": {"rack": "4 kg"},
}
# by hand: name, weight, arm
ENTRIES = [
    ("as weighed", 320.0, (300 * 0.1 + 20 * 4.6) / 320),
    ("oil", 3.0, -0.8),
    ("pump", -2.0, -0.6),
    ("battery", -7.0, -0.5),
    ("battery", 7.0, 1.9),
    ("radio", 1.5, 0.2),
]


def test_every_line_by_hand(client):
    answer = send(client, "balance", BODY)
    mass = moment = 0.0
    record = answer["empty_weight_record"]
    assert [entry["name"] for entry in record] == [name for name, _, _ in ENTRIES]
    for entry, (_, weight, arm) in zip(record, ENTRIES, strict=True):
        mass, moment = mass + weight, moment + weight * arm
        assert entry["weight"]["value"] == pytest.approx(weight)
        assert entry["arm"]["value"] == pytest.approx(arm)
        assert entry["moment"]["value"] == pytest.approx(weight * arm)
        assert entry["running_weight"]["value"] == pytest.approx(mass)
        assert entry["running_arm"]["value"] == pytest.approx(moment / mass)
    # what is loaded is no part of it
    assert answer["weight"]["value"] == pytest.approx(mass + 4.0)


def test_the_published_item_list(client):
    """WB-24, FAA mechanic knowledge-test question (inputs seen, answer memory): 2141 lb, +33.68 in."""
    last = send(client, "balance", ITEM_LIST, units=INCHES)["empty_weight_record"][-1]
    assert last["running_weight"]["value"] == pytest.approx(2141)
    assert near(last["running_arm"]["value"], 33.68, 0.005)


def test_the_published_weighing(client):
    """WB-14, FAA-H-8083-30 ch. 4 fig. 4-20 (inputs seen, result memory): 1502.5 lb net, then 1331.5 lb at +50.1 in."""
    first, fuel, unusable = send(client, "balance", FIG_4_20, units=INCHES)["empty_weight_record"]
    assert first["running_weight"]["value"] == pytest.approx(1502.5)
    assert fuel["weight"]["value"] == pytest.approx(-177.0)
    assert unusable["running_weight"]["value"] == pytest.approx(1331.5)
    assert near(unusable["running_arm"]["value"], 50.1, 0.05)


def test_a_weighing_alone_is_a_record_of_one_line(client):
    (entry,) = send(client, "balance", {"empty": {"weight": "318 kg", "arm": "0.33 m"}})["empty_weight_record"]
    assert entry["name"] == "as weighed"
    assert entry["running_arm"]["value"] == pytest.approx(0.33)


def test_loads_have_no_record(client):
    assert client.get("/v1/balance?load=318kg@0.33m").json["empty_weight_record"] == []
    item = {"name": "oil", "weight": "3 kg", "arm": "-0.8 m"}
    assert send(client, "balance", {"load": ["318kg@0.33m"], "items": [item]})["empty_weight_record"] == []


def test_spreads_run_along(client):
    body = {
        "empty": {"weight": {"value": 300, "unit": "kg", "plus_minus": 3}, "arm": "0.4 m"},
        "items": [{"name": "oil", "weight": {"value": 5, "unit": "kg", "plus_minus": 4}, "arm": "-0.8 m"}],
    }
    first, second = send(client, "balance", body)["empty_weight_record"]
    assert first["running_weight"]["plus_minus"] == pytest.approx(3)
    assert first["arm"]["plus_minus"] == 0
    assert second["running_weight"]["plus_minus"] == pytest.approx(5)  # 3 and 4 at right angles
    assert second["weight"]["plus_minus"] == pytest.approx(4)
    assert second["moment"]["plus_minus"] == pytest.approx(3.2)


def test_all_gone_has_no_arm(client):
    body = {
        "empty": {"weight": "300 kg", "arm": "0.4 m"},
        "changes": [
            {"kind": "remove", "name": "everything", "weight": "300 kg", "arm": "0.4 m"},
            {"kind": "add", "name": "something", "weight": "10 kg", "arm": "0.5 m"},
        ],
    }
    _, gone, something = send(client, "balance", body)["empty_weight_record"]
    assert gone["running_arm"]["value"] is None
    assert gone["running_arm"]["reason"]
    assert something["running_arm"]["value"] == pytest.approx(0.5)


def test_it_stands_in_the_table_and_on_paper(client):
    text = client.post("/v1/balance?format=csv", json=BODY).text
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    lines = [row for row in rows if row["state"].startswith("empty: ")]
    assert [row["state"].removeprefix("empty: ") for row in lines] == [name for name, _, _ in ENTRIES]
    assert [float(row["entry_weight [kg]"]) for row in lines] == pytest.approx([w for _, w, _ in ENTRIES])
    assert float(lines[-1]["weight [kg]"]) == pytest.approx(322.5)
    page = client.post("/v1/balance?format=text", json=BODY).text
    assert "Empty weight record" in page
    assert "pump: -2.0 kg at -0.600 m (moment 1.2 kg m), now 321.0 kg" in page
