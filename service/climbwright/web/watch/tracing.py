"""Spans for a collector, by OpenTelemetry: one for each request, as its standard variables OTEL_* say."""

import os
import time
from functools import cached_property

from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter
from opentelemetry.sdk.resources import Resource
from opentelemetry.sdk.trace import TracerProvider
from opentelemetry.sdk.trace.export import BatchSpanProcessor
from opentelemetry.trace import SpanKind, Status, StatusCode, Tracer
from opentelemetry.trace.propagation.tracecontext import TraceContextTextMapPropagator

from climbwright.web.build import build
from climbwright.web.watch.seen import Seen

__all__ = ["Spans"]

_PARENT = TraceContextTextMapPropagator()


class Spans:
    """A span for each request that has ended, none of which knows what was asked."""

    @cached_property
    def _tracer(self) -> Tracer:
        """Made at a worker's first request: its thread would not live through a fork. It ends with the process."""
        known = {"service.name": os.environ.get("OTEL_SERVICE_NAME", "climbwright"), "service.version": build()}
        provider = TracerProvider(resource=Resource.create(known))
        provider.add_span_processor(BatchSpanProcessor(OTLPSpanExporter()))
        return provider.get_tracer("climbwright")

    def ended(self, seen: Seen) -> None:
        """Make the span, from when the request began, under the one that the client named."""
        now = time.time_ns()
        carried = {"traceparent": seen.traceparent, "tracestate": seen.tracestate}
        span = self._tracer.start_span(
            f"{seen.method} {seen.route}",
            context=_PARENT.extract({name: value for name, value in carried.items() if value}),
            kind=SpanKind.SERVER,
            start_time=now - int(1e9 * seen.seconds),
            attributes={
                "http.request.method": seen.method,
                "http.route": seen.route,
                "http.response.status_code": seen.status,
                "climbwright.rows": seen.rows,
                "climbwright.request_id": seen.id,
            },
        )
        if seen.status >= 500 or seen.ended == "failed":
            span.set_status(Status(StatusCode.ERROR))
        span.end(now)
