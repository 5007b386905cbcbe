"""Metrics in the form of Prometheus: counted in this process, or over all workers where they share a folder."""

from collections.abc import Iterator

from flask import Response, request
from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.exposition import choose_encoder
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from climbwright.web.build import build, version
from climbwright.web.watch.seen import Seen
from climbwright.web.watch.sharing import folder

__all__ = ["Counts"]

_SECONDS = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)


class _Build(Collector):
    """Which build answers, as a metric that is always one."""

    def collect(self) -> Iterator[Metric]:
        """Yield the one metric."""
        known = GaugeMetricFamily("climbwright_build_info", "Which build answers.", labels=("version", "build"))
        known.add_metric((version(), build()), 1.0)
        yield known


class Counts:
    """What is counted. Labels are few: rules of addresses, never addresses."""

    def __init__(self) -> None:
        own = self._own = CollectorRegistry()
        own.register(_Build())
        self._requests = Counter(
            "climbwright_requests", "Requests answered.", ("route", "method", "status"), registry=own
        )
        self._seconds = Histogram(
            "climbwright_request_seconds", "Time until the answer is out.", ("route",), registry=own, buckets=_SECONDS
        )
        self._rows = Counter(
            "climbwright_rows", "Rows of fleets, hours of seasons and scenes answered.", ("route",), registry=own
        )
        self._refusals = Counter(
            "climbwright_refusals", "Requests refused, by kind of problem.", ("route", "status", "type"), registry=own
        )
        self._under_way = Gauge(
            "climbwright_requests_under_way", "Requests under way.", registry=own, multiprocess_mode="livesum"
        )
        # labels() costs as much as counting: what it found is kept, one entry for each set of labels
        self._found: dict[tuple[str, str, int], tuple[Counter, Histogram, Counter]] = {}

    def begun(self) -> None:
        """Count a request that begins."""
        self._under_way.inc()

    def ended(self, seen: Seen) -> None:
        """Count a request that has ended."""
        labels = seen.route, seen.method, seen.status
        found = self._found.get(labels)
        if found is None:
            found = self._requests.labels(*labels), self._seconds.labels(seen.route), self._rows.labels(seen.route)
            self._found[labels] = found
        requests, seconds, rows = found
        self._under_way.dec()
        requests.inc()
        seconds.observe(seen.seconds)
        if seen.rows:
            rows.inc(seen.rows)
        if seen.refusal is not None:
            self._refusals.labels(seen.route, seen.status, seen.refusal).inc()

    def page(self) -> Response:
        """All that was counted, by all workers."""
        shared = folder()
        registry = self._own
        if shared is not None:
            registry = CollectorRegistry()
            registry.register(_Build())
            MultiProcessCollector(registry, path=shared)  # type: ignore[no-untyped-call]
        encoder, content_type = choose_encoder(request.headers.get("Accept", ""))
        return Response(encoder(registry), content_type=content_type, headers={"Cache-Control": "no-store"})
