"""The command ``climbwright``: whole files answered as the fleet operation answers the body of a request."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import click

from climbwright.answers.notes import ESTIMATE
from climbwright.batch.asking import asked_of
from climbwright.batch.engines import Answers, in_processes, in_this_process, on_dask
from climbwright.batch.files import form_of
from climbwright.batch.joining import Joined, join
from climbwright.batch.partition import Asked, Partition
from climbwright.batch.parts import Parts, parts_of
from climbwright.batch.reading import Source, open_source
from climbwright.batch.refused import Refused
from climbwright.units import display_units
from climbwright.web.fleet.tables import pyarrow
from climbwright.web.guard.keys import entry_of, new_key
from climbwright.web.problems import Problem
from climbwright.web.rendering.quantities import cautions_json

__all__ = ["main"]

_INTERRUPTED = 130  # what shells say of a command that Ctrl-C ended


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="climbwright")
def main() -> None:
    """What a re-engined light aeroplane will weigh, where it will balance and how it will fly: whole files at once."""


@main.command(short_help="Make a key for someone who may ask the service.")
@click.argument("name")
def key(name: str) -> None:
    """Make a key for NAME, and print it this once, with the entry of the setting CLIMBWRIGHT_KEYS that lets it in.

    The key is 192 random bits. Nothing keeps it: the entry holds its SHA-256 only.
    """
    made = new_key()
    try:
        entry = entry_of(name, made)
    except ValueError as error:
        raise Refused(f"NAME: {error}") from None
    click.echo(f"{made}\n{entry}")
    click.echo("The first line is the key: hand it out. The second is its entry in CLIMBWRIGHT_KEYS.", err=True)


@main.command(short_help="Answer a file of configurations and conditions.")
@click.argument("source", metavar="IN", type=click.Path(path_type=Path))
@click.argument("out", metavar="OUT", type=click.Path(path_type=Path))
@click.option("--shared", metavar="FILE.json", type=click.Path(path_type=Path), help="What all rows have in common.")
@click.option("--measures", metavar="NAME,...", help="Measures or groups wanted, in place of the usual ones.")
@click.option("--units", default="aviation", show_default=True, help="Units of OUT, as us or metric,speed:mph.")
@click.option("--spread", type=click.Choice(["linear"]), help="With the plus_minus of every measure.")
@click.option("--cautions", is_flag=True, help="With the codes of every row's cautions.")
@click.option("--rows", default=100_000, show_default=True, type=click.IntRange(1), help="Rows of a partition.")
@click.option("--engine", default="local", show_default=True, type=click.Choice(["local", "dask"]))
@click.option("--workers", type=click.IntRange(1), help="Processes of the local engine.  [default: 1]")
@click.option("--scheduler", metavar="ADDRESS", help="Of the Dask cluster, as tcp://HOST:8786.")
@click.option("--fresh", is_flag=True, help="Replace OUT and begin anew, whatever an earlier run left.")
@click.option("--quiet", is_flag=True, help="Say nothing but what is wrong.")
def fleet(source: Path, out: Path, rows: int, fresh: bool, quiet: bool, **options: Any) -> None:
    """Answer every row of IN and write OUT: .csv, .parquet, .arrow or .feather (Arrow files), .arrows (a stream).

    Columns are called as in the service's fleet operation: a field and its unit, "aircraft.engine.power [hp]", or a
    name of your own, which goes through. In Parquet and Arrow the unit may stand in the field's metadata. A row that
    is wrong keeps its place and says in the column status what is wrong. There is no combine=cross here: every row is
    an aeroplane in its air.

    Finished partitions are kept in OUT.parts until OUT is whole: after an interruption the same command goes on from
    there. It ends with 0 when every row has its status, with 1 when it refuses, in one line.
    """
    started = time.monotonic()
    try:
        engine = _engine(options.pop("engine"), options.pop("workers"), options.pop("scheduler"))
        _check_files(source, out)
        before = _state(source)
        asked = asked_of(source, **options)
        reading = open_source(source, rows)
        with parts_of(out, {**asked.provenance, "rows": str(rows)}, fresh) as parts:
            tally = _compute(parts, reading, asked, engine, quiet)
            if _state(source) != before:
                raise Refused(f"IN: '{source}' changed while it was read: leave it alone and send --fresh")
            joined = _join(parts, tally, out, quiet)
    except OSError as error:
        raise Refused(f"'{error.filename or out}': {error.strerror or error}") from None
    except KeyboardInterrupt:
        again = "the same command" + (" without --fresh" if fresh else "")
        click.echo(f"\nInterrupted: what is finished is kept in {out}.parts; {again} goes on from it.", err=True)
        raise SystemExit(_INTERRUPTED) from None
    if not quiet:
        click.echo(cautions_json([ESTIMATE], display_units("aviation"))[0]["text"])
        click.echo(_told(out, joined, tally, asked, time.monotonic() - started))


_Engine = Callable[[Asked, Iterator[Partition]], Answers]


def _engine(name: str, workers: int | None, scheduler: str | None) -> _Engine:
    """What answers the partitions, of the options that go with it."""
    if name == "dask":
        if scheduler is None:
            raise Refused("--engine dask needs a cluster: send its --scheduler ADDRESS")
        if workers is not None:
            raise Refused("--workers are processes of --engine local: a Dask cluster brings its own, leave it out")
        return partial(on_dask, address=scheduler)
    if scheduler is not None:
        raise Refused("--scheduler is that of a Dask cluster: send --engine dask too, or leave it out")
    return in_this_process if workers in (None, 1) else partial(in_processes, workers=workers)


def _check_files(source: Path, out: Path) -> None:
    """Refuse files that are none of ours, not there, or the same; and an installation that reads none."""
    form_of(source, "IN")
    form_of(out, "OUT")
    if not source.is_file():
        raise Refused(f"IN: there is no file '{source}'")
    if out.is_dir() or not out.parent.is_dir():
        raise Refused(f"OUT: '{out}' cannot be a file: name one in a folder that is there")
    if out.exists() and out.samefile(source):
        raise Refused("OUT is IN: name another file")
    try:
        pyarrow()
    except Problem:
        raise Refused("what reads and writes files is not installed: install climbwright[fleet]") from None


@dataclass(slots=True)
class _Tally:
    """Partitions of the file, and those of them that an earlier run had finished."""

    partitions: int = 0
    kept: int = 0


def _compute(parts: Parts, reading: Source, asked: Asked, engine: _Engine, quiet: bool) -> _Tally:
    """Answer the partitions that no earlier run has finished."""
    tally = _Tally()
    with _bar("answering", reading.length, quiet) as bar:

        def unfinished() -> Iterator[Partition]:
            for partition in reading.partitions:
                tally.partitions += 1
                if parts.has(partition.number):
                    tally.kept += 1
                    bar.update(partition.step)
                else:
                    yield partition

        with closing(engine(asked, unfinished())) as answers:
            for partition, answer in answers:
                parts.write(partition.number, answer)
                bar.update(partition.step)
    return tally


def _bar(label: str, length: int, quiet: bool) -> Any:
    return click.progressbar(length=length, label=label, file=sys.stderr, hidden=quiet)


def _state(path: Path) -> tuple[int, int]:
    """What changes when a file does."""
    found = path.stat()
    return found.st_size, found.st_mtime_ns


def _join(parts: Parts, tally: _Tally, out: Path, quiet: bool) -> Joined:
    """Make OUT of its parts, whole or not at all."""
    with _bar("joining", tally.partitions, quiet) as bar:

        def paths() -> Iterator[Path]:
            for number in range(tally.partitions):
                yield parts.path(number)
                bar.update(1)

        joined = join(paths(), form_of(out, "OUT"), parts.joined)
    parts.become(out)
    return joined


def _told(out: Path, joined: Joined, tally: _Tally, asked: Asked, seconds: float) -> str:
    """The closing line."""
    wrong = joined.rows - joined.right
    kept = f", {tally.kept} of them from an earlier run" if tally.kept else ""
    where = ", whose column status says why" if wrong else ""
    of = " ".join(f"{name} {value}" for name, value in asked.provenance.items() if name != "options")
    return (
        f"{out}: {_counted(joined.rows, 'row')}, {joined.right} right and {wrong} wrong{where}; "
        f"{_counted(tally.partitions, 'partition')}{kept}; {seconds:.1f} s; {of}"
    )


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
