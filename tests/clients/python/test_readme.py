"""The package's README says what happens."""

import doctest
import os
import re
import shlex
import subprocess
import sys

import pytest

from .asking import OPERATIONS, ROOT

README = (ROOT / "clients" / "python" / "README.md").read_text("utf-8")
CALLS = re.findall(r"^climbwright-client .*$", README, re.M)


def test_the_examples_answer_what_they_show(server, recwarn):
    text = README.replace("http://127.0.0.1:8000", server)
    names = {}
    examples = doctest.DocTestParser().get_doctest(text, names, "README.md", "README.md", 0)
    said = []
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    outcome = runner.run(examples, out=said.append, clear_globs=False)
    examples.globs["client"].close()
    assert outcome.attempted > 10
    assert not outcome.failed, "".join(said)


@pytest.mark.parametrize("call", [call for call in CALLS if "aircraft.json" not in call])
def test_the_commands_run(server, tmp_path, call):
    (tmp_path / "openapi").symlink_to(ROOT / "openapi")
    command = call.replace("climbwright-client", f"{shlex.quote(sys.executable)} -m climbwright_client.command", 1)
    said = subprocess.run(
        ["sh", "-c", command], cwd=tmp_path, capture_output=True, text=True, timeout=60,
        env=os.environ | {"CLIMBWRIGHT_ADDRESS": server},
    )  # fmt: skip
    assert said.returncode == 0, said.stderr
    assert said.stdout or (tmp_path / "answers.csv").exists()


def test_every_operation_and_every_error_is_named():
    from climbwright_client import errors

    for operation in OPERATIONS:
        assert f"`{operation.replace('-', '_')}`" in README
    for name in errors.__all__:
        if name != "FieldError" and name != "Refused":
            assert f"`{name}`" in README
