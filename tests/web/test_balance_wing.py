"""The mean chord of a tapered or swept wing, in a balance and in the description of an aeroplane."""

import math

import pytest
from scipy.integrate import quad

from .asking import ask, pointers, refused, send

WING = {"root_chord": "1.6 m", "tip_chord": "1.1 m", "leading_edge_sweep": "6 deg", "root_leading_edge_arm": "0.35 m"}


def integrals(span=9.9, root=1.6, tip=1.1, sweep=6.0, arm=0.35):
    """Mean chord and the arm of its leading edge, by integrating along the span."""
    half = span / 2

    def chord(y):
        return root + (tip - root) * y / half

    area = quad(chord, 0, half)[0]
    edge = quad(lambda y: chord(y) * (arm + y * math.tan(math.radians(sweep))), 0, half)[0]
    return quad(lambda y: chord(y) ** 2, 0, half)[0] / area, edge / area


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_the_mean_chord_of_a_swept_wing(client, method):
    fields = {"span": "9.9 m", **WING}
    if method == "GET":
        answer = ask(client, "balance", {"load": "400kg@0.80m", **fields})
    else:
        answer = send(client, "balance", {"load": ["400kg@0.80m"], **fields})
    chord, edge = integrals()
    assert answer["chord"]["value"] == pytest.approx(chord, rel=1e-12)
    assert answer["leading_edge_arm"]["value"] == pytest.approx(edge, rel=1e-12)
    assert answer["cg_chord_fraction"]["value"] == pytest.approx((0.80 - edge) / chord, rel=1e-12)
    assert answer["assumed"] == []


def test_no_sweep_is_listed(client):
    fields = {name: value for name, value in WING.items() if name != "leading_edge_sweep"}
    answer = send(client, "balance", {"load": ["400kg@0.80m"], "span": "9.9 m", **fields})
    (item,) = answer["assumed"]
    assert item["where"] == "/leading_edge_sweep"
    assert item["value"]["value"] == 0.0
    assert answer["leading_edge_arm"]["value"] == pytest.approx(0.35)
    assert answer["chord"]["value"] == pytest.approx(integrals(sweep=0.0)[0])


def test_a_chord_that_is_given_is_answered_as_it_is(client):
    answer = ask(client, "balance", {"load": "400kg@0.45m", "chord": "1.35m", "leading_edge_arm": "0m"})
    assert (answer["chord"]["value"], answer["leading_edge_arm"]["value"]) == (1.35, 0.0)
    nothing = ask(client, "balance", {"load": "400kg@0.45m"})
    assert nothing["chord"]["value"] is nothing["leading_edge_arm"]["value"] is None
    assert nothing["chord"]["reason"]


def test_the_answer_can_be_sent_back(client):
    answer = send(client, "balance", {"load": ["400kg@0.80m"], "span": "9.9 m", **WING})
    again = {"load": ["400kg@0.80m"], "chord": answer["chord"], "leading_edge_arm": answer["leading_edge_arm"]}
    assert send(client, "balance", again)["cg_chord_fraction"] == answer["cg_chord_fraction"]


def test_spreads_go_through_chord_and_leading_edge_together(client):
    root = {"value": 1.6, "unit": "m", "plus_minus": 0.05}
    answer = send(client, "balance", {"load": ["400kg@0.80m"], "span": "9.9 m", **WING, "root_chord": root})

    def fraction(value):
        chord, edge = integrals(root=value)
        return (0.80 - edge) / chord

    expected = abs(fraction(1.65) - fraction(1.55)) / 2
    assert answer["cg_chord_fraction"]["plus_minus"] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("fields", "pointer"),
    [
        ({"chord": "1.35 m", "leading_edge_arm": "0 m"}, "/chord"),
        ({"root_chord": None}, "/root_chord"),
        ({"tip_chord": None}, "/tip_chord"),
        ({"root_leading_edge_arm": None}, "/root_leading_edge_arm"),
        ({"span": None}, "/span"),
        ({"root_chord": "0 m"}, "/root_chord"),
        ({"tip_chord": "-1 m"}, "/tip_chord"),
        ({"leading_edge_sweep": "80 deg"}, "/leading_edge_sweep"),
    ],
)
def test_refused_by_name(client, fields, pointer):
    whole = {"load": ["400kg@0.80m"], "span": "9.9 m", **WING} | fields
    body = {name: value for name, value in whole.items() if value is not None}
    assert pointers(refused(client.post("/v1/balance", json=body), 422)) == [pointer]


