"""The statuses that are no answer, and their words."""

from collections.abc import Mapping
from typing import Any

from climbwright.web.openapi.headers import header_references

__all__ = ["OF_OPERATIONS", "OF_TABLES", "STATUSES", "of_the_server", "problem_responses"]

STATUSES = {
    "400": "The request's bytes do not parse.",
    "401": "The key is missing or wrong, where the service asks for one.",
    "404": "There is nothing at this address.",
    "405": "The address does not take this method.",
    "406": "No format that Accept names can be given.",
    "411": "The body came without a length.",
    "413": "The body is too large, or more is asked for than the service does for one request (type /docs#too-much).",
    "415": "The body is not application/json.",
    "422": "Understood and refused, by its schema or a rule in words (type /docs#not-understood) or by physics (type "
    "/docs#not-answerable). Rules in words are what JSON Schema cannot say: bounds, which depend on the unit; units of "
    "a kind that another field decides; one form of several; parts that go together; speeds, weights and arms in "
    "order; names that are unique or lead to something; lists of one length; texts that can be printed, "
    "of parts that are not too long; reports and packed aircraft that can be read.",
    "429": "Too many requests in too short a time, where the service counts them: come again.",
    "500": "The service failed; the fault is ours and has been logged.",
    "503": "The service is stopping, short of memory, or computes as many large requests as it may: come again.",
}
OF_OPERATIONS = ("400", "401", "404", "405", "406", "413", "422", "429", "500", "503")
OF_TABLES = {
    "413": "The body is too large, the rows or hours are too many, or more is asked for than the service does for one "
    "request (type /docs#too-much).",
    "415": "The body is neither application/json nor multipart/form-data.",
    "501": "The service was installed without its part for CSV and Arrow.",
    "503": "As many large tables as the service computes at a time are being computed, "
    "or it is stopping or short of memory: come again.",
}
_HEADERS = {
    "401": ("WWW-Authenticate",),
    "405": ("Allow",),
    "429": ("Retry-After", "RateLimit", "RateLimit-Policy"),
    "503": ("Retry-After",),
}


def problem_responses(statuses: tuple[str, ...], words: Mapping[str, str] = STATUSES) -> dict[str, Any]:
    """A problem document for each status, with what that status says."""
    schema = {"$ref": "#/components/schemas/Problem"}
    return {
        status: {
            "description": words[status],
            "headers": header_references(*_HEADERS.get(status, ())),
            "content": {"application/problem+json": {"schema": schema}},
        }
        for status in statuses
    }


def of_the_server() -> dict[str, Any]:
    """What the server itself refuses before the service sees it, in a page of its own."""
    page = "<html><head><title>URI Too Long</title></head></html>"
    content = {"text/html": {"schema": {"type": "string", "examples": [page]}}}
    return {"414": {"description": "The address is longer than 8,190 bytes: POST it instead.", "content": content}}
