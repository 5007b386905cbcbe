"""Which build answers: the version, and a hash of the package's own source."""

import hashlib
import json
from functools import cache
from importlib import metadata
from pathlib import Path
from typing import Any

__all__ = ["build", "input_hash", "version"]


@cache
def version() -> str:
    """The package's version."""
    return metadata.version("climbwright")


@cache
def build() -> str:
    """Version and source hash, so that a signed page can be reproduced."""
    root = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256()
    for path in sorted(root.rglob("*.py")):
        digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return f"{version()}+{digest.hexdigest()[:12]}"


_CANONICAL = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def input_hash(operation: str, given: Any) -> str:
    """Hash of a request's canonical form: the operation and its fields, sorted."""
    canonical = _CANONICAL.encode([operation, given])
    return "sha256:" + hashlib.sha256(canonical.encode("utf-8", "surrogatepass")).hexdigest()
