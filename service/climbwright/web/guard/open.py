"""Whether a service is open to everyone: no keys are set, and it listens where others reach it."""

import ipaddress
from collections.abc import Iterable

from climbwright.web.settings import read_settings

__all__ = ["is_open_to_everyone"]


def is_open_to_everyone(addresses: Iterable[tuple[str, int] | str | int]) -> bool:
    """By the settings, and what is listened on: host and port, the path of a socket, or a number of an open file."""
    hosts = [address[0] for address in addresses if isinstance(address, tuple)]
    return not read_settings()["KEYS"] and not all(map(_is_loopback, hosts))


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return host == "localhost"
