"""/metrics: requests, seconds, rows and refusals counted, read back by Prometheus's own parser."""

import json
import threading

import pytest
from prometheus_client.openmetrics.parser import text_string_to_metric_families as open_families
from prometheus_client.parser import text_string_to_metric_families

from climbwright.web import create_app
from climbwright.web.build import build, version

from ..asking import EXAMPLES, refused

ATMOSPHERE = "/v1/atmosphere?altitude=6150ft"


def samples(text, families=text_string_to_metric_families):
    """Values by name and labels."""
    return {
        (sample.name, tuple(sorted(sample.labels.items()))): sample.value
        for family in families(text)
        for sample in family.samples
    }


def of(found, name, **labels):
    return found.get((f"climbwright_{name}", tuple(sorted(labels.items()))), 0.0)


def counted(client):
    return samples(client.get("/metrics").text)


@pytest.fixture
def fresh():
    """A service that has counted nothing yet."""
    return create_app({}).test_client()


def test_none_where_they_are_not_wanted(capfd):
    client = create_app({"METRICS": False}).test_client()
    refused(client.get("/metrics"), 404)
    assert client.get(ATMOSPHERE).status_code == 200


def test_requests_by_route_method_and_status(fresh):
    for _ in range(3):
        fresh.get(ATMOSPHERE)
    fresh.head(ATMOSPHERE)
    fresh.get("/v1/atmosphere?altitude=6150")
    fresh.post("/v1/atmosphere", json={"altitude": "6150 ft"})
    found = counted(fresh)
    for method, status, times in (("GET", 200, 3), ("HEAD", 200, 1), ("GET", 422, 1), ("POST", 200, 1)):
        assert of(found, "requests_total", route="/v1/atmosphere", method=method, status=str(status)) == times
    assert of(found, "request_seconds_count", route="/v1/atmosphere") == 6
    assert of(found, "rows_total", route="/v1/atmosphere") == 5


def test_seconds(fresh):
    fresh.get(ATMOSPHERE)
    found = counted(fresh)
    edges = [dict(labels)["le"] for name, labels in found if name.endswith("seconds_bucket")]
    buckets = [of(found, "request_seconds_bucket", route="/v1/atmosphere", le=edge) for edge in edges]
    assert buckets == sorted(buckets)
    assert (edges[-1], buckets[-1]) == ("+Inf", 1)
    spent = of(found, "request_seconds_sum", route="/v1/atmosphere")
    assert spent > 0
    assert all((spent <= float(edge)) == bool(inside) for edge, inside in zip(edges, buckets, strict=True))


def test_rows_of_a_fleet(fresh):
    fleet = json.loads((EXAMPLES / "fleet.json").read_text("utf-8"))
    for _ in range(2):
        fresh.post("/v1/fleet", json=fleet, buffered=True)
    assert of(counted(fresh), "rows_total", route="/v1/fleet") == 2 * len(fleet["columns"]["registration"])


def test_refusals_by_kind(fresh):
    kinds = []
    for address, route in (
        ("/v1/atmosphere?altitude=6150", "/v1/atmosphere"),
        ("/v1/atmosphere?altitude=6150&errors=text", "/v1/atmosphere"),
        ("/nowhere", "unmatched"),
    ):
        answer = fresh.get(address)
        kind = answer.json["type"] if answer.is_json else kinds[0][1]
        kinds.append((route, kind, str(answer.status_code)))
    found = counted(fresh)
    for route, kind, status in kinds:
        assert of(found, "refusals_total", route=route, type=kind, status=status) == 1
    assert sum(value for (name, _), value in found.items() if name == "climbwright_refusals_total") == len(kinds)


@pytest.mark.parametrize("path", ["fleet", "operability"])
def test_turns_that_were_refused(path):
    application = create_app({"MAXIMUM_FLEETS": 1})
    client = application.test_client()
    asked = json.loads((EXAMPLES / f"{path}.json").read_text("utf-8"))
    with application.extensions["climbwright-fleets"]:
        kind = refused(client.post(f"/v1/{path}", json=asked), 503)["type"]
    assert of(counted(client), "refusals_total", route=f"/v1/{path}", type=kind, status="503") == 1


def test_unknown_addresses_and_methods_make_no_labels(fresh):
    fresh.get("/warm")
    fresh.open("/warm", method="BREW")
    before = set(counted(fresh))
    for number in range(50):
        fresh.get(f"/nowhere/{number}")
        fresh.get(f"/v1/{number}?{number}")
        fresh.open("/", method=f"BREW{number}")
    after = counted(fresh)
    assert {name for name in set(after) - before if "/metrics" not in str(name)} <= {
        ("climbwright_requests_total", (("method", "other"), ("route", "unmatched"), ("status", "405"))),
        ("climbwright_refusals_total", (("route", "unmatched"), ("status", "405"), ("type", "about:blank"))),
        *((name, labels) for name, labels in after if "405" in dict(labels).values()),
    }
    assert of(after, "requests_total", route="unmatched", method="GET", status="404") == 101


def test_under_way(fresh):
    assert of(counted(fresh), "requests_under_way") == 1  # the one that asks
    fleet = json.loads((EXAMPLES / "fleet.json").read_text("utf-8"))
    stream = fresh.post("/v1/fleet", json=fleet)
    assert of(counted(fresh), "requests_under_way") == 2
    stream.close()
    assert of(counted(fresh), "requests_under_way") == 1


def test_under_way_counts_a_fault(fresh, monkeypatch, capfd):
    def fail(*_):
        raise RuntimeError

    monkeypatch.setattr("climbwright.web.operations.air_answers.atmosphere", fail)
    assert fresh.get(ATMOSPHERE).status_code == 500
    assert of(counted(fresh), "requests_under_way") == 1


def test_build(fresh):
    assert of(counted(fresh), "build_info", version=version(), build=build()) == 1
    ready = fresh.get("/health/ready").json
    assert ready == {"status": "ready", "version": version(), "build": build()}
    assert ready["build"].startswith(ready["version"])


def test_content_types(fresh):
    fresh.get(ATMOSPHERE)
    plain = fresh.get("/metrics")
    assert plain.content_type.startswith("text/plain; version=")
    opened = fresh.get("/metrics", headers={"Accept": "application/openmetrics-text; version=1.0.0"})
    assert opened.content_type.startswith("application/openmetrics-text")
    found = samples(opened.text, open_families)
    assert of(found, "requests_total", route="/v1/atmosphere", method="GET", status="200") == 1


def test_threads_lose_nothing(fresh):
    def ask():
        client = fresh.application.test_client()
        for _ in range(100):
            client.get(ATMOSPHERE)

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    found = counted(fresh)
    assert of(found, "requests_total", route="/v1/atmosphere", method="GET", status="200") == 800
    assert of(found, "requests_under_way") == 1


def test_services_in_one_process_count_apart(fresh):
    fresh.get(ATMOSPHERE)
    assert of(counted(create_app({}).test_client()), "request_seconds_count", route="/v1/atmosphere") == 0
