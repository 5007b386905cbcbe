"""spread=sampled on the operations about an aeroplane: against the linear spreads of what is nearly linear."""

import pytest

from .asking import refused, send

KILOGRAMS = {"value": 150.5, "unit": "kg", "plus_minus": 2.0}


def uncertain(example, operation):
    body = example(operation)
    if operation == "balance":
        body["scales"][0]["weight"] = KILOGRAMS
    if operation == "stall-speed":
        body["weight"] = {"value": 500, "unit": "kg", "plus_minus": 10}
    return body


def leaves(node, path=""):
    if isinstance(node, dict):
        if node.get("plus_minus"):
            yield path, node
        for name, item in node.items():
            yield from leaves(item, f"{path}/{name}")
    elif isinstance(node, list):
        for i, item in enumerate(node):
            yield from leaves(item, f"{path}/{i}")


@pytest.mark.parametrize("operation", ["balance", "stall-speed", "climb-estimate", "requirement"])
def test_drawn_spreads_are_nearly_the_linear_ones(client, example, operation):
    body = uncertain(example, operation)
    linear, drawn = (send(client, operation, body, spread=spread) for spread in ("linear", "sampled"))
    found = dict(leaves(drawn))
    checked = 0
    for path, leaf in leaves(linear):
        if path.startswith(("/assumed", "/cautions")) or "margin" in path or "climb_speed" in path:
            continue  # assumed as it was; a kink where the nearest limit changes; a speed held above the stall
        other = found[path]
        assert other["plus_minus"] == pytest.approx(leaf["plus_minus"], rel=0.08, abs=1e-6), path
        assert "percentiles" not in leaf
        if path != "/value":  # the spread of a requirement follows from that of its measure
            low, middle, high = (other["percentiles"][name] for name in ("5", "50", "95"))
            assert low < middle < high
            assert middle == pytest.approx(leaf["value"], abs=0.15 * leaf["plus_minus"])
            assert (high - low) / 2.0 == pytest.approx(1.645 * leaf["plus_minus"], rel=0.10)
        checked += 1
    assert checked >= 2
    assert linear.keys() == drawn.keys()


@pytest.mark.parametrize("operation", ["atmosphere", "density-altitude", "airspeed", "position-error", "calibration"])
def test_others_refuse_it(client, example, operation):
    response = client.post(f"/v1/{operation}?spread=sampled", json=example(operation))
    assert refused(response, 422)["errors"][0]["pointer"] == "/spread"
    assert send(client, operation, example(operation), spread="linear")


def test_as_text_the_range_stands_beside_it(client, example):
    text = client.post("/v1/stall-speed?format=text&spread=sampled", json=uncertain(example, "stall-speed")).text
    assert "nine of ten from" in text


def test_a_spread_is_the_same_whatever_is_asked_beside_it(client, example):
    """Of every measure alone and among all; drawn ones too, for every number has its own row of draws."""
    request = example("performance")
    request["measures"] = ["all"]
    whole = send(client, "performance", request)["results"]
    drawn = 0
    for measure in whole[0]["measures"]:
        alone = send(client, "performance", request | {"measures": [measure]})["results"]
        for one, scene in zip(alone, whole, strict=True):
            assert one["measures"][measure] == scene["measures"][measure], measure
            drawn += "percentiles" in str(scene["measures"][measure])
    assert drawn > 5


def test_a_cell_of_a_measure_shows_the_value_of_the_whole_answer(client, example):
    """A cell is answered without drawing; a pointer to a spread is answered with it."""
    request = example("performance")
    request["conditions"] = request["conditions"][:1]
    measures = send(client, "performance", request)["results"][0]["measures"]
    for measure, leaf in measures.items():
        if leaf.get("value") is not None:
            picked = client.post("/v1/performance", json=request, query_string={"pick": measure}).text
            assert float(picked) == pytest.approx(leaf["value"], rel=5e-6, abs=1e-12), measure
        if "percentiles" in leaf:
            where = f"/results/0/measures/{measure}/plus_minus"
            picked = client.post("/v1/performance", json=request, query_string={"pick": where}).text
            assert float(picked) == pytest.approx(leaf["plus_minus"], rel=5e-6), measure
