"""What kinds of file the command reads and writes, told by their names."""

from pathlib import Path

from climbwright.batch.refused import Refused

__all__ = ["form_of"]

_FORMS = {".csv": "csv", ".parquet": "parquet", ".arrow": "file", ".feather": "file", ".arrows": "stream"}


def form_of(path: Path, argument: str) -> str:
    """Which of csv, parquet, Arrow file and Arrow stream a file is.

    Raises
    ------
    Refused
        Its name does not say.
    """
    form = _FORMS.get(path.suffix.lower())
    if form is None:
        raise Refused(f"{argument}: '{path.name}' does not say what it is: name a file {', '.join(_FORMS)}")
    return form
