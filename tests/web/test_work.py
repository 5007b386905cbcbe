"""The work that a request asks for is known before it is done: refused beyond a setting, in turns where large."""

import re
import time
from dataclasses import replace

import numpy as np
import pytest

from climbwright.answers import work
from climbwright.answers.calibration import calibrate
from climbwright.answers.estimates import DRAWS
from climbwright.web import create_app
from climbwright.web.openapi import query_example, query_text, read_example

from ..answers.calibration.crowd import case


def sampled(measures=("weight", "best_climb_rate", "power_available")):
    """One aeroplane in two loadings and three conditions."""
    request = read_example("performance")
    loading, condition = request["loadings"][0], request["conditions"][0]
    request["loadings"] = [loading | {"name": name} for name in ("one", "two")]
    request["conditions"] = [condition | {"name": name} for name in ("a", "b", "c")]
    return request | {"measures": list(measures)}


def told(response):
    """The two numbers of a refusal: what is asked for, and what is permitted."""
    asked, permitted = re.findall(r"[\d,]*\d", response.json["detail"])[:2]
    return int(asked.replace(",", "")), int(permitted.replace(",", ""))


# Every case of every measure in every scene, and a hundred for each that is written.
ASKED = (DRAWS + 1) * 6 * 3 + 100 * 6 * 3


def test_what_is_asked_for_is_counted_and_refused_beyond_the_limit():
    client = create_app({"MAXIMUM_WORK": ASKED - 1}).test_client()
    response = client.post("/v1/performance?spread=sampled", json=sampled())
    assert response.status_code == 413
    assert response.json["type"] == "/docs#too-much"
    assert told(response) == (ASKED, ASKED - 1)
    assert (
        create_app({"MAXIMUM_WORK": ASKED})
        .test_client()
        .post("/v1/performance?spread=sampled", json=sampled())
        .status_code
        == 200
    )


def test_it_is_refused_before_it_is_done(client):
    """What would take seconds is refused in a fraction of the time of what is permitted."""
    request = sampled() | {"measures": read_example("performance").get("measures")}
    del request["measures"]
    request["loadings"] = [request["loadings"][0] | {"name": str(i)} for i in range(12)]
    request["conditions"] = [request["conditions"][0] | {"name": str(i)} for i in range(24)]
    started = time.process_time()
    refused = client.post("/v1/performance?spread=sampled", json=request)
    refusing = time.process_time() - started
    started = time.process_time()
    assert client.post("/v1/performance?spread=sampled", json=sampled()).status_code == 200
    assert refused.status_code == 413
    assert refusing < time.process_time() - started


