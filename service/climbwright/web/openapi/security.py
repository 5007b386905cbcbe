"""How a key is sent to a service that asks for one."""

from typing import Any

__all__ = ["SECURITY", "security_schemes"]

# The empty one stands first: a service that has no keys set asks for none.
SECURITY: list[dict[str, list[str]]] = [{}, {"bearer": []}, {"basic": []}]


def security_schemes() -> dict[str, dict[str, Any]]:
    """The schemes by name."""
    return {
        "bearer": {"type": "http", "scheme": "bearer", "description": "The key, where the service asks for one."},
        "basic": {
            "type": "http",
            "scheme": "basic",
            "description": "The same key as the password, under any name, for programs that know no other way.",
        },
    }
