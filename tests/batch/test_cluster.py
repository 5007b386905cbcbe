"""On a real cluster of two workers, one of which is killed in mid-run: no row is lost, none is there twice."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from .running import ROOT, fleet, numbers, ran, read, start, wait_for_parts, write

ROWS, CUT = 24_000, 400


@pytest.fixture(scope="module", params=[3, 0], ids=["scheduler-tries-again", "command-tries-again"])
def cluster(request):
    """Address of a cluster that gives a partition to so many more workers, and the processes of its two workers."""
    allowed = {"DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": str(request.param)}
    command = [sys.executable, Path(__file__).with_name("cluster.py")]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    with subprocess.Popen(command, env=os.environ | allowed, text=True, **pipes) as process:
        yield json.loads(process.stdout.readline())
        process.stdin.close()
        process.wait(30)


def refused(*arguments, **options):
    with start(*arguments, **options) as process:
        said, complained = process.communicate(timeout=50)
    assert (process.returncode, said) == (1, "")
    assert "Traceback" not in complained
    return complained.splitlines()[-1]


@pytest.mark.parametrize("cluster", [3], indirect=True)
def test_a_cluster_of_another_build_is_refused(tmp_path, shared, cluster):
    """The command is that of a copy of the package with a module more."""
    copy = tmp_path / "copy"
    shutil.copytree(
        ROOT / "service" / "climbwright", copy / "climbwright", ignore=shutil.ignore_patterns("__pycache__")
    )
    (copy / "climbwright" / "more.py").write_text('"""One more."""\n')
    source = write(fleet(10), tmp_path / "in.csv")
    engine = ("--engine", "dask", "--scheduler", cluster["address"])
    said = refused(
        source, tmp_path / "out.csv", "--shared", shared, *engine, env=os.environ | {"PYTHONPATH": str(copy)}
    )
    assert said.startswith("Error: --scheduler: the worker tcp://127.0.0.1:")
    assert " has build " in said
    assert not (tmp_path / "out.csv.parts").exists()
    wrong = write(fleet(10).rename_columns({"note": "status"}), tmp_path / "wrong.csv")
    said = refused(wrong, tmp_path / "out.csv", "--shared", shared, *engine)
    assert said.endswith("'status' is a column of the answer: give yours another name")


def is_running(pid):
    try:
        return "State:\tZ" not in Path(f"/proc/{pid}/status").read_text()
    except FileNotFoundError:
        return False


def test_a_worker_that_is_killed_takes_no_row_with_it(tmp_path, shared, cluster):
    source = write(numbers(fleet(ROWS)), tmp_path / "in.arrow")
    out = tmp_path / "out.arrow"
    options = ("--shared", shared, "--rows", CUT, "--spread", "linear")
    engine = ("--engine", "dask", "--scheduler", cluster["address"])
    killed = cluster["workers"][0]
    with start(source, out, *options, *engine) as process:
        wait_for_parts(process, out, 3)
        os.kill(killed, signal.SIGSTOP)  # what is given to it meanwhile dies with it
        time.sleep(0.3)
        finished = wait_for_parts(process, out, 3)
        os.kill(killed, signal.SIGKILL)
        said, complained = process.communicate(timeout=50)
    assert process.returncode == 0, complained
    assert not is_running(killed)
    assert len(finished) < ROWS // CUT
    assert f"{ROWS} rows, {ROWS} right and 0 wrong; {ROWS // CUT} partitions; " in said
    ran(source, tmp_path / "local.arrow", *options)
    assert read(out).column("note").to_pylist() == fleet(ROWS).column("note").to_pylist()
    assert out.read_bytes() == (tmp_path / "local.arrow").read_bytes()


def test_a_scheduler_that_is_not_there_is_refused(tmp_path, shared):
    source = write(fleet(10), tmp_path / "in.csv")
    engine = ("--engine", "dask", "--scheduler", "tcp://127.0.0.1:9")
    soon = os.environ | {"DASK_DISTRIBUTED__COMM__TIMEOUTS__CONNECT": "1s"}
    said = refused(source, tmp_path / "out.csv", "--shared", shared, *engine, env=soon)
    assert said.startswith("Error: --scheduler: there is none at tcp://127.0.0.1:9 (")
    assert not (tmp_path / "out.csv.parts").exists()
