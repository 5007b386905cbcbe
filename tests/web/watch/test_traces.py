"""Spans of requests, sent by a real server to a collector that reads them."""

import contextlib
import gzip
import http.server
import json
import re
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request

import pytest
from opentelemetry.proto.collector.trace.v1.trace_service_pb2 import ExportTraceServiceRequest
from opentelemetry.proto.trace.v1.trace_pb2 import Span, Status

from climbwright.web import create_app
from climbwright.web.build import build
from climbwright.web.settings import read_settings

from ...serving import started
from ..asking import EXAMPLES

SECRET = "hangar7elephant"
TRACE, PARENT = "0af7651916cd43dd8448eb211c80319c", "b7ad6b7169203331"
GIVEN = {"traceparent": f"00-{TRACE}-{PARENT}-01", "tracestate": "club=1"}


class Collector(http.server.ThreadingHTTPServer):
    """Keeps what is sent to it."""

    def __init__(self):
        super().__init__(("127.0.0.1", 0), Receiver)
        self.received, self.paths = [], set()

    def spans(self):
        return [span for one in self.received for of in one.resource_spans for s in of.scope_spans for span in s.spans]

    def resources(self):
        return [attributes(of.resource) for one in self.received for of in one.resource_spans]


class Receiver(http.server.BaseHTTPRequestHandler):
    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        if self.headers.get("Content-Encoding") == "gzip":
            body = gzip.decompress(body)
        self.server.paths.add(self.path)
        self.server.received.append(ExportTraceServiceRequest.FromString(body))
        self.send_response(200)
        self.send_header("Content-Type", "application/x-protobuf")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_):
        pass


def attributes(one):
    return {pair.key: getattr(pair.value, pair.value.WhichOneof("value")) for pair in one.attributes}


@contextlib.contextmanager
def collecting():
    with Collector() as collector:
        thread = threading.Thread(target=collector.serve_forever)
        thread.start()
        try:
            yield collector
        finally:
            collector.shutdown()
            thread.join()


@pytest.fixture(scope="module")
def told():
    """What a collector was told of some requests by a server that has then ended, and when they were made."""
    with collecting() as collector:
        settings = {
            "CLIMBWRIGHT_TRACES": "true",
            "OTEL_EXPORTER_OTLP_ENDPOINT": f"http://127.0.0.1:{collector.server_port}",
            "OTEL_BSP_SCHEDULE_DELAY": "600000",  # only its end makes it send
        }
        begun = time.time_ns()
        with started(subprocess.DEVNULL, **settings) as (_, address):
            for path, body, headers in (
                ("/v1/atmosphere?altitude=6150ft", None, GIVEN | {"X-Request-Id": "one"}),
                (f"/v1/atmosphere?altitude={SECRET}", None, {"X-Request-Id": "two"}),
                (f"/{SECRET}?{SECRET}", None, {"X-Request-Id": "three"}),
                ("/v1/fleet", (EXAMPLES / "fleet.json").read_bytes(), {"X-Request-Id": "four"}),
                ("/v1/fleet", json.dumps({SECRET: SECRET}).encode(), {"X-Request-Id": "five", "traceparent": SECRET}),
            ):
                kind = {"Content-Type": "application/json", "Authorization": f"Bearer {SECRET}"}
                with contextlib.suppress(urllib.error.HTTPError):
                    urllib.request.urlopen(urllib.request.Request(address + path, body, kind | headers)).read()
        yield collector, begun, time.time_ns()


def span_of(told, identity):
    (span,) = [s for s in told[0].spans() if attributes(s)["climbwright.request_id"] == identity]
    return span


def test_all_are_sent_when_the_workers_end(told):
    collector, *_ = told
    assert {"one", "two", "three", "four", "five"} < {
        attributes(s)["climbwright.request_id"] for s in collector.spans()
    }
    assert collector.paths == {"/v1/traces"}


def test_what_a_span_says(told):
    span = span_of(told, "one")
    assert (span.name, span.kind) == ("GET /v1/atmosphere", Span.SPAN_KIND_SERVER)
    assert attributes(span) == {
        "http.request.method": "GET",
        "http.route": "/v1/atmosphere",
        "http.response.status_code": 200,
        "climbwright.rows": 1,
        "climbwright.request_id": "one",
    }
    assert told[1] < span.start_time_unix_nano < span.end_time_unix_nano < told[2]


def test_a_client_s_trace_goes_on(told):
    span = span_of(told, "one")
    assert (span.trace_id.hex(), span.parent_span_id.hex(), span.trace_state) == (TRACE, PARENT, "club=1")


@pytest.mark.parametrize("identity", ["two", "five"])
def test_without_one_a_trace_begins(told, identity):
    span = span_of(told, identity)
    assert span.parent_span_id == b""
    assert span.trace_id.hex() not in (TRACE, "0" * 32)


def test_rows_and_statuses(told):
    fields = ("http.route", "http.response.status_code", "climbwright.rows")
    found = {
        name: tuple(attributes(span_of(told, name))[field] for field in fields) for name in ("two", "three", "four")
    }
    assert found == {"two": ("/v1/atmosphere", 422, 0), "three": ("unmatched", 404, 0), "four": ("/v1/fleet", 200, 5)}


def test_nothing_of_what_was_asked(told):
    for request in told[0].received:
        assert SECRET.encode() not in request.SerializeToString()


def test_who_sends(told):
    for resource in told[0].resources():
        assert (resource["service.name"], resource["service.version"]) == ("climbwright", build())


def test_the_standard_variables_rule(monkeypatch, capfd):
    with collecting() as collector:
        monkeypatch.setenv("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT", f"http://127.0.0.1:{collector.server_port}/mine")
        monkeypatch.setenv("OTEL_SERVICE_NAME", "club")
        monkeypatch.setenv("OTEL_BSP_SCHEDULE_DELAY", "10")

        def fail(*_):
            raise RuntimeError(SECRET)

        monkeypatch.setattr("climbwright.web.operations.air_answers.atmosphere", fail)
        create_app({"TRACES": True}).test_client().get("/v1/atmosphere?altitude=0ft")
        deadline = time.monotonic() + 30
        while not collector.spans():
            assert time.monotonic() < deadline
            time.sleep(0.02)
    (span,) = collector.spans()
    assert (collector.paths, collector.resources()[0]["service.name"]) == ({"/mine"}, "club")
    assert span.status.code == Status.STATUS_CODE_ERROR
    assert SECRET.encode() not in span.SerializeToString()


def imported(**settings):
    """Whether the service imports what traces need."""
    script = (
        "import sys\nfrom climbwright.web import create_app\n"
        f"create_app({settings!r})\nprint(any(name.startswith('opentelemetry') for name in sys.modules))"
    )
    return subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip()


def test_imported_only_where_wanted():
    assert (imported(), imported(TRACES=True)) == ("False", "True")


def test_packages_that_are_missing_are_named(monkeypatch):
    def missing(name):
        raise ModuleNotFoundError(name)

    for find in (missing, lambda _: None):
        monkeypatch.setattr("climbwright.web.settings.importlib.util.find_spec", find)
        with pytest.raises(ValueError, match=re.escape("pip install 'climbwright[traces]'")) as refusal:
            read_settings({"CLIMBWRIGHT_TRACES": "true"})
        assert str(refusal.value).startswith("CLIMBWRIGHT_TRACES ")
        assert read_settings({"CLIMBWRIGHT_TRACES": "false"})["TRACES"] is False
