"""The README's calls, made to a real server, answer what the README shows."""

import json
import re
import subprocess
from pathlib import Path

import pytest

from climbwright.web.operations import OPERATIONS
from climbwright.web.settings import PREFIX, SERVER_SETTINGS, SETTINGS

from ..alike import alike, cells

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")
CALLS = re.findall(r"```sh\n(curl .*?)\n```\n\n```(\w+)\n(.*?)\n```", README, re.S)
BUILD = re.compile(r"Build \S+")


@pytest.mark.parametrize(("command", "form", "shown"), CALLS, ids=[call[0].split("/v1/")[1][:40] for call in CALLS])
def test_the_readme_shows_what_comes_back(server, command, form, shown):
    said = subprocess.run(
        ["bash", "-c", command.replace("http://127.0.0.1:8000", server)],
        capture_output=True, text=True, cwd=ROOT, check=True, timeout=30,
    ).stdout.strip("\r\n")  # fmt: skip
    if form == "json":
        alike(json.loads(said), json.loads(shown), rel=1e-6)
    elif form == "csv":
        alike(cells(said), cells(shown), rel=1e-6)
    else:
        assert BUILD.sub("Build", said) == BUILD.sub("Build", shown)


def test_every_block_closes_and_every_answer_follows_its_call():
    fences = re.findall(r"^```(\w*)$", README, re.M)
    assert all(fences[::2])
    assert not any(fences[1::2])
    answers = [kind for kind in fences[::2] if kind != "sh"]
    assert len(answers) == len(CALLS)


def test_every_operation_is_called():
    assert {command.split("/v1/")[1].split("?")[0].strip("'") for command, _, _ in CALLS} == {*OPERATIONS, "fleet"}


def test_the_job_stands_at_the_top():
    paragraph = README.split("\n\n")[1]
    assert "kit aeroplane" in paragraph
    assert "before you cut metal" in paragraph


def test_every_setting_is_in_the_table():
    for name, setting in ({PREFIX + name: setting for name, setting in SETTINGS.items()} | SERVER_SETTINGS).items():
        assert f"| `{name}` | {setting.default or 'none'} |" in README
