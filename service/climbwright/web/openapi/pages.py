"""Health, pages and scripts."""

from typing import Any

from climbwright.web.openapi.problems import problem_responses

__all__ = ["page_items"]


def page_items() -> dict[str, Any]:
    """A path for each page, by its address."""

    def page(
        path: str, summary: str, content: str, operation_id: str, schema: dict[str, Any], example: Any
    ) -> dict[str, Any]:
        return {
            path: {
                "get": {
                    "operationId": operation_id,
                    "summary": summary,
                    "description": summary + ".",
                    "tags": ["service"],
                    "responses": {
                        "200": {
                            "description": summary + ".",
                            "content": {content: {"schema": schema, "examples": {"invented": {"value": example}}}},
                        },
                        **problem_responses(("404", "405", "500")),
                    },
                }
            }
        }

    health = {"$ref": "#/components/schemas/Health"}
    html = {"type": "string", "examples": ["<!doctype html>"]}
    document = {"type": "object", "examples": [{"openapi": "3.1.0"}]}
    ready = {"status": "ready", "build": "0.1.0+0123456789ab"}
    script = {"type": "string", "examples": ["export {};"]}
    json_type, html_type, script_type = "application/json", "text/html", "text/javascript"
    readiness = page(
        "/health/ready", "Whether the service is ready, and its build", json_type, "get_ready", health, ready
    )
    readiness["/health/ready"]["get"]["responses"]["503"] = {
        "description": "The service has been told to stop: send nothing new to it.",
        "content": {json_type: {"schema": health, "examples": {"invented": {"value": ready | {"status": "stopping"}}}}},
    }
    return (
        page("/health/live", "Whether the process answers", json_type, "get_live", health, {"status": "live"})
        | readiness
        | page("/openapi.json", "This document", json_type, "get_openapi", document, {"openapi": "3.1.0"})
        | page("/docs", "The reference for people", html_type, "get_docs", html, "<!doctype html>")
        | page("/", "What this is; try it", html_type, "get_home", html, "<!doctype html>")
        | page("/club", "A page of an invented club with the elements", html_type, "get_club", html, "<!doctype html>")
        | page("/elements.js", "The elements that a web page embeds", script_type, "get_elements", script, "export {};")
    )
