import shutil
import zipfile
from pathlib import Path

import pytest

from .office import office

collect_ignore = ["in_office.py"]  # runs in another Python, which has the bridge
FOLDER = Path(__file__).parents[3] / "clients" / "spreadsheet"


@pytest.fixture(scope="session")
def offices(tmp_path_factory):
    """Starts LibreOffice in a locale, once for each; workbooks are opened from its folder."""
    opened = {}
    running = []

    def started(locale):
        if locale not in opened:
            folder = tmp_path_factory.mktemp(f"office-{locale}")
            context = office(folder, locale)
            opened[locale] = (context.__enter__(), folder)
            running.append(context)
        return opened[locale]

    yield started
    for context in running:
        context.__exit__(None, None, None)


def addressed(source, target, address):
    """A copy of a workbook, as if it had been saved with another address of the service."""
    if address is None:
        shutil.copy(source, target)
        return
    with zipfile.ZipFile(source) as held, zipfile.ZipFile(target, "w") as copy:
        for entry in held.infolist():
            copy.writestr(entry, held.read(entry).replace(b">http://127.0.0.1:8000<", f">{address}<".encode()))


class Book:
    """The planning workbook, open in an office."""

    def __init__(self, office, folder, kind, address=None):
        self._office = office
        self.path = folder / f"flight-planning.{kind}"
        addressed(FOLDER / self.path.name, self.path, address)
        assert office.call("open", str(self.path))

    def type(self, typed, sheet="Inputs"):
        """Type into cells, as the office's locale writes it; what hangs on them is fetched again."""
        self._office.call("type", [[sheet, cell, text] for cell, text in typed.items()])

    def cells(self):
        return self._office.read()

    def call(self, name, *arguments):
        return self._office.call(name, *arguments)


@pytest.fixture
def book(offices):
    """Opens the workbook of a kind in an office of a locale."""
    opened = []

    def opening(kind, locale="en-US", address=None):
        running, folder = offices(locale)
        opened.append(Book(running, folder, kind, address))
        return opened[-1]

    yield opening
    for one in opened:
        one.call("close")
