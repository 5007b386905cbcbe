"""Writes LICENCES.md: the licence of every package that the lock files bring to who runs the service.

Run it after the lock files were renewed, where all of them are installed (service/start --install test does that):
.venv/bin/python docker/licences.py
"""

import re
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TARGET = ROOT / "docker" / "LICENCES.md"
LOCKS = {
    "service": "requirements.lock",
    "tables": "requirements-fleet.lock",
    "traces": "requirements-traces.lock",
}
_LOCKED = re.compile(r"^([A-Za-z0-9._-]+)==([^ ;]+)", re.MULTILINE)

# What a package's own data do not say in a name that everybody knows: read in the licence file that it brings.
SAID = {
    "blinker": "MIT",
    "itsdangerous": "BSD-3-Clause",
    "jinja2": "BSD-3-Clause",
    "metar": "BSD-1-Clause",
    "partd": "BSD-3-Clause",
    "pathspec": "MPL-2.0",
    "protobuf": "BSD-3-Clause",
    "sortedcontainers": "Apache-2.0",
    "trove-classifiers": "Apache-2.0",
    "zict": "BSD-3-Clause",
    # for Python before 3.11.3 only, and so seldom installed
    "async-timeout": "Apache-2.0",
    # for Python before 3.12 only
    "lazy-importer": "Apache-2.0",
}

# Licences that ask for no more than to be named with the copy.
PERMISSIVE = frozenset(
    "0BSD Apache-2.0 BSD-1-Clause BSD-2-Clause BSD-3-Clause CC0-1.0 ISC MIT PSF-2.0 Unlicense Zlib".split()
)
# Those that ask for more, and why the packages may still be shipped beside ours.
EXCEPTIONS = {
    "certifi": "MPL-2.0 covers the files of this package, which is passed on as it is; ours are not touched by it",
    "orjson": "MPL-2.0 covers files of this package, which is passed on as it is; ours are not touched by it",
    "pathspec": "MPL-2.0 covers the files of this package; it builds the service and does not run in it",
}

HEAD = """# Licences of what is shipped

climbwright itself is MIT (see LICENSE). Beside it the container, and an installation by `service/start`, hold these
packages as their makers published them, each with its licence file in its own folder. Made by `docker/licences.py` from
the lock files; a test compares. *tables* are the packages for fleets as files, *traces* those for spans of requests.

All are permissive: they ask to be named, no more. The exceptions stand below the table.

| package | version | for | licence |
|---|---|---|---|
"""

FOOT = """
The ready-made packages of numpy for Linux bring OpenBLAS and LAPACK (BSD-3-Clause) and run-time libraries of
GCC: libgfortran (GPL-3.0 with the GCC Runtime Library Exception, which leaves programs that use it alone) and
libquadmath (LGPL-2.1, a library of its own that may be replaced). Their licence files say so.
"""


def locked():
    """Of each package its versions, several where Pythons differ, and what for: what the service has, all share."""
    packages = {}
    for purpose, lock in LOCKS.items():
        for name, version in _LOCKED.findall((ROOT / "service" / lock).read_text("utf-8")):
            versions, purposes = packages.setdefault(name, ([], []))
            if version not in versions:
                versions.append(version)
            if purpose not in purposes and "service" not in purposes:
                purposes.append(purpose)
    return packages


def licence(name):
    """The licence of a package, as an SPDX expression."""
    if name in SAID:
        return SAID[name]
    told = metadata.metadata(name)
    # Asked by `get`: where the back-port of importlib.metadata is loaded, a field not there is a KeyError.
    return told.get("License-Expression") or told.get("License")


def licences_in(expression):
    """The single licences that an expression names."""
    return set(re.findall(r"[^\s()]+", expression)) - {"AND", "OR"}


def document():
    """The file as it has to be."""
    rows = [
        f"| {name} | {', '.join(versions)} | {', '.join(purposes)} | {licence(name)} |\n"
        for name, (versions, purposes) in sorted(locked().items())
    ]
    exceptions = [f"- `{name}`: {reason}.\n" for name, reason in EXCEPTIONS.items()]
    return f"{HEAD}{''.join(rows)}\n## Exceptions\n\n{''.join(exceptions)}{FOOT}"


if __name__ == "__main__":
    TARGET.write_text(document(), "utf-8")
