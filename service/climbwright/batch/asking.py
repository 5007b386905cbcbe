"""What the command's options ask of every row, checked before anything is computed."""

import hashlib
import json
from pathlib import Path
from typing import Any

from marshmallow import ValidationError

from climbwright.batch.partition import Asked
from climbwright.batch.refused import Refused
from climbwright.units import QuantityError, display_units
from climbwright.web.build import build
from climbwright.web.fleet.batch import Wanted
from climbwright.web.problems import Problem, pointers
from climbwright.web.reading import decode_body
from climbwright.web.schemas.flying import MeasuresField

__all__ = ["asked_of"]


def asked_of(
    source: Path, shared: Path | None, measures: str | None, units: str, spread: str | None, cautions: bool
) -> Asked:
    """What is asked, with what its numbers follow from.

    Parameters
    ----------
    source : pathlib.Path
        The file whose rows are answered.
    shared : pathlib.Path, optional
        A JSON document of what all rows have in common.
    measures : str, optional
        Names of measures and groups, separated by commas.
    units : str
        Units of the answer.
    spread : str, optional
        Whether, and how, spreads are told.
    cautions : bool
        Whether the cautions of every row are.

    Raises
    ------
    Refused
        A file is not there or not JSON, or an option names nothing.
    """
    document = b"{}" if shared is None else _bytes_of(shared)
    options = {"measures": measures, "units": units, "spread": spread, "cautions": cautions}
    provenance = {
        "build": build(),
        "input": _hash_of(source),
        "shared": "sha256:" + hashlib.sha256(document).hexdigest(),
        "options": json.dumps({name: value for name, value in options.items() if value}),
    }
    wanted = Wanted(_names(measures), spread is not None, cautions)
    _check_units(units)
    return Asked(_document(document), wanted, units, provenance)


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise Refused(f"--shared: '{path}' cannot be read: {error.strerror}") from None


def _hash_of(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return "sha256:" + hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise Refused(f"IN: '{path}' cannot be read: {error.strerror}") from None


def _document(content: bytes) -> dict[str, Any]:
    try:
        return decode_body(content)
    except Problem as problem:
        raise Refused(f"--shared: {problem.detail.replace('the body', 'the file')}") from None


def _names(measures: str | None) -> list[str] | None:
    if measures is None:
        return None
    names = [name.strip() for name in measures.split(",")]
    try:
        MeasuresField().read(names)
    except ValidationError as error:
        wrong = pointers(error.messages)[0]
        name = names[int(wrong["pointer"][1:])] if wrong["pointer"] else measures
        raise Refused(f"--measures: '{name}': {wrong['detail']}") from None
    return names


def _check_units(units: str) -> None:
    try:
        display_units(units)
    except QuantityError as error:
        raise Refused(f"--units: {error}") from None
