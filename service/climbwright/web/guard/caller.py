"""Who asks: the address of the client, and whether it came by https, as proxies that are trusted say.

X-Forwarded-For is a list to whose end each proxy adds whom it heard; anybody may have written its beginning. The client
is the last in it that is no proxy of ours.
"""

import ipaddress
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

__all__ = ["UNIX", "Proxies", "read_proxies"]

_Address = ipaddress.IPv4Address | ipaddress.IPv6Address
_Network = ipaddress.IPv4Network | ipaddress.IPv6Network
UNIX = "unix"  # a proxy that asks through a socket in the file system, and has no address
_MAPPED = ipaddress.IPv6Network("::ffff:0:0/96")
_HOST_BITS = 64  # of IPv6, which one house has for itself


def read_proxies(value: str) -> tuple[_Network | str, ...]:
    """Networks, blanks between them, or the word unix."""
    return tuple(word if word == UNIX else _network(word) for word in value.split())


def _network(text: str) -> _Network:
    try:
        network = ipaddress.ip_network(text)
    except ValueError:
        network = None
    if network is None or (isinstance(network, ipaddress.IPv6Network) and network.subnet_of(_MAPPED)):
        raise ValueError(f"must be networks such as 10.0.0.0/8 or fd00::/8 (or unix), blanks between, not '{text}'")
    return network


@lru_cache(maxsize=4096)
def _address(text: str) -> _Address | None:
    """An address as proxies write it: with or without a port, IPv6 in brackets or not, IPv4 within IPv6 as IPv4."""
    text = text.strip()
    if text.startswith("["):
        text = text[1:].partition("]")[0]
    elif text.count(":") == 1:
        text = text.partition(":")[0]
    try:
        address = ipaddress.ip_address(text.partition("%")[0])
    except ValueError:
        return None
    return (isinstance(address, ipaddress.IPv6Address) and address.ipv4_mapped) or address


def _client(address: _Address | None) -> str:
    """How a client is counted: an IPv4 address by itself, IPv6 by the network that one house has."""
    if isinstance(address, ipaddress.IPv6Address):
        return f"{ipaddress.IPv6Address(int(address) >> _HOST_BITS << _HOST_BITS)}/{_HOST_BITS}"
    return "nobody" if address is None else str(address)


class Proxies:
    """The proxies whose word is taken."""

    def __init__(self, networks: tuple[_Network | str, ...]) -> None:
        self._networks = tuple(network for network in networks if not isinstance(network, str))
        self._unix = UNIX in networks
        self._ours = lru_cache(maxsize=4096)(self._within)

    def __bool__(self) -> bool:
        return self._unix or bool(self._networks)

    def _within(self, address: _Address) -> bool:
        return any(address in network for network in self._networks)  # False where one is IPv4, the other IPv6

    def _trusted(self, peer: str) -> bool:
        address = _address(peer)
        return self._unix if address is None else self._ours(address)

    def client(self, environ: Mapping[str, Any]) -> str:
        """Whom to count a request for."""
        peer = environ.get("REMOTE_ADDR", "")
        address = _address(peer)
        if not (self and self._trusted(peer)):
            return _client(address)
        for told in reversed(environ.get("HTTP_X_FORWARDED_FOR", "").split(",")):
            found = _address(told)
            if found is None:  # no address: what stands before it is nobody's word
                break
            address = found
            if not self._ours(found):
                break
        return _client(address)

    def secure(self, environ: Mapping[str, Any]) -> bool:
        """Whether a trusted proxy says that the client came by https."""
        told = environ.get("HTTP_X_FORWARDED_PROTO")
        return (
            told is not None
            and told.strip() == "https"
            and bool(self)
            and self._trusted(environ.get("REMOTE_ADDR", ""))
        )
