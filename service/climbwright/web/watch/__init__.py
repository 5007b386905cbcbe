"""The service seen from outside: request ids, logs, metrics and traces. Nothing here sees an aeroplane."""

from climbwright.web.watch.following import watch

__all__ = ["watch"]
