"""An option that breaks a limit: answered in full, and said first."""

import pytest

from .asking import send
from .comparing import ADD, leaves, only, with_changes
from .test_performance import codes


def _heavy(_):
    return [ADD | {"weight": "190 kg", "arm": "0.5 m"}]


def _tail(_):
    return [ADD | {"weight": "25 kg", "arm": "4.5 m"}]


def _burning(body):
    # loaded the CG lies just inside the aft limit; the fuel ahead of it burns away
    body["baseline"]["stations"][3]["arm"] = "-1.0 m"
    body["loadings"] = [{"name": "solo", "stations": {"pilot": "84 kg", "fuel": "60 L"}}]
    return [ADD | {"weight": "22 kg", "arm": "4.5 m"}]


def _never_exceed(body):
    body["baseline"]["speed_limits"] = {"never_exceed": "80 kt"}
    return body["options"][0]["changes"]


def _smooth_air(body):
    body["baseline"]["speed_limits"] = {"never_exceed": "300 kt", "smooth_air": "80 kt"}
    return body["options"][0]["changes"]


def _hub(body):
    body["options"][0]["changes"][0]["engine"]["power_limit"] = "90 hp"
    return body["options"][0]["changes"]


def _mount(body):
    body["baseline"]["engine"]["power_limit"] = "90 hp"
    del body["options"][0]["changes"][0]["engine"]["power_limit"]
    return body["options"][0]["changes"]


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (_heavy, "over-maximum-weight"),
        (_tail, "cg-outside-limits"),
        (_burning, "cg-leaves-limits-as-fuel-burns"),
        (_never_exceed, "faster-than-never-exceed"),
        (_smooth_air, "faster-than-smooth-air-limit"),
        (_hub, "power-above-limit"),
        (_mount, "power-above-limit"),
    ],
)
def test_a_broken_limit_is_answered_in_full_and_said_first(client, given_request, make, code):
    body = given_request("comparison")
    body["options"][0]["changes"] = make(body)
    answer = send(client, "comparison", body)
    option = only(answer)
    assert code in option["exceeded"]
    assert option["cautions"][0]["code"] in option["exceeded"]
    said = codes(option)
    assert set(option["exceeded"]) == {c for c in said if c in option["exceeded"]}
    assert said[: said.index("best-angle-speed-held") if "best-angle-speed-held" in said else None]
    # every broken limit stands before anything else
    ranks = [c in option["exceeded"] for c in said]
    assert ranks == sorted(ranks, reverse=True)
    # the numbers are there all the same
    found = list(leaves(answer))
    assert found
    assert all(leaf["after"]["value"] is not None for _, leaf in found)
    # the baseline keeps the limit
    assert code not in codes(answer)
    # and the printed page says it before the first number
    text = client.post("/v1/comparison?format=text", json=body).text
    before_the_tables = " ".join(text[: text.index("before       after")].split())
    assert "LIMITS EXCEEDED" in before_the_tables
    assert next(c["text"] for c in option["cautions"] if c["code"] == code) in before_the_tables


def test_the_first_caution_carries_its_number(client, given_request):
    body = with_changes(given_request("comparison"), ADD | {"weight": "190 kg", "arm": "0.5 m"})
    first = only(send(client, "comparison", body))["cautions"][0]
    assert first["code"] == "over-maximum-weight"
    weight = 149.5 + 151 + 21.5 + 3.6 + 84 + 5 + 28.8 + 190  # solo
    assert f"{weight:.1f} kg" in first["text"]
    assert f"{weight - 590:.1f} kg" in first["text"]
    assert first["where"] == "/loadings/0"
