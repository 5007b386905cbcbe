"""What runs the service for others, read by the linters of each kind of file."""

import shutil
import subprocess
import sysconfig
from pathlib import Path

import pytest

from ..proxied import CONFIGURATION, NGINX, placed
from ..serving import ROOT

DOCKER = ROOT / "docker"
SCRIPTS = Path(sysconfig.get_path("scripts"))
DCLINT = ROOT / "tests" / "node_modules" / ".bin" / "dclint"
MANIFESTS = sorted(path for path in (DOCKER / "cluster").glob("*.yaml") if path.name != "kustomization.yaml")
YAML = (
    "{extends: default, rules: {line-length: {max: 120}, document-start: disable, "
    "comments: {min-spaces-from-content: 1}}}"
)


def clean(*command):
    """A linter that finds nothing and says nothing of a fault."""
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout + done.stderr


def test_the_container_file():
    assert clean(SCRIPTS / "hadolint", "--failure-threshold", "style", DOCKER / "Containerfile") == ""


def test_all_yaml():
    assert clean(SCRIPTS / "yamllint", "--strict", "-d", YAML, DOCKER) == ""


def test_the_compose_file():
    # Keys and services stand in the order in which a request and a reader meet them.
    unordered = ("--disable-rule", "service-keys-order", "--disable-rule", "services-alphabetical-order")
    clean(DCLINT, DOCKER / "compose.yaml", "--max-warnings", "0", *unordered)


@pytest.mark.parametrize("path", MANIFESTS, ids=lambda path: path.stem)
def test_a_manifest(path):
    assert f"INFO {path} passed" in clean(SCRIPTS / "kubernetes-validate", "--strict", path)


def test_the_proxy(tmp_path):
    settings = tmp_path / "nginx.conf"
    settings.write_text(placed(CONFIGURATION.read_text(), "127.0.0.1:8080", "127.0.0.1:8000"))
    said = clean(NGINX, "-t", "-p", tmp_path, "-c", settings, "-e", "stderr")
    assert "test is successful" in said
    assert "[warn]" not in said


@pytest.mark.parametrize(
    ("linter", "kind", "before", "after"),
    [
        ("hadolint", "Containerfile", "USER 10001:10001", "USER root"),
        ("yamllint", "compose.yaml", "  bodies:\n", "  bodies:\n  bodies:\n"),
        ("dclint", "compose.yaml", "127.0.0.1:${PORT:-8080}", "${PORT:-8080}"),
        ("kubernetes-validate", "cluster/deployment.yaml", "terminationGracePeriodSeconds", "graceSeconds"),
        ("nginx", "proxy/nginx.conf", "proxy_request_buffering on", "proxy_request_buffering perhaps"),
    ],
)
def test_a_fault_is_found(tmp_path, linter, kind, before, after):
    text = (DOCKER / kind).read_text()
    assert before in text
    if linter == "nginx":
        text = placed(text, "127.0.0.1:8080", "127.0.0.1:8000")
    spoilt = tmp_path / Path(kind).name
    spoilt.write_text(text.replace(before, after))
    command = {
        "hadolint": [SCRIPTS / "hadolint", spoilt],
        "yamllint": [SCRIPTS / "yamllint", "-d", YAML, spoilt],
        "dclint": [DCLINT, spoilt],
        "kubernetes-validate": [SCRIPTS / "kubernetes-validate", "--strict", spoilt],
        "nginx": [NGINX, "-t", "-p", tmp_path, "-c", spoilt, "-e", "stderr"],
    }[linter]
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    assert done.returncode != 0


def test_the_script_of_the_tests_is_sound_shell():
    assert shutil.which("sh")
    clean("sh", "-n", ROOT / "tests" / "run")
