"""API keys: who may ask, where the operator says so.

A key is 192 random bits. Its plain SHA-256 may therefore stand in a setting: slow, salted hashes protect words that
people choose and that can be guessed, and nobody guesses 192 bits however fast a guess is checked.
"""

import hashlib
import hmac
import re
import secrets
from collections.abc import Callable, Mapping

from werkzeug.datastructures import Authorization

__all__ = ["NEEDED_FOR", "TABLES", "Keys", "entry_of", "new_key", "read_keys", "read_needed_for"]

_BYTES = 24
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
_DIGEST = re.compile(r"[0-9a-f]{64}")

TABLES = frozenset({"/v1/fleet", "/v1/operability"})
# Which requests for an answer need a key, by method and path; the metrics need one always.
NEEDED_FOR: Mapping[str, Callable[[str, str], bool]] = {
    "all": lambda method, path: True,
    "post": lambda method, path: method == "POST",
    "tables": lambda method, path: path in TABLES,
}


def new_key() -> str:
    """A key that was never used: hexadecimal, so that no program and no shell reads anything into it."""
    return secrets.token_hex(_BYTES)


def entry_of(name: str, key: str) -> str:
    """What stands in CLIMBWRIGHT_KEYS for a key.

    Raises
    ------
    ValueError
        The name cannot stand there.
    """
    if not _NAME.fullmatch(name):
        raise ValueError("a name has 1 to 40 letters, digits, dots, underscores and hyphens, a letter or digit first")
    return f"{name}:{_digest(key).hex()}"


def _digest(key: str) -> bytes:
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).digest()


def read_keys(value: str) -> tuple[tuple[str, bytes], ...]:
    """Names and digests. A name may come twice, so that a new key can be handed out before the old one goes."""
    entries = []
    for number, entry in enumerate(value.split(), 1):
        name, _, digest = entry.partition(":")
        if not (_NAME.fullmatch(name) and _DIGEST.fullmatch(digest)):
            # never quoted: somebody may have put the key itself here
            raise ValueError(
                f"must be NAME:SHA256 with blanks between, as `climbwright key NAME` prints: not entry {number}"
            )
        entries.append((name, bytes.fromhex(digest)))
    if len({digest for _, digest in entries}) < len(entries):
        raise ValueError("holds one key twice: give everybody a key of their own")
    return tuple(entries)


def read_needed_for(value: str) -> str:
    """One of `NEEDED_FOR`."""
    if value not in NEEDED_FOR:
        raise ValueError(f"must be one of {', '.join(NEEDED_FOR)}, not '{value}'")
    return value


class Keys:
    """The keys that are known."""

    def __init__(self, entries: tuple[tuple[str, bytes], ...]) -> None:
        self._entries = entries

    def __bool__(self) -> bool:
        return bool(self._entries)

    def holder(self, sent: Authorization | None) -> str | None:
        """Whose key was sent, as a bearer token or as the password of Basic; None where it is not known."""
        key = None if sent is None else sent.token if sent.type == "bearer" else sent.password
        if key is None:
            return None
        digest, holder = _digest(key), None
        for name, known in self._entries:  # to the end, so that the time tells nothing
            if hmac.compare_digest(known, digest):
                holder = name
        return holder
