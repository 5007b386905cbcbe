"""Settings, all from the environment; a misspelt one is refused at the start."""

import difflib
import importlib.util
import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from climbwright.web.guard.caller import read_proxies
from climbwright.web.guard.keys import read_keys, read_needed_for
from climbwright.web.guard.rates import read_rate

__all__ = ["SERVER_SETTINGS", "SETTINGS", "read_server_settings", "read_settings"]

PREFIX = "CLIMBWRIGHT_"
_OF_CLIENTS = ("CLIMBWRIGHT_ADDRESS",)  # which may stand in the environment beside the service's own
_OF_GUNICORN = ("GUNICORN_CMD_ARGS", "GUNICORN_PID", "GUNICORN_FD", "GUNICORN_DIRTY_SOCKET")  # that it reads itself
_BIND = re.compile(r"unix:.+|(\[[0-9a-fA-F:]+\]|[A-Za-z0-9._-]*):[0-9]{1,5}")
_ORIGIN = re.compile(r"https?://([a-z0-9._-]+|\[[0-9a-f:]+\])(:[0-9]{1,5})?")


@dataclass(frozen=True, slots=True)
class Setting:
    """What a setting is if nothing is said, how it is read, and what it does."""

    default: str
    read: Callable[[str], Any]
    does: str


def _count(value: str) -> int:
    if not (value.isascii() and value.isdigit() and int(value) > 0):
        raise ValueError(f"must be a positive whole number, not '{value}'")
    return int(value)


def _seconds(value: str) -> int:
    if not (value.isascii() and value.isdigit()):
        raise ValueError(f"must be a whole number of seconds, 0 or more, not '{value}'")
    return int(value)


def _origins(value: str) -> frozenset[str]:
    origins = value.split()
    for origin in origins:
        if not _ORIGIN.fullmatch(origin):
            raise ValueError(
                f"must be origins, blanks between them, not '{origin}': scheme, host in small letters and, where it is "
                "not the usual one, port, such as https://club.example"
            )
    return frozenset(origins)


def _redis(value: str) -> str:
    if value and not _is_redis(value):  # not quoted, since it may hold a password
        raise ValueError("must be the address of a Redis, such as redis://counts.example:6379/0")
    return value


def _is_redis(value: str) -> bool:
    try:
        parts = urlsplit(value)
        return parts.scheme in ("redis", "rediss") and bool(parts.hostname) and parts.port != 0
    except ValueError:
        return False


def _one_of(*words: str) -> Callable[[str], str]:
    def read(value: str) -> str:
        if value not in words:
            raise ValueError(f"must be {' or '.join(words)}, not '{value}'")
        return value

    return read


def _switch(value: str) -> bool:
    return _one_of("true", "false")(value) == "true"


def _traces(value: str) -> bool:
    if not _switch(value):
        return False
    try:
        found = all(
            map(importlib.util.find_spec, ("opentelemetry.sdk.trace", "opentelemetry.exporter.otlp.proto.http"))
        )
    except ModuleNotFoundError:
        found = False
    if not found:
        raise ValueError("is true, but the packages for it are not installed: pip install 'climbwright[traces]'")
    return True


def _bind(value: str) -> str:
    if not _BIND.fullmatch(value):
        raise ValueError(f"must be an address with its port, such as 127.0.0.1:8000, or unix:PATH, not '{value}'")
    return value