def aeroplane(given_request, wing):
    body = given_request("performance")
    body["conditions"] = body["conditions"][:1]
    body["aircraft"]["wing"] = {"area": "11.8 m2", "span": "9.9 m", **wing}
    return body


def test_an_aeroplane_with_a_tapered_wing(client, given_request):
    chord, edge = integrals(arm=1.4)
    tapered = aeroplane(given_request, WING | {"root_leading_edge_arm": "1.4 m"})
    plain = aeroplane(given_request, {"chord": f"{chord!r} m", "leading_edge_arm": f"{edge!r} m"})
    one, other = (send(client, "performance", body)["results"][0]["measures"] for body in (tapered, plain))
    assert one["cg_chord_fraction"]["value"] == pytest.approx(other["cg_chord_fraction"]["value"], rel=1e-9)
    assert one["stall_speed_calibrated"]["value"] == pytest.approx(other["stall_speed_calibrated"]["value"], rel=1e-9)


def test_an_uncertain_tapered_wing(client, given_request):
    root = {"value": 1.6, "unit": "m", "plus_minus": 0.05}
    body = aeroplane(given_request, WING | {"root_leading_edge_arm": "1.4 m", "root_chord": root})
    answer = send(client, "performance", body)
    measures = answer["results"][0]["measures"]
    arm = measures["cg_arm"]["value"]

    def fraction(value):
        chord, edge = integrals(root=value, arm=1.4)
        return (arm - edge) / chord

    assert measures["cg_chord_fraction"]["value"] == pytest.approx(fraction(1.6), rel=1e-9)
    spread = abs(fraction(1.65) - fraction(1.55)) / 2
    own = measures["cg_arm"].get("plus_minus", 0.0) / integrals()[0]
    assert measures["cg_chord_fraction"]["plus_minus"] == pytest.approx(math.hypot(spread, own), rel=1e-6)
    assert "/aircraft/wing/chord" not in {item["where"] for item in answer["assumed"]}


def test_an_aeroplanes_sweep_is_listed(client, given_request):
    wing = {name: value for name, value in WING.items() if name != "leading_edge_sweep"}
    answer = send(client, "performance", aeroplane(given_request, wing | {"root_leading_edge_arm": "1.4 m"}))
    (item,) = [item for item in answer["assumed"] if item["where"] == "/aircraft/wing/leading_edge_sweep"]
    assert item["value"]["value"] == 0.0


@pytest.mark.parametrize(
    ("wing", "pointer"),
    [
        (WING | {"chord": "1.35 m"}, "/aircraft/wing/chord"),
        (WING | {"leading_edge_arm": "0 m"}, "/aircraft/wing/leading_edge_arm"),
        ({"root_chord": "1.6 m"}, "/aircraft/wing/tip_chord"),
        ({"leading_edge_sweep": "2 deg"}, "/aircraft/wing/root_chord"),
    ],
)
def test_an_aeroplanes_wing_is_refused_by_name(client, given_request, wing, pointer):
    body = aeroplane(given_request, wing)
    assert pointers(refused(client.post("/v1/performance", json=body), 422)) == [pointer]


def test_a_new_mean_chord_beats_the_tapered_wing(client, given_request):
    body = given_request("comparison")
    body["conditions"], body["loadings"] = body["conditions"][:1], body["loadings"][:1]
    wing = {name: body["baseline"]["wing"][name] for name in ("area", "span")}
    body["baseline"]["wing"] = wing | WING
    change = {"kind": "wing", "name": "new ribs", "chord": "1.50 m", "leading_edge_arm": "0.20 m"}
    body["options"] = [{"name": "ribs", "changes": [change]}]
    measures = send(client, "comparison", body)["options"][0]["results"][0]["measures"]
    arm = measures["cg_arm"]["after"]["value"]
    assert measures["cg_chord_fraction"]["after"]["value"] == pytest.approx((arm - 0.20) / 1.50, rel=1e-9)
