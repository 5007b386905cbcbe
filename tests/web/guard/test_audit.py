"""The check of locked packages: it fails for a vulnerability, warns without a network, and never passes unseen."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from ...serving import ROOT

SOUND = {"name": "sound", "version": "1.0", "vulns": []}
WRONG = {"name": "wrong", "version": "2.0", "vulns": [{"id": "EXAMPLE-1", "fix_versions": ["2.1"]}]}
UNKNOWN = {"name": "unknown", "skip_reason": "not found"}


def audit(path, **environment):
    return subprocess.run(
        [sys.executable, str(ROOT / "tests" / "audit")],
        capture_output=True,
        text=True,
        env=os.environ | {"PATH": f"{path}:{os.environ['PATH']}"} | environment,
        timeout=300,
    )


@pytest.fixture
def answering(tmp_path):
    """The check, where pip-audit says this."""

    def run(said="", complained="", code=0):
        (tmp_path / "said").write_text(said)
        (tmp_path / "complained").write_text(complained)
        program = tmp_path / "pip-audit"
        program.write_text(f"#!/bin/sh\ncat '{tmp_path}/said'; cat '{tmp_path}/complained' >&2; exit {code}\n")
        program.chmod(0o755)
        return audit(tmp_path)

    return run


def packages(*found):
    return json.dumps({"dependencies": list(found), "fixes": []})


def test_a_vulnerability_fails(answering):
    found = answering(packages(SOUND, WRONG), code=1)
    assert found.returncode == 1
    assert "wrong 2.0: EXAMPLE-1, mended in 2.1" in found.stdout
    assert "2 of 2 packages audited, 1 of them vulnerable" in found.stdout


def test_none_passes(answering):
    found = answering(packages(SOUND))
    assert (found.returncode, found.stdout) == (0, "1 of 1 packages audited, 0 of them vulnerable\n")


def test_what_the_service_does_not_know_is_named(answering):
    found = answering(packages(SOUND, UNKNOWN))
    assert found.returncode == 0
    assert "WARNING: the advisory service does not know unknown\n1 of 2 packages audited" in found.stdout
    assert "WARNING: nothing was audited" in answering(packages(UNKNOWN)).stdout


@pytest.mark.parametrize("complaint", ["requests.exceptions.ConnectionError: ...", "503 Server Error: ..."])
def test_no_network_warns(answering, complaint):
    found = answering(complained=complaint, code=1)
    assert found.returncode == 0
    assert "WARNING: nothing was audited" in found.stdout


@pytest.mark.parametrize("said", ["", "{}", "usage: pip-audit"])
def test_any_other_failure_fails(answering, said):
    assert answering(said, complained="a lock file that cannot be read", code=2).returncode == 1


def test_pip_audit_itself_understands_what_it_is_asked():
    nowhere = "http://127.0.0.1:9"  # where nobody listens
    found = audit(Path(sys.executable).parent, HTTPS_PROXY=nowhere, https_proxy=nowhere)
    assert found.returncode == 0
    assert "WARNING: nothing was audited: the advisory service cannot be reached" in found.stdout
