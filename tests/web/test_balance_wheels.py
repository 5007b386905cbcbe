"""The aeroplane on its wheels: loads on them, tipping, and weighings that cannot have been."""

import csv
import io

import pytest

from .asking import near, pointers, refused, send
from .published.weighings import NOSEWHEEL, TAILWHEEL

NOSE = [
    {"name": "left main", "arm": "0.62 m"},
    {"name": "nose", "arm": "-0.95 m"},
    {"name": "right main", "arm": "0.62 m"},
]
TAIL = [{"name": "left", "arm": "0.1 m"}, {"name": "right", "arm": "0.1 m"}, {"name": "tail", "arm": "4.6 m"}]


def loads(answer):
    return {wheel["name"]: wheel["load"]["value"] for wheel in answer["wheel_loads"]}


def codes(answer):
    return [caution["code"] for caution in answer["cautions"]]


def test_by_hand(client):
    # 500 kg at 0.40: the nosewheel takes 500 x 0.22 / 1.57
    answer = send(client, "balance", {"load": ["450kg@0.35m", "50kg@0.85m"], "wheels": NOSE})
    nose = 500 * 0.22 / 1.57
    found = loads(answer)
    assert list(found) == ["left main", "nose", "right main"]
    assert found["nose"] == pytest.approx(nose)
    assert found["left main"] == found["right main"] == pytest.approx((500 - nose) / 2)
    fractions = [wheel["fraction"]["value"] for wheel in answer["wheel_loads"]]
    assert fractions == pytest.approx([load / 500 for load in found.values()])
    assert "would-tip" not in codes(answer)


@pytest.mark.parametrize("body", [*NOSEWHEEL.values(), TAILWHEEL], ids=[*NOSEWHEEL, "tailwheel"])
def test_the_published_weighings_come_back(client, body):
    """WB-09 to WB-13 turned round: the empty aeroplane's wheels carry what the scales read."""
    answer = send(client, "balance", body, units="us,length:in")
    read = [float(scale["weight"].split()[0]) for scale in body["scales"]]
    assert list(loads(answer).values()) == pytest.approx(read, rel=1e-9)
    (item,) = [item for item in answer["assumed"] if item["where"] == "/wheels"]
    assert item["text"]


def test_the_published_cg_put_in(client):
    # WB-09, FAA-H-8083-1B (seen): CG 13.2 in ahead of the mains, nosewheel 78 in ahead, 2006 lb: 340 lb on it;
    # 0.05 in of CG is 1.3 lb
    wheels = [{"name": "nose", "arm": "-78 in"}, {"name": "l", "arm": "0 in"}, {"name": "r", "arm": "0 in"}]
    answer = send(client, "balance", {"load": ["2006lb@-13.2in"], "wheels": wheels}, units="us")
    assert near(loads(answer)["nose"], 340, 1.3)


def test_wheels_given_beat_the_scales(client):
    scales = [
        {"name": "a", "weight": "140 kg", "arm": "0.1 m"},
        {"name": "b", "weight": "140 kg", "arm": "0.1 m"},
        {"name": "c", "weight": "20 kg", "arm": "4.4 m"},
    ]
    answer = send(client, "balance", {"scales": scales, "wheels": TAIL})
    assert list(loads(answer)) == ["left", "right", "tail"]
    assert "/wheels" not in {item["where"] for item in answer["assumed"]}


@pytest.mark.parametrize(
    ("load", "wheels", "tips"),
    [
        ("500kg@0.61m", NOSE, []),
        ("500kg@0.70m", NOSE, ["nose"]),  # on its tail
        ("500kg@-1.00m", NOSE, ["left main", "right main"]),  # on its nose
        ("400kg@0.05m", TAIL, ["tail"]),  # over its mains
        ("400kg@4.7m", TAIL, ["left", "right"]),
    ],
)
def test_it_tips_when_a_wheel_carries_less_than_nothing(client, load, wheels, tips):
    answer = send(client, "balance", {"load": [load], "wheels": wheels})
    assert [name for name, carried in loads(answer).items() if carried < 0] == tips
    found = [caution for caution in answer["cautions"] if caution["code"] == "would-tip"]
    assert [caution["text"].split("'")[1] for caution in found] == tips
    assert all(caution["severity"] == "warning" and caution["where"] == "/wheels" for caution in found)


def test_spreads_of_the_loads(client):
    body = {
        "empty": {"weight": {"value": 500, "unit": "kg", "plus_minus": 10}, "arm": "0.4 m"},
        "wheels": [
            {"name": "nose", "arm": "-1 m"},
            {"name": "mains", "arm": {"value": 1, "unit": "m", "plus_minus": 0.1}},
        ],
    }
    nose, mains = send(client, "balance", body)["wheel_loads"]
    assert [nose["load"]["value"], mains["load"]["value"]] == pytest.approx([150, 350])
    # central differences by hand: 10 kg give 3 and 7; the mains at 1.1 and 0.9 carry 500 x 1.4 / 2.1 and / 1.9
    wheel = 500 * 1.4 * (1 / 1.9 - 1 / 2.1) / 2
    assert nose["load"]["plus_minus"] == pytest.approx((3**2 + wheel**2) ** 0.5)
    assert mains["load"]["plus_minus"] == pytest.approx((7**2 + wheel**2) ** 0.5)
    assert mains["arm"]["plus_minus"] == pytest.approx(0.1)


