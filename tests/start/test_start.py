"""service/start as a person meets it: the table, one clear line when something is wrong, and nothing left behind."""

import contextlib
import functools
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import threading
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = json.loads((ROOT / "openapi" / "examples" / "comparison.json").read_text())
SECONDS = 90  # for anything that could hang


@pytest.fixture(scope="module")
def installed() -> Path:
    """The environment that these tests run in, as service/start leaves it."""
    subprocess.run([ROOT / "service" / "start", "--install", "service"], check=True, timeout=SECONDS)
    return ROOT


@pytest.fixture(scope="module")
def bare(tmp_path_factory) -> Path:
    """The tree as cloned, without an environment, under a path with a blank."""
    folder = tmp_path_factory.mktemp("a clone") / "climb wright"
    for name in ("service", "openapi", "docker"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, folder)
    return folder


@pytest.fixture
def port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def deaf() -> Iterator[int]:
    """A port where somebody listens and never answers."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield server.getsockname()[1]


def start(root: Path, *arguments: object, **variables: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [root / "service" / "start", *map(str, arguments)],
        cwd="/",
        env=os.environ | variables,
        capture_output=True,
        text=True,
        timeout=SECONDS,
    )


@contextlib.contextmanager
def started(root: Path, until: str, *arguments: object, **variables: str) -> Iterator[subprocess.Popen[str]]:
    """Run until it has said so on standard error; ended with the test if it still runs."""
    command = [root / "service" / "start", *map(str, arguments)]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    heard = functools.partial(signal.signal, signal.SIGHUP, signal.SIG_DFL)  # where the tests run under nohup, too
    with subprocess.Popen(
        command, cwd="/", env=os.environ | variables, text=True, preexec_fn=heard, **pipes
    ) as process:
        watchdog = threading.Timer(SECONDS, process.kill)
        watchdog.start()
        try:
            said = ""
            for line in process.stderr:
                said += line
                if until in line:
                    break
            else:
                pytest.fail(f"it never said '{until}', but: {said}")
            yield process
        finally:
            # Asked first, since killed outright it could not end what it started.
            process.terminate()
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.communicate(timeout=15)
            watchdog.cancel()
            process.kill()


def family(process: subprocess.Popen[str]) -> set[int]:
    """The process groups of its children, from /proc: pid (name) state parent group ..."""
    groups = set()
    for _, parent, group in alive():
        if parent == process.pid:
            groups.add(group)
    return groups


def alive() -> Iterator[tuple[int, int, int]]:
    """Process, parent and group of every process that is not a zombie."""
    for path in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            state, parent, group = path.read_text().rpartition(")")[2].split()[:3]
            if state != "Z":
                yield int(path.parent.name), int(parent), int(group)


def members(groups: set[int]) -> list[int]:
    return [process for process, _, group in alive() if group in groups]


def is_free(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) != 0


def lines(text: str) -> list[str]:
    return [line for line in text.splitlines() if not line.endswith(" ...")]


def test_shows_before_and_after(installed, port):
    dead_proxy = "http://127.0.0.1:9"
    outcome = start(installed, "--once", "--port", port, http_proxy=dead_proxy, all_proxy=dead_proxy, no_proxy="")
    assert outcome.returncode == 0, outcome.stderr
    table = outcome.stdout
    for loading in EXAMPLE["loadings"]:
        for condition in EXAMPLE["conditions"]:
            assert f"{loading['name']}, {condition['name']}" in table
    assert len(EXAMPLE["loadings"]) == len(EXAMPLE["conditions"]) == 2
    assert re.search(r"before +after +change", table)
    assert len(re.findall(r"best rate of climb +ft/min +\d+ +\d+ +[+-]\d+", table)) == 4
    assert "Cautions" in table
    assert "not a flight manual" in table
    assert is_free(port)


@pytest.mark.parametrize("asking", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_serves_on_and_leaves_nothing(installed, port, asking):
    with started(installed, "Ctrl-C", "--port", port) as process:
        groups = family(process)
        deadline = time.monotonic() + 10
        while len(members(groups)) < 3 and time.monotonic() < deadline:  # the first worker answers before the second
            time.sleep(0.05)
        assert len(members(groups)) == 3  # gunicorn and its two workers
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/openapi.json", timeout=10) as answer:
            assert json.load(answer)["openapi"].startswith("3.1")
        process.send_signal(asking)
        process.communicate(timeout=SECONDS)
        assert process.returncode == 128 + asking
        assert members(groups) == []
        assert is_free(port)


def test_ends_a_service_that_does_not_listen(installed, port):
    with started(installed, "Ctrl-C", "--port", port) as process:
        groups = family(process)
        os.killpg(next(iter(groups)), signal.SIGSTOP)
        process.terminate()
        process.communicate(timeout=SECONDS)
        assert members(groups) == []


def test_says_that_the_service_died(installed, port):
    with started(installed, "Ctrl-C", "--port", port) as process:
        groups = family(process)
        os.kill(next(iter(groups)), signal.SIGKILL)  # the leader alone
        _, errors = process.communicate(timeout=SECONDS)
        assert process.returncode == 1
        assert "the service has ended" in errors
        end = time.monotonic() + SECONDS
        while members(groups) and time.monotonic() < end:  # killed by now; a busy machine takes a moment to end them
            time.sleep(0.05)
        assert members(groups) == []


def test_port_in_use(installed, deaf):
    outcome = start(installed, "--once", "--port", deaf)
    assert outcome.returncode == 1
    assert outcome.stdout == ""
    assert outcome.stderr == f"start: port {deaf} is in use: stop what uses it, or take another: --port N.\n"


@pytest.mark.parametrize("wrong", ["0", "65536", "http"])
def test_no_port(installed, wrong):
    outcome = start(installed, "--once", "--port", wrong)
    assert outcome.returncode == 2
    assert "--port" in outcome.stderr


def test_service_that_fails_to_start(installed, port):
    outcome = start(installed, "--once", "--port", port, CLIMBWRIGHT_NONSENSE="1")
    assert outcome.returncode == 1
    assert "the service does not start" in outcome.stderr
    assert "CLIMBWRIGHT_NONSENSE is no setting" in outcome.stderr
    assert is_free(port)


def test_python_too_old(tmp_path):
    old = tmp_path / "python3"
    old.write_text('#!/bin/sh\n[ "$1" = --version ] && echo Python 3.10.9\n')
    old.chmod(0o755)
    for tool in ("sh", "dirname"):
        (tmp_path / tool).symlink_to(shutil.which(tool) or tool)
    # No other Python may be found; the old one fails whatever it is asked.
    old.write_text(old.read_text() + '[ "$1" = --version ]\n')
    outcome = start(ROOT, "--once", PATH=str(tmp_path))
    assert outcome.returncode == 1
    assert outcome.stderr == "start: Python 3.11, 3.12 or 3.13 is needed; here is Python 3.10.9.\n"


# From here on in this order: the copy gets its environment only in the last test.


def test_no_venv_module(bare, tmp_path, port):
    (tmp_path / "ensurepip.py").write_text("raise ImportError('packed apart')\n")
    outcome = start(bare, "--once", "--port", port, PYTHONPATH=str(tmp_path))
    assert outcome.returncode == 1
    assert "apt-get install python3-venv" in outcome.stderr
    assert len(outcome.stderr.splitlines()) == 1


def nowhere(port: int, retries: int = 0) -> dict[str, str]:
    """Variables that leave pip no index but one on this port."""
    index = f"http://127.0.0.1:{port}/simple"
    return {"PIP_INDEX_URL": index, "PIP_RETRIES": str(retries), "PIP_CONFIG_FILE": os.devnull, "PIP_FIND_LINKS": ""}


@pytest.mark.parametrize("retries", [0, 1])
def test_no_network(bare, port, retries):
    outcome = start(bare, "--once", "--port", port, **nowhere(port, retries))
    assert outcome.returncode == 1
    assert len(lines(outcome.stderr)) == 1
    assert "no way to the package index" in outcome.stderr
    assert "apispec" in (bare / ".venv" / "install.log").read_text()


def test_ended_while_installing_leaves_nothing(bare, port, deaf):
    with started(bare, "Installing", "--once", "--port", port, **nowhere(deaf)) as process:
        deadline = time.monotonic() + 10
        while not (groups := family(process)) and time.monotonic() < deadline:
            time.sleep(0.05)
        assert groups
        process.terminate()
        process.communicate(timeout=SECONDS)
        assert process.returncode == 128 + signal.SIGTERM
        assert members(groups) == []


def test_fresh_clone(bare, port):
    outcome = start(bare, "--once", "--port", port)
    assert outcome.returncode == 0, outcome.stderr
    assert "before" in outcome.stdout
    where = "import climbwright, distributed, pyarrow; print(climbwright.__file__)"  # fleets need the latter two
    found = subprocess.check_output([bare / ".venv" / "bin" / "python", "-c", where], cwd="/", text=True)
    assert Path(found.strip()).is_relative_to(bare)
    again = start(bare, "--once", "--port", port)
    assert lines(again.stderr) == []
    assert "Installing" not in again.stderr


def test_moved_clone_is_installed_anew(bare, tmp_path, port):
    """An environment knows its own place: one that was copied would serve the old place's code."""
    moved = tmp_path / "elsewhere"
    shutil.copytree(bare, moved, symlinks=True)
    outcome = start(moved, "--install", "service", **nowhere(port))
    assert "Making the environment" in outcome.stderr
    assert not (moved / ".venv" / "installed-service").exists()
