"""The statuses that are no answer, and their words."""

from collections.abc import Mapping
from typing import Any

__all__ = ["STATUSES", "STATUSES_OF_TABLES", "problem_responses"]

STATUSES = {
    "400": "The request's bytes do not parse.",
    "404": "There is nothing at this address.",
    "405": "The address does not take this method.",
    "406": "No format that Accept names can be given.",
    "411": "The body came without a length.",
    "413": "The body is too large, or more is asked for than the service does for one request (type /docs#too-much).",
    "415": "The body is not application/json.",
    "422": "Understood and refused: by its schema (type /docs#not-understood) or by physics (/docs#not-answerable).",
    "500": "The service failed; the fault is ours and has been logged.",
    "503": "As many large requests are computed as may be at a time, or memory is short: come again.",
}


STATUSES_OF_TABLES = {
    "413": "The body is too large, the rows or hours are too many, or more is asked for than the service does for one "
    "request (type /docs#too-much).",
    "415": "The body is neither application/json nor multipart/form-data.",
    "501": "The service was installed without its part for CSV and Arrow.",
    "503": "As many large tables as the service computes at a time are being computed, or memory is short: come again.",
}


def problem_responses(statuses: tuple[str, ...], words: Mapping[str, str] = STATUSES) -> dict[str, Any]:
    """A problem document for each status, with what that status says."""
    schema = {"$ref": "#/components/schemas/Problem"}
    return {
        status: {"description": words[status], "content": {"application/problem+json": {"schema": schema}}}
        for status in statuses
    }