def test_linear_spreads_cost_less_and_are_answered():
    client = create_app({"MAXIMUM_WORK": ASKED // 10}).test_client()
    assert client.post("/v1/performance?spread=sampled", json=sampled()).status_code == 413
    assert client.post("/v1/performance?spread=linear", json=sampled()).status_code == 200


@pytest.mark.parametrize("name", ["comparison", "requirement", "calibration", "test-plan", "climb-estimate"])
def test_every_operation_that_takes_an_aeroplane_counts(name):
    client = create_app({"MAXIMUM_WORK": 10}).test_client()
    response = client.post(f"/v1/{name}", json=read_example(name))
    assert (response.status_code, response.json["type"]) == (413, "/docs#too-much")


def test_a_season_counts_its_hours():
    request = read_example("operability")
    hours = len(request["weather"]["time"])
    response = create_app({"MAXIMUM_FLEET_WORK": 10}).test_client().post("/v1/operability", json=request)
    assert response.status_code == 413
    assert told(response)[0] % hours == 0


def test_a_fleet_counts_its_rows_and_cost_only_tells_them():
    request = read_example("fleet")
    client = create_app({"MAXIMUM_FLEET_WORK": 10}).test_client()
    cost = client.post("/v1/fleet?cost=only", json=request).json
    rows = cost["rows"]
    assert cost["measures"] == cost["evaluations"] * len(request["measures"])
    assert cost["most_measures"] == 10
    response = client.post("/v1/fleet", json=request)
    assert response.status_code == 413
    assert told(response) == (rows * len(request["measures"]), 10)
    spread = client.post("/v1/fleet?spread=linear", json=request)
    assert told(spread)[0] > told(response)[0]


def test_a_cell_is_told_in_its_text(client):
    query = "measures=best_climb_rate&pick=best_climb_rate&errors=text"
    app = create_app({"MAXIMUM_WORK": 10})
    asked = query_text({**query_example("performance"), "spread": "sampled"})
    response = app.test_client().get(f"/v1/performance?{asked}&{query}")
    assert response.status_code == 200
    assert "computed measures" in response.text


def test_a_large_request_waits_for_no_turn_and_a_small_one_needs_none():
    app = create_app({})
    client, turns = app.test_client(), app.extensions["climbwright-fleets"]
    large = sampled() | {"measures": None}
    del large["measures"]
    for _ in range(app.config["MAXIMUM_FLEETS"]):
        assert turns.acquire(blocking=False)
    refused = client.post("/v1/performance?spread=sampled", json=large)
    assert (refused.status_code, refused.headers["Retry-After"]) == (503, "1")
    assert client.post("/v1/performance", json=sampled()).status_code == 200
    turns.release()
    for _ in range(2):  # the turn came back
        assert client.post("/v1/performance?spread=sampled", json=large).status_code == 200


def test_work_is_counted_apart_and_nothing_is_refused_where_nobody_set_a_limit():
    work.ask_for(10**12)
    with work.permitted(10):
        work.ask_for(9)
        with work.permitted(5), pytest.raises(work.TooMuchWork, match="6 computed measures"):
            work.ask_for(6)
        work.ask_for(1)
        with pytest.raises(work.TooMuchWork, match="11 computed measures, and 10 are"):
            work.ask_for(1)


def flown_wrongly(count, mistakes):
    """Flights of a calibration, each on a day of its own, and the places of those with a rate that nobody can climb."""
    flown = read_example("calibration")["observations"]
    flights = [flown[i % len(flown)] | {"name": f"flight {i}", "day": f"day {i}"} for i in range(count)]
    wrong = [i for i, flight in enumerate(flights) if "rate" in flight][:mistakes]
    for i in wrong:
        flights[i]["rate"] = {"value": 900, "unit": "ft/min", "plus_minus": 20}
    return read_example("calibration") | {"observations": flights}, wrong


def test_a_search_counts_each_of_its_steps_and_is_given_up():
    """What is wrong with flights that nobody can have flown is searched for again and again."""
    client = create_app({"MAXIMUM_WORK": 300_000}).test_client()
    assert client.post("/v1/calibration", json=flown_wrongly(20, 0)[0]).status_code == 200
    refused = client.post("/v1/calibration", json=flown_wrongly(20, 3)[0])
    assert (refused.status_code, refused.json["type"]) == (413, "/docs#too-much")
    assert told(refused)[0] % (work.PREDICTED * 20) == 0
    assert "observations" in refused.json["detail"]


@pytest.mark.parametrize(("count", "mistakes"), [(20, 3), (30, 2), (40, 3)])
def test_who_made_mistakes_is_told_them_for_a_third_of_the_work_that_is_permitted(count, mistakes):
    client = create_app({"MAXIMUM_WORK": 3_000_000}).test_client()
    request, wrong = flown_wrongly(count, mistakes)
    answer = client.post("/v1/calibration", json=request)
    assert answer.status_code == 200
    doubted = [i for i, seen in enumerate(answer.json["observations"]) if seen.get("doubt")]
    assert doubted == wrong


def test_thousands_of_observations_are_refused_before_any_is_predicted(monkeypatch):
    one = case(np.random.default_rng(1), 6)
    many = [replace(one.observations[0], name=f"{i}", day=f"{i}") for i in range(2000)]
    monkeypatch.setattr(calibrate, "predict", None)
    with work.permitted(10_000_000), pytest.raises(work.TooMuchWork):
        calibrate.learn(one.aircraft, many)
