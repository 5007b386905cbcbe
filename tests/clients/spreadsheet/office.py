"""LibreOffice Calc without a screen, in a profile of the test's own that lets workbooks of one folder call out."""

import contextlib
import json
import subprocess
import uuid
from pathlib import Path
from typing import NamedTuple

WITH_THE_BRIDGE = "/usr/bin/python3"  # Debian's, for which python3-uno is
_SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="SecureURL" oor:op="fuse"><value>
<it>file://{folder}</it></value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value>
</prop></item>
</oor:items>
"""


class Cell(NamedTuple):
    """A cell's number or text, whether it holds an error, and its formula."""

    value: float | str
    error: bool
    formula: str | None


class Office:
    """Calls go on to `in_office.Office`, which says what they do."""

    def __init__(self, process):
        self._process = process

    def call(self, name, *arguments):
        self._process.stdin.write(json.dumps([name, *arguments]) + "\n")
        self._process.stdin.flush()
        answer = json.loads(self._process.stdout.readline())
        if "error" in answer:
            raise RuntimeError(answer["error"])
        return answer["answer"]

    def read(self):
        return {place: Cell(*cell) for place, cell in self.call("read").items()}


@contextlib.contextmanager
def office(folder: Path, locale="en-US"):
    """An office whose profile lies in a folder and which trusts the workbooks of that folder."""
    profile = folder / f"profile-{locale}"
    (profile / "user").mkdir(parents=True)
    settings = _SETTINGS.format(folder=folder, locale=locale)
    (profile / "user" / "registrymodifications.xcu").write_text(settings, "utf-8")
    program = Path(__file__).with_name("in_office.py")
    process = subprocess.Popen(
        [WITH_THE_BRIDGE, str(program), str(profile), f"climbwright-{uuid.uuid4().hex}"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    made = Office(process)
    try:
        yield made
    finally:
        with contextlib.suppress(RuntimeError, ValueError, OSError):
            made.call("end")
        process.stdin.close()
        process.stdout.close()
        process.wait(timeout=30)
