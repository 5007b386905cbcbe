"""What is printed: digits, signs, labels and reasons as a pilot reads them."""

import re

from .asking import send


def printed(client, operation, body, **options):
    response = client.post(f"/v1/{operation}", json=body, query_string={"format": "text", **options})
    assert response.status_code == 200
    return response.text


def numbers(text, label):
    """The first number of every line that begins with a label."""
    return re.findall(rf"^ *{re.escape(label)}\S* +(?:\S+ +)?(-?[0-9.]+)", text, re.M)


def test_limits_in_feet_keep_their_thousandths(client):
    # 0.35 m and 0.6 m are 1.148 and 1.969 ft
    text = printed(client, "balance", {"load": ["400kg@0.5m"], "forward": "0.35 m", "aft": "0.60 m"}, units="us")
    assert "1.148 ft" in text
    assert "1.969 ft" in text


def test_altitudes_in_metres_have_no_decimals(client, given_request):
    text = printed(client, "performance", given_request("performance"), units="metric")
    assert numbers(text, "service ceiling")
    assert all("." not in number for number in numbers(text, "service ceiling, 100 ft/min"))
    assert "altitude                  1829 m" in printed(
        client, "atmosphere", {"altitude": "6000 ft"}, units="si"
    ).replace("altitude                           ", "altitude                  ")


def test_a_certain_number_prints_no_spread(client, given_request):
    body = given_request("performance")
    text = printed(client, "performance", body)
    assert not re.search(r"\+/- 0\.?0*\s*$", text, re.M)
    (line,) = [line for line in text.splitlines() if line.startswith("  weight")][:1]
    assert "+/-" not in line


def test_a_long_configuration_is_printed_whole(client, given_request):
    body = given_request("performance")
    name = "take-off flap with a very long name of its own, second notch"
    body["aircraft"]["stalls"].append({"configuration": name, "maximum_lift_coefficient": 1.7})
    text = " ".join(printed(client, "performance", body).split())
    assert f"stall, {name}" in text


def test_a_none_says_why(client, given_request):
    body = given_request("performance")
    body["aircraft"]["engine"]["power"] = "20 hp"
    text = " ".join(printed(client, "performance", body).split())
    assert "none: level flight cannot be held at any speed above the stall" in text


def test_what_was_broken_before_is_told_apart(client, given_request):
    body = given_request("comparison")
    body["baseline"]["limits"]["maximum_weight"] = "500 kg"  # two-up is heavier with and without the change
    body["options"] = [{"name": "generators", "changes": [{"kind": "lift", "name": "v", "maximum_lift_gain": 0.1}]}]
    option = send(client, "comparison", body)["options"][0]
    assert option["exceeded"] == option["exceeded_before"] == ["over-maximum-weight"]
    assert "exceeded before the change too" in printed(client, "comparison", body)
    body["baseline"]["limits"]["maximum_weight"] = "590 kg"
    heavy = {"kind": "add", "name": "ballast", "weight": "90 kg", "arm": "0.5 m"}
    option = send(client, "comparison", body | {"options": [{"name": "heavy", "changes": [heavy]}]})["options"][0]
    assert option["exceeded"] == ["over-maximum-weight"]
    assert option["exceeded_before"] == []


def test_the_row_of_a_loading_names_only_its_own_limits(client, given_request):
    body = given_request("comparison")
    body["baseline"]["limits"]["maximum_weight"] = "500 kg"
    lines = client.post("/v1/comparison?format=csv", json=body).text.splitlines()
    place = lines[0].split(",").index("exceeded")
    found = {line.split(",")[1]: line.split(",")[place] for line in lines[1:]}
    assert found == {"solo": "", "two-up": "over-maximum-weight"}


def test_the_worst_condition_is_named_and_the_others_counted(client, given_request):
    body = given_request("performance")
    body["aircraft"]["engine"]["power"] = "20 hp"
    body["conditions"] = [{"name": f"{h} ft", "density_altitude": f"{h} ft"} for h in (0, 9000, 4000)]
    answer = send(client, "performance", body)
    for code in ("no-climb", "no-level-flight"):
        texts = [c["text"] for c in answer["cautions"] if c["code"] == code]
        assert texts
        assert all("9000 ft (the worst of 3 such conditions)" in text for text in texts)


def test_a_marked_limit_is_named_as_it_is_marked(client, given_request):
    body = given_request("performance")
    aircraft = body["aircraft"]
    aircraft["airspeed_correction"] = [
        {"indicated": "30 kt", "calibrated": "36 kt"},
        {"indicated": "60 kt", "calibrated": "60 kt"},
        {"indicated": "140 kt", "calibrated": "132 kt"},
    ]
    aircraft["speed_limits"] = {"never_exceed": "70 kt"}  # 60 + 10 / 80 * 72 = 69 kt calibrated
    text = next(
        c["text"] for c in send(client, "performance", body)["cautions"] if c["code"] == "faster-than-never-exceed"
    )
    assert "70.0 kt indicated (69.0 kt calibrated)" in text


def test_a_gain_within_its_spread_has_no_price(client, given_request):
    body = given_request("comparison")
    paint = {"kind": "drag", "name": "fairing", "cost": "100 EUR"}
    paint["parasite_area_change"] = {"value": -0.01, "unit": "m2", "plus_minus": 0.05}
    body["options"] = [{"name": "fairing", "changes": [paint]}]
    result = send(client, "comparison", body)["options"][0]["results"][0]
    assert result["measures"]["best_climb_rate"]["change"]["value"] > 0
    assert result["cost_per_100_ft_per_min"]["value"] is None
    assert "spread" in result["cost_per_100_ft_per_min"]["reason"]
