"""Settings, all from the environment; a misspelt one is refused at the start."""

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from climbwright.web.guard.caller import read_proxies
from climbwright.web.guard.keys import read_keys, read_needed_for
from climbwright.web.guard.rates import read_rate

__all__ = ["SETTINGS", "read_settings"]

PREFIX = "CLIMBWRIGHT_"
_OF_CLIENTS = ("CLIMBWRIGHT_ADDRESS",)  # which may stand in the environment beside the service's own
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


SETTINGS: Mapping[str, Setting] = {
    "MAXIMUM_BODY": Setting("1048576", _count, "Greatest body of a request. [bytes]"),
    "MAXIMUM_FLEET_BODY": Setting("67108864", _count, "Greatest body of a fleet or a season. [bytes]"),
    "MAXIMUM_ROWS": Setting("250000", _count, "Most rows of a fleet, and hours of a season."),
    "MAXIMUM_FLEETS": Setting(
        "2", _count, "Fleets, seasons and other large requests that one worker computes at a time."
    ),
    "MAXIMUM_WORK": Setting(
        "10000000", _count, "Most measures computed for a request, a written one counted 100 times."
    ),
    "MAXIMUM_FLEET_WORK": Setting("1000000000", _count, "Most measures computed for a fleet or a season."),
    "ORIGINS": Setting("", _origins, "Origins of other web pages that may ask from a visitor's browser."),
    "KEYS": Setting("", read_keys, "Keys of those who may ask."),
    "KEYS_FOR": Setting("all", read_needed_for, "Which requests need a key, where there are keys."),
    "RATE": Setting("", read_rate, "How often one client may ask."),
    "REDIS": Setting("", _redis, "The Redis in which several machines count their clients together."),
    "PROXIES": Setting("", read_proxies, "Proxies whose word is taken for who asks."),
}


def read_settings(environment: Mapping[str, str] | None = None) -> dict[str, Any]:
    """Settings by name, from variables CLIMBWRIGHT_NAME.

    Raises
    ------
    ValueError
        A variable with the prefix that is no setting, or a value that cannot be read.
    """
    given = os.environ if environment is None else environment
    settings = {name: setting.read(setting.default) for name, setting in SETTINGS.items()}
    for variable, value in given.items():
        if not variable.startswith(PREFIX) or variable in _OF_CLIENTS:
            continue
        name = variable[len(PREFIX) :]
        if name not in settings:
            raise ValueError(f"{variable} is no setting: the settings are {', '.join(PREFIX + n for n in settings)}")
        try:
            settings[name] = SETTINGS[name].read(value)
        except ValueError as error:
            raise ValueError(f"{variable} {error}") from None
    return settings
