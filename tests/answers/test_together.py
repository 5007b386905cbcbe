"""Many aeroplanes, loadings and conditions in one call answer what each would alone, to the last digits."""

import copy
import itertools

import pytest
from numpy.testing import assert_allclose

from climbwright.web.openapi import read_example


def leaves(node, where=""):
    """Every quantity of an answer by its place."""
    if isinstance(node, dict) and "value" in node:
        yield where, node
    elif isinstance(node, dict):
        for name, inner in node.items():
            yield from leaves(inner, f"{where}/{name}")


def certain(node):
    if isinstance(node, dict):
        return {name: certain(value) for name, value in node.items() if name != "plus_minus"}
    return [certain(item) for item in node] if isinstance(node, list) else node


def question():
    """Three options of two kinds of propeller, one with a tank of its own; three loadings; four conditions."""
    body = read_example("comparison")
    textbook = {
        "kind": "propeller",
        "name": "textbook propeller",
        "propeller": {"kind": "constant-efficiency", "efficiency": 0.7},
        "removed": {"weight": "11 kg", "arm": "-1.1 m"},
        "fitted": {"weight": "9 kg", "arm": "-1.1 m"},
    }
    tank = {"kind": "station", "name": "t", "station": {"name": "aux", "arm": "0.9 m", "density": "0.72 kg/L"}}
    wing = {"kind": "wing", "name": "w", "span": "11 m", "area": "15.5 m2"}
    body["options"] += [{"name": "two", "changes": [textbook, tank]}, {"name": "three", "changes": [wing]}]
    body["loadings"].append({"name": "ferry", "stations": {"pilot": "90 kg", "fuel": "30 L", "aux": "20 L"}})
    body["conditions"] += [
        {"name": "high", "density_altitude": "13000 ft"},
        {"name": "cold", "pressure_altitude": "-500 ft", "oat": "-20 C", "headwind": "-8 kt"},
    ]
    return body


@pytest.mark.parametrize("spreads", [True, False])
def test_each_alone_answers_the_same(client, spreads):
    body = question() if spreads else certain(question())
    whole = client.post("/v1/comparison", json=body).json
    seen = 0
    for k, i, j in itertools.product(range(3), range(3), range(4)):
        alone = copy.deepcopy(body)
        alone["options"], alone["loadings"], alone["conditions"] = (
            [body[name][place]] for name, place in (("options", k), ("loadings", i), ("conditions", j))
        )
        response = client.post("/v1/comparison", json=alone)
        if "aux" in body["loadings"][i]["stations"] and k != 1:
            assert response.status_code == 422  # alone, no aeroplane has the tank
            continue
        (single,) = response.json["options"][0]["results"]
        together = whole["options"][k]["results"][4 * i + j]
        for (place, one), (same_place, other) in zip(leaves(single), leaves(together), strict=True):
            assert place == same_place
            assert one.keys() == other.keys()
            assert one.get("reason") == other.get("reason")
            for name in {"value", "plus_minus"} & one.keys():
                if one[name] is not None:
                    assert_allclose(other[name], one[name], rtol=1e-12, atol=1e-12)
                    seen += 1
    assert seen > 1000


def test_the_order_of_changes_does_not_matter(client):
    body = certain(question())
    turned = copy.deepcopy(body)
    for option in turned["options"]:
        option["changes"].reverse()
    one, other = (client.post("/v1/comparison", json=b).json["options"] for b in (body, turned))
    for a, b in zip(one, other, strict=True):
        for result, same in zip(a["results"], b["results"], strict=True):
            for (_, x), (_, y) in zip(leaves(result["measures"]), leaves(same["measures"]), strict=True):
                if x["value"] is not None:
                    assert_allclose(y["value"], x["value"], rtol=1e-11, atol=1e-11)
