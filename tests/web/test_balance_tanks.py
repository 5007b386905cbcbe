"""Several tanks and the order in which they burn, in a balance and in the description of an aeroplane."""

import copy

import pytest

from .asking import pointers, refused, send

MAIN = {"name": "main", "arm": "0.6 m", "density": "0.72 kg/L", "unusable": "1.44 kg"}
AUX = {"name": "aux", "arm": "1.4 m", "density": "0.72 kg/L"}
NOSE = {"name": "nose tank", "arm": "-0.5 m", "density": "0.72 kg/L"}
BODY = {
    "empty": {"weight": "300 kg", "arm": "0.4 m"},
    "stations": [MAIN, {"name": "pilot", "arm": "0.5 m"}, AUX, NOSE],
    "loading": {"main": "50 L", "aux": "20 L", "nose tank": "10 L", "pilot": "80 kg"},
}
# mass that burns, and its arm
BURNS = {"main": (36.0 - 1.44, 0.6), "aux": (14.4, 1.4), "nose tank": (7.2, -0.5)}


@pytest.mark.parametrize(
    ("order", "burned"),
    [
        (None, ["main", "aux", "nose tank"]),
        ([], ["main", "aux", "nose tank"]),
        (["nose tank"], ["nose tank", "main", "aux"]),
        (["aux", "main"], ["aux", "main", "nose tank"]),
        (["nose tank", "aux", "main"], ["nose tank", "aux", "main"]),
    ],
)
def test_the_way_by_hand(client, order, burned):
    body = BODY if order is None else BODY | {"burn_order": order}
    answer = send(client, "balance", body)
    mass, moment = 300 + 80 + 57.6, 120 + 40 + 36 * 0.6 + 14.4 * 1.4 - 7.2 * 0.5
    assert answer["weight"]["value"] == pytest.approx(mass)
    assert [step["burned"] for step in answer["fuel_burn"]] == burned
    for step in answer["fuel_burn"]:
        mass, moment = mass - BURNS[step["burned"]][0], moment - BURNS[step["burned"]][0] * BURNS[step["burned"]][1]
        assert step["weight"]["value"] == pytest.approx(mass)
        assert step["cg_arm"]["value"] == pytest.approx(moment / mass)


def test_the_order_decides_whether_it_leaves_its_limits(client):
    # full: 437.6 kg, 198.16 kg m at 0.453; aft tank first pulls it forward, nose tank first lets it go aft
    limits = {"forward": "0.40 m", "aft": "0.463 m"}
    codes = {
        order: {
            caution["code"] for caution in send(client, "balance", BODY | limits | {"burn_order": [order]})["cautions"]
        }
        for order in ("aux", "nose tank")
    }
    assert "cg-leaves-limits-as-fuel-burns" in codes["nose tank"]
    assert "cg-leaves-limits-as-fuel-burns" not in codes["aux"]


def test_an_order_that_was_not_sent_is_listed(client):
    def listed(body):
        return [item["where"] for item in send(client, "balance", body)["assumed"]].count("/burn_order")

    assert listed(BODY) == 1
    assert listed(BODY | {"burn_order": ["aux"]}) == 1
    assert listed(BODY | {"burn_order": ["aux", "main"]}) == 0  # only one is left to follow
    assert listed(BODY | {"loading": {"aux": "20 L", "pilot": "80 kg"}}) == 0


@pytest.mark.parametrize(
    ("order", "pointer", "word"),
    [
        (["axu"], "/burn_order/0", "axu"),
        (["main", "pilot"], "/burn_order/1", "without a density"),
        (["main", "aux", "main"], "/burn_order/2", "there already"),
        ("main", "/burn_order", "list"),
        ([1], "/burn_order/0", "text"),
        ([None], "/burn_order/0", "null"),
    ],
)
def test_refused_by_name(client, order, pointer, word):
    document = refused(client.post("/v1/balance", json=BODY | {"burn_order": order}), 422)
    assert pointers(document) == [pointer]
    assert word in document["errors"][0]["detail"]


def test_a_tank_that_a_change_brings_may_be_named(client):
    change = {"kind": "station", "name": "tip tanks", "station": AUX | {"name": "tips"}}
    body = BODY | {"changes": [change], "burn_order": ["tips"], "loading": BODY["loading"] | {"tips": "5 L"}}
    assert send(client, "balance", body)["fuel_burn"][0]["burned"] == "tips"


def test_a_query_has_no_tanks(client):
    response = client.get("/v1/balance", query_string={"load": "318kg@0.33m", "burn_order": "fuel"})
    assert pointers(refused(response, 422)) == ["/burn_order"]


@pytest.fixture
def two_tanks(given_request):
    """An aeroplane that is inside its limits full and empty; by the nose tank first it goes aft on the way."""
    body = given_request("performance")
    aircraft = body["aircraft"]
    tanks = [station for station in aircraft["stations"] if "density" in station]
    others = [station for station in aircraft["stations"] if "density" not in station]
    front, rear = copy.deepcopy(tanks[0]), copy.deepcopy(tanks[0])
    for tank, name, arm in ((front, "front", "0.4 m"), (rear, "rear", "3.3 m")):
        tank |= {"name": name, "arm": arm, "capacity": "30 L"}
        tank.pop("unusable", None)
    aircraft["stations"] = [*others, front, rear]
    loading = body["loadings"][0]
    held = {name: amount for name, amount in loading["stations"].items() if name in {s["name"] for s in others}}
    body["loadings"] = [{"name": "two tanks", "stations": held | {"front": "30 L", "rear": "30 L"}}]
    body["conditions"] = body["conditions"][:1]
    return body


def test_an_aeroplane_burns_its_tanks_in_its_order(client, two_tanks):
    aircraft = two_tanks["aircraft"]
    aircraft.pop("envelope", None)
    measures = send(client, "performance", two_tanks)["results"][0]["measures"]
    weight, arm = measures["weight"]["value"], measures["cg_arm"]["value"]
    fuel = 30 * 0.72
    rear_gone = (weight * arm - fuel * 3.3) / (weight - fuel)
    front_gone = (weight * arm - fuel * 0.4) / (weight - fuel)
    assert rear_gone < arm < front_gone
    limits = aircraft.setdefault("limits", {})
    limits |= {"forward": f"{rear_gone - 0.01} m", "aft": f"{(arm + front_gone) / 2} m", "maximum_weight": "5000 kg"}
    for order, leaves in ((["front"], True), (["rear"], False), ([], True)):
        aircraft["burn_order"] = order
        answer = send(client, "performance", two_tanks)
        codes = {caution["code"] for caution in answer["cautions"]}
        assert ("cg-leaves-limits-as-fuel-burns" in codes) is leaves, order
        assert ("/aircraft/burn_order" in {item["where"] for item in answer["assumed"]}) is (not order)


def test_an_aeroplane_with_an_unknown_tank_is_refused(client, two_tanks):
    two_tanks["aircraft"]["burn_order"] = ["front", "tips"]
    document = refused(client.post("/v1/performance", json=two_tanks), 422)
    assert pointers(document) == ["/aircraft/burn_order/1"]
    assert "front, rear" in document["detail"]