@pytest.mark.parametrize(
    "arms", [(0.0, 1.0, 2.0), (0.5, 0.5), (0.5, 0.5, 0.5), (0.0, 0.3, 1.0)], ids=lambda arms: "-".join(map(str, arms))
)
def test_wheels_that_do_not_stand_at_two_arms_are_refused(client, arms):
    wheels = [{"name": f"wheel {i}", "arm": f"{arm} m"} for i, arm in enumerate(arms)]
    document = refused(client.post("/v1/balance", json={"load": ["400kg@0.4m"], "wheels": wheels}), 422)
    assert pointers(document) == ["/wheels"]
    assert "two arms" in document["detail"]


def test_scales_that_do_not_stand_at_two_arms_answer_no_loads(client):
    scales = [{"name": f"{i}", "weight": "100 kg", "arm": f"{i} m"} for i in range(3)]
    answer = send(client, "balance", {"scales": scales})
    assert answer["wheel_loads"] == []
    assert answer["cg_arm"]["value"] == pytest.approx(1.0)
    assert "/wheels" not in {item["where"] for item in answer["assumed"]}


@pytest.mark.parametrize(
    ("layout", "datum"),
    [(layout, datum) for layout in ("nosewheel", "tailwheel") for datum in (-2.0, 0.0, 0.5, 1.5, 3.0)],
)
def test_any_layout_and_any_datum(client, layout, datum):
    # mains at 1 m, third wheel 1.6 m ahead or 4.2 m behind; moving the datum moves every arm alike
    third, reading = (-0.6, 62) if layout == "nosewheel" else (5.2, 24)
    scales = [
        {"name": "left", "weight": "131 kg", "tare": "1 kg", "arm": f"{1 - datum} m"},
        {"name": "right", "weight": "132 kg", "arm": f"{1 - datum} m"},
        {"name": "third", "weight": f"{reading} kg", "arm": f"{third - datum} m"},
    ]
    answer = send(client, "balance", {"scales": scales})
    expected = (262 + reading * third) / (262 + reading) - datum
    assert answer["cg_arm"]["value"] == pytest.approx(expected, abs=1e-12)
    assert list(loads(answer).values()) == pytest.approx([131, 131, reading])
    assert not {"scale-empty", "weighed-at-one-arm", "would-tip"} & set(codes(answer))


def weighed(left="140 kg", right="140 kg", tail="20 kg", tail_arm="4.6 m"):
    return {
        "scales": [
            {"name": "left", "weight": left, "arm": "0.1 m"},
            {"name": "right", "weight": right, "tare": "2 kg", "arm": "0.1 m"},
            {"name": "tail", "weight": tail, "tare": "1 kg", "arm": tail_arm},
        ]
    }


def test_a_wheel_that_carried_nothing_is_doubted(client):
    answer = send(client, "balance", weighed(tail="1 kg"))
    (caution,) = [caution for caution in answer["cautions"] if caution["code"] == "scale-empty"]
    assert caution["where"] == "/scales/2"
    assert caution["severity"] == "warning"
    assert "'tail'" in caution["text"]


def test_a_net_reading_below_nothing_is_refused(client):
    # a CG outside its wheels could only be weighed so
    document = refused(client.post("/v1/balance", json=weighed(tail="0.5 kg")), 422)
    assert pointers(document) == ["/scales/2/tare"]


def test_scales_at_one_arm_are_doubted(client):
    answer = send(client, "balance", weighed(tail_arm="0.1 m"))
    (caution,) = [caution for caution in answer["cautions"] if caution["code"] == "weighed-at-one-arm"]
    assert "0.100 m" in caution["text"]
    assert answer["wheel_loads"] == []


def test_scales_that_carry_nothing_are_refused(client):
    document = refused(client.post("/v1/balance", json=weighed("0 kg", "2 kg", "1 kg")), 422)
    assert pointers(document) == ["/scales"]


def test_they_stand_in_the_table_and_on_paper(client):
    body = {"load": ["500kg@0.4m"], "wheels": NOSE}
    rows = list(csv.DictReader(io.StringIO(client.post("/v1/balance?format=csv", json=body).text, newline="")))
    assert [row["state"] for row in rows] == ["loaded", "wheel: left main", "wheel: nose", "wheel: right main"]
    assert float(rows[2]["wheel_load [kg]"]) == pytest.approx(500 * 0.22 / 1.57)
    page = client.post("/v1/balance?format=text&units=us", json=body).text
    assert "wheel 'nose' carries 154.5 lb, 0.140 of all" in page
