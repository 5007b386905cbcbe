"""The floors of the house: nothing below imports anything above, and the web stays in web."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ABOVE = {"flask", "marshmallow", "werkzeug", "apispec", "climbwright.web", "climbwright.units"}


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    command = "import sys; from importlinter.cli import lint_imports_command as check; sys.argv = ['lint-imports', "
    command += "'--no-cache']; check()"
    environment = os.environ | {"PYTHONPATH": str(folder / "service")}
    return subprocess.run([sys.executable, "-c", command], cwd=folder, env=environment, capture_output=True, text=True)


def copy_of_the_house(folder: Path) -> Path:
    shutil.copy(ROOT / "pyproject.toml", folder)
    ignored = shutil.ignore_patterns("__pycache__", "static")
    shutil.copytree(ROOT / "service" / "climbwright", folder / "service" / "climbwright", ignore=ignored)
    return folder


def test_contracts_are_kept():
    outcome = lint_imports(ROOT)
    assert outcome.returncode == 0, outcome.stdout
    assert " 0 broken" in outcome.stdout


@pytest.mark.parametrize(
    ("room", "line"),
    [
        ("air", "import climbwright.aircraft"),
        ("aircraft", "from climbwright import flight"),
        ("flight", "import climbwright.answers"),
        ("answers", "from climbwright.web import create_app"),
        ("flight", "from climbwright.units import parse"),
        ("answers", "import flask"),
        ("aircraft", "from marshmallow import Schema"),
    ],
)
def test_a_broken_floor_is_found(tmp_path, room, line):
    house = copy_of_the_house(tmp_path)
    (house / "service" / "climbwright" / room / "trespasser.py").write_text(f"{line}\n")
    outcome = lint_imports(house)
    assert outcome.returncode == 1
    assert f"climbwright.{room}.trespasser" in outcome.stdout


def test_units_imports_no_other_room(tmp_path):
    house = copy_of_the_house(tmp_path)
    with (house / "service" / "climbwright" / "units.py").open("a") as file:
        file.write("import climbwright.air\n")
    assert lint_imports(house).returncode == 1


@pytest.mark.parametrize("room", ["air", "aircraft", "flight", "answers"])
def test_room_runs_without_the_web(room):
    """In a process of its own: here other tests have imported Flask already."""
    code = f"""
import importlib, pkgutil, sys
import climbwright.{room} as room
for module in pkgutil.walk_packages(room.__path__, room.__name__ + "."):
    importlib.import_module(module.name)
print(*sorted({ABOVE!r} & set(sys.modules)))
"""
    outcome = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (outcome.returncode, outcome.stdout.strip()) == (0, ""), outcome.stderr