SETTINGS: Mapping[str, Setting] = {
    "MAXIMUM_BODY": Setting("1048576", _count, "Greatest body of a request. [bytes]"),
    "MAXIMUM_FLEET_BODY": Setting("67108864", _count, "Greatest body of a fleet or a season. [bytes]"),
    "MAXIMUM_ROWS": Setting("250000", _count, "Most rows of a fleet, and hours of a season."),
    "MAXIMUM_FLEETS": Setting(
        "2", _count, "Fleets, seasons and other large requests that one worker computes at a time."
    ),
    "MAXIMUM_WORK": Setting(
        "10000000",
        _count,
        "Most measures computed for a request, a written one counted 100 times, an observation's 6 times.",
    ),
    "MAXIMUM_FLEET_WORK": Setting("1000000000", _count, "Most measures computed for a fleet or a season."),
    "DRAIN": Setting("0", _seconds, "How long to serve on, no longer ready, once told to stop. [s]"),
    "ORIGINS": Setting("", _origins, "Origins of other web pages that may ask from a visitor's browser."),
    "KEYS": Setting("", read_keys, "Keys of those who may ask."),
    "KEYS_FOR": Setting("all", read_needed_for, "Which requests need a key, where there are keys."),
    "RATE": Setting("", read_rate, "How often one client may ask."),
    "REDIS": Setting("", _redis, "The Redis in which several machines count their clients together."),
    "PROXIES": Setting("", read_proxies, "Proxies whose word is taken for who asks."),
    "LOG": Setting(
        "faults", _one_of("requests", "faults"), "A line for each request, or for faults alone, on standard output."
    ),
    "METRICS": Setting("true", _switch, "Count, and answer /metrics."),
    "TRACES": Setting("false", _traces, "Send a span of each request to a collector, as the variables OTEL_* say."),
}

# Of gunicorn with our settings file, by the whole name.
SERVER_SETTINGS: Mapping[str, Setting] = {
    "GUNICORN_BIND": Setting("127.0.0.1:8000", _bind, "Where the service listens."),
    "GUNICORN_THREADS": Setting("4", _count, "Threads of each worker."),
    "WEB_CONCURRENCY": Setting("2", _count, "Workers."),
}


def read_settings(environment: Mapping[str, str] | None = None) -> dict[str, Any]:
    """Settings by name, from variables CLIMBWRIGHT_NAME.

    Raises
    ------
    ValueError
        A variable with the prefix that is no setting, a value that cannot be read, or a setting that does nothing
        without another, which is not there.
    """
    known = {PREFIX + name: setting for name, setting in SETTINGS.items()}
    found = _read(known, PREFIX, _OF_CLIENTS, environment)
    if found["CLIMBWRIGHT_KEYS_FOR"] != "all" and not found["CLIMBWRIGHT_KEYS"]:
        raise ValueError("CLIMBWRIGHT_KEYS_FOR is set and CLIMBWRIGHT_KEYS is not: everyone may ask, so leave it out")
    if found["CLIMBWRIGHT_REDIS"] and not found["CLIMBWRIGHT_RATE"]:
        raise ValueError("CLIMBWRIGHT_REDIS is set and CLIMBWRIGHT_RATE is not: nothing is counted, so leave it out")
    return {variable[len(PREFIX) :]: value for variable, value in found.items()}


def read_server_settings(environment: Mapping[str, str] | None = None) -> dict[str, Any]:
    """Settings of the server by the names of their variables.

    Raises
    ------
    ValueError
        A variable GUNICORN_NAME that is no setting, or a value that cannot be read.
    """
    return _read(SERVER_SETTINGS, "GUNICORN_", _OF_GUNICORN, environment)


def _read(
    known: Mapping[str, Setting], prefix: str, of_others: Sequence[str], environment: Mapping[str, str] | None
) -> dict[str, Any]:
    given = os.environ if environment is None else environment
    for variable in given:
        if variable.startswith(prefix) and variable not in known and variable not in of_others:
            raise ValueError(_unknown(variable, list(known)))
    found: dict[str, Any] = {}
    for variable, setting in known.items():
        try:
            found[variable] = setting.read(given.get(variable, setting.default))
        except ValueError as error:
            raise ValueError(f"{variable} {error}") from None
    return found


def _unknown(variable: str, known: list[str]) -> str:
    near = difflib.get_close_matches(variable, known, n=1, cutoff=0.8)
    meant = f"did you mean {near[0]}? " if near else ""
    return f"{variable} is no setting: {meant}the settings are {', '.join(known)}"
