"""Finished partitions beside the file that they will become: what a run that was interrupted goes on from.

The folder ``OUT.parts`` holds a manifest, which says what run it is of, and an Arrow stream for every partition that is
finished. Files appear in it whole or not at all.
"""

import fcntl
import json
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from climbwright.batch.refused import Refused

__all__ = ["Parts", "parts_of"]

_UNFINISHED = ".writing"
_MANIFEST = "manifest.json"


@dataclass(frozen=True, slots=True)
class Parts:
    """The folder of a run."""

    folder: Path

    def path(self, number: int) -> Path:
        """Where a partition's answer is, or will be."""
        return self.folder / f"{number:09d}.arrows"

    def has(self, number: int) -> bool:
        """Whether a partition is finished."""
        return self.path(number).exists()

    def write(self, number: int, answer: bytes) -> None:
        """Keep a partition's answer."""
        _write(self.path(number), answer)

    @property
    def joined(self) -> Path:
        """Where the parts are put together before they become OUT."""
        return self.folder / f"joined{_UNFINISHED}"

    def become(self, out: Path) -> None:
        """Give what was put together its name, and throw the folder away."""
        with self.joined.open("rb") as file:
            os.fsync(file.fileno())
        self.joined.replace(out)
        self.remove()

    def remove(self) -> None:
        """Throw the folder away."""
        shutil.rmtree(self.folder)


@contextmanager
def parts_of(out: Path, run: Mapping[str, str], fresh: bool) -> Iterator[Parts]:
    """The folder of a run, new or with what an earlier one has finished; no other run may use it meanwhile.

    Parameters
    ----------
    out : pathlib.Path
        The file that the parts will become.
    run : mapping
        What the run is: its input, its options and the build.
    fresh : bool
        Whether to throw away what an earlier run left, and to replace `out`.

    Yields
    ------
    Parts
        At the end the folder is thrown away if nothing in it is finished.

    Raises
    ------
    Refused
        `out` is there already, or the folder belongs to another run or to something else.
    """
    parts = Parts(out.with_name(out.name + ".parts"))
    if out.exists() and not fresh and _run_of(parts.folder) != run:
        raise Refused(f"OUT: '{out}' is there already: name another, or send --fresh to replace it")
    with _kept_to_ourselves(parts.folder):
        earlier = _run_of(parts.folder)
        if fresh:
            for path in parts.folder.iterdir():
                path.unlink()
        elif earlier not in (None, run):
            raise _other(parts.folder, earlier or {}, run)
        _write(parts.folder / _MANIFEST, json.dumps(run, indent=1).encode())
        try:
            yield parts
        finally:
            if parts.folder.exists() and not any(parts.folder.glob("*.arrows")):
                parts.remove()


@contextmanager
def _kept_to_ourselves(folder: Path) -> Iterator[None]:
    folder.mkdir(exist_ok=True)
    held = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield
    except BlockingIOError:
        raise Refused(f"another run writes into '{folder}': wait for its end, or name another OUT") from None
    finally:
        os.close(held)


def _run_of(folder: Path) -> dict[str, str] | None:
    """The run that a folder is of; None where it is not there, or nothing is in it."""
    manifest = folder / _MANIFEST
    if manifest.exists():
        try:
            run = json.loads(manifest.read_bytes())
        except ValueError:
            run = None
        if isinstance(run, dict):
            return run
    elif not folder.exists() or all(path.suffix == _UNFINISHED for path in folder.iterdir()):
        return None
    raise Refused(f"'{folder}' is no folder of parts: move it away, or name another OUT")


def _other(folder: Path, earlier: Mapping[str, str], run: Mapping[str, str]) -> Refused:
    what = ", ".join(name for name in run if earlier.get(name) != run[name]) or "something"
    return Refused(
        f"'{folder}' holds parts of another run ({what} is not the same): "
        "remove the folder, name another OUT, or send --fresh to begin anew"
    )


def _write(path: Path, content: bytes) -> None:
    unfinished = path.with_name(path.name + _UNFINISHED)
    with unfinished.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())  # a name must never stand for a file that a power cut left empty
    unfinished.replace(path)
