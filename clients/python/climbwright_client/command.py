"""The command `climbwright-client`."""

import argparse
import json
import os
import sys
from typing import Any

from climbwright_client.client import ADDRESS, Climbwright
from climbwright_client.errors import Busy, ClimbwrightError, NotSent, Unreachable
from climbwright_client.fleet import PARALLEL, ROWS
from climbwright_client.operations import OPERATIONS
from climbwright_client.packing import pack
from climbwright_client.retrying import Retry

__all__ = ["main"]

_CAUTION = (
    "Every figure is an estimate, not a flight manual: local rules, an approved weighing and a licensed\n"
    "inspector decide."
)
_ENDS = f"""
exit codes:
  0  answered
  1  refused, by the service or before: the message says what to mend
  2  a command or an option that is not known, or not in that form
  3  the service is busy, or cannot be reached: try again
  130  interrupted

{_CAUTION}
"""


def parser() -> argparse.ArgumentParser:
    """The command's options."""
    whole = argparse.ArgumentParser(
        prog="climbwright-client",
        description="Ask a climbwright service. Operations take a request as a JSON file and print the answer.",
        epilog=_ENDS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = whole.add_subparsers(metavar="COMMAND", required=True)
    for operation, summary in OPERATIONS.items():
        if operation == "fleet":
            continue
        one = commands.add_parser(operation, help=summary, description=f"{summary}.")
        one.add_argument("request", metavar="FILE", help="the request in JSON; - reads standard input")
        _connection(one)
        form = one.add_mutually_exclusive_group()
        form.add_argument("--json", dest="form", action="store_const", const="json", help="print JSON")
        form.add_argument("--csv", dest="form", action="store_const", const="csv", help="print CSV")
        form.add_argument("--pick", metavar="FIELD", help="print this one value: a field's name, or a JSON Pointer")
        one.add_argument("--units", metavar="UNITS", help="units of the answer: us,speed:mph")
        one.add_argument("--working", action="store_true", default=None, help="show the calculation")
        one.add_argument("--spread", choices=("linear", "sampled"), help="how spreads are told")
        one.set_defaults(run=_operation, operation=operation)
    _fleet(commands.add_parser("fleet", help=OPERATIONS["fleet"], description=f"{OPERATIONS['fleet']}."))
    packed = commands.add_parser(
        "pack",
        help="pack an aircraft for the address of a GET",
        description="Print an aircraft as a value of aircraft=.",
    )
    packed.add_argument("aircraft", metavar="FILE", help="the aircraft in JSON; - reads standard input")
    packed.set_defaults(run=lambda asked: print(pack(_read(asked.aircraft))))
    return whole


def _connection(command: argparse.ArgumentParser) -> None:
    said = os.environ.get("CLIMBWRIGHT_ADDRESS") or ADDRESS
    command.add_argument(
        "--address", default=said, help=f"the service; else the variable CLIMBWRIGHT_ADDRESS, else {ADDRESS}"
    )
    command.add_argument("--timeout", type=float, default=60.0, metavar="SECONDS", help="how long to wait (60)")
    command.add_argument("--attempts", type=int, default=4, metavar="N", help="how often to try a busy service (4)")


def _client(asked: argparse.Namespace) -> Climbwright:
    return Climbwright(asked.address, timeout=asked.timeout, retry=Retry(attempts=asked.attempts))


def _fleet(command: argparse.ArgumentParser) -> None:
    command.add_argument("table", metavar="IN", help="a CSV or Parquet file")
    command.add_argument("into", metavar="OUT", help="the file of answers, .csv or .parquet")
    _connection(command)
    command.add_argument("--shared", metavar="FILE", help="what all rows have in common, in JSON")
    command.add_argument("--measures", metavar="NAMES", help="measures by name or group, with commas between")
    command.add_argument("--units", metavar="UNITS", help="units of the answers: us,speed:mph")
    command.add_argument("--spread", choices=("linear",), help="add one standard deviation of each number")
    command.add_argument("--cautions", action="store_true", default=None, help="add the codes of each row's cautions")
    command.add_argument("--rows", type=int, default=ROWS, metavar="N", help=f"rows of one request ({ROWS})")
    command.add_argument("--parallel", type=int, default=PARALLEL, metavar="N", help=f"requests at a time ({PARALLEL})")
    command.add_argument("--replace", action="store_true", help="replace OUT")
    command.add_argument("--quiet", action="store_true", help="say nothing but what is wrong")
    command.set_defaults(run=_answer_fleet)


def _read(name: str) -> Any:
    """A JSON file, or standard input."""
    where = "standard input" if name == "-" else name
    with open(0 if name == "-" else name, "rb", closefd=name != "-") as file:
        content = file.read()
    try:
        return json.loads(content, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise NotSent(f"{where} is no JSON: {error}") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object whose names are all different: of two equal ones the service would see the last alone."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(f"{next(name for name in names if names.count(name) > 1)!r} is there twice")
    return found


def _operation(asked: argparse.Namespace) -> None:
    options = {"units": asked.units, "working": asked.working, "spread": asked.spread, "pick": asked.pick}
    form = asked.form or (None if asked.pick else "text")
    with _client(asked) as client:
        told = client.text(asked.operation, _read(asked.request), format=form, **options)
    print(told, end="" if told.endswith("\n") else "\n")


def _answer_fleet(asked: argparse.Namespace) -> None:
    shared = None if asked.shared is None else _read(asked.shared)
    with _client(asked) as client:
        written = client.fleet(
            asked.table, into=asked.into, replace=asked.replace, shared=shared, measures=asked.measures,
            units=asked.units, spread=asked.spread, cautions=asked.cautions, rows=asked.rows, parallel=asked.parallel,
            progress=False if asked.quiet else None,
        )  # fmt: skip
    if not asked.quiet:
        wrong = f"{written.wrong:,} wrong (its status says why)" if written.wrong else "none wrong"
        print(f"{written.path}: {written.right:,} rows right, {wrong}", file=sys.stderr)
        print(_CAUTION, file=sys.stderr)


def main(arguments: list[str] | None = None) -> int:
    """Run the command; its exit code."""
    asked = parser().parse_args(arguments)
    try:
        asked.run(asked)
        print(end="", flush=True)  # also where there is no standard output
    except (Busy, Unreachable) as error:
        return _failed(error, 3)
    except (ClimbwrightError, ValueError) as error:
        return _failed(error, 1)
    except BrokenPipeError:  # who read the answer has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        return _failed(f"{error.filename or 'standard input or output'}: {error.strerror or error}", 1)
    except KeyboardInterrupt:
        return _failed("interrupted", 130)
    return 0


def _failed(error: object, code: int) -> int:
    print(f"climbwright-client: {error}", file=sys.stderr)
    return code


if __name__ == "__main__":
    sys.exit(main())
