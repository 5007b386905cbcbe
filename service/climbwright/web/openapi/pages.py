"""Health, measurements, pages and scripts."""

from typing import Any

from climbwright.web.openapi.headers import header_references
from climbwright.web.openapi.problems import problem_responses
from climbwright.web.openapi.security import SECURITY

__all__ = ["page_items"]

_HEALTH = {"$ref": "#/components/schemas/Health"}
_BUILD = {"version": "0.1.0", "build": "0.1.0+0123456789ab"}
_METRICS = "# TYPE climbwright_requests_total counter\n"


def _content(media_type: str, schema: dict[str, Any], example: Any) -> dict[str, Any]:
    return {media_type: {"schema": schema, "examples": {"invented": {"value": example}}}}


def _page(
    name: str, summary: str, content: dict[str, Any], *, more: tuple[str, ...] = (), **changed: Any
) -> dict[str, Any]:
    """A GET of what stands at one address; `more` are statuses beside those that every address has."""
    ok = {"description": f"{summary}.", "headers": header_references(), "content": content}
    get = {
        "operationId": f"get_{name}",
        "summary": summary,
        "description": f"{summary}.",
        "tags": ["service"],
        "responses": {"200": ok, **problem_responses(("404", "405", "500", *more))},
    }
    return {"get": get | changed}


def _html(name: str, summary: str) -> dict[str, Any]:
    page = "<!doctype html>"
    return _page(name, summary, _content("text/html", {"type": "string", "examples": [page]}, page))


def _ready() -> dict[str, Any]:
    """Ready, or stopping: the same document under two statuses, so that whoever watches need read no body."""
    ready = _content("application/json", _HEALTH, {"status": "ready", **_BUILD})
    stopping = _content("application/json", _HEALTH, {"status": "stopping", **_BUILD})
    item = _page("ready", "Whether the service is ready, and its build", ready)
    words = "The service is stopping: send it nothing more."
    item["get"]["responses"]["503"] = {"description": words, "headers": header_references(), "content": stopping}
    return item


def page_items() -> dict[str, Any]:
    """A path for each page, by its address."""
    live = _content("application/json", _HEALTH, {"status": "live"})
    document = {"type": "object", "examples": [{"openapi": "3.1.0"}]}
    metrics = _content("text/plain; version=0.0.4", {"type": "string", "examples": [_METRICS]}, _METRICS)
    script = _content("text/javascript", {"type": "string", "examples": ["export {};"]}, "export {};")
    return {
        "/health/live": _page("live", "Whether the process answers", live),
        "/health/ready": _ready(),
        "/metrics": _page(
            "metrics", "Measurements of the service, for what collects them", metrics, more=("401",), security=SECURITY
        ),
        "/openapi.json": _page(
            "openapi", "This document", _content("application/json", document, {"openapi": "3.1.0"})
        ),
        "/docs": _html("docs", "The reference for people"),
        "/": _html("home", "What this is; try it"),
        "/club": _html("club", "A page of an invented club with the elements"),
        "/elements.js": _page("elements", "The elements that a web page embeds", script),
    }
