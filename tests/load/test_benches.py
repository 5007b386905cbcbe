"""The benches of load work, for a few seconds each: what they count as lost is none, whatever their times are."""

import json
import subprocess
import sys

import pytest

from ..bench.loading import NO_WRK, WRK
from ..proxied import NGINX
from ..serving import ROOT


def ran(bench, *arguments, folder):
    """The figures of a run that found no failure, and what it printed."""
    file = folder / "figures.json"
    command = [sys.executable, str(ROOT / "tests" / "bench" / f"{bench}.py"), *arguments, "--json", str(file)]
    told = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert told.returncode == 0, told.stdout + told.stderr
    record = json.loads(file.read_text("utf-8"))
    assert record["bench"] == bench
    return record["ratios"], told.stdout


@pytest.mark.skipif(WRK is None, reason=NO_WRK)
def test_load(tmp_path):
    found, table = ran("load", "--seconds", "1", "--rounds", "1", "--only", "atmosphere", folder=tmp_path)
    for name in ("bare route", "GET atmosphere", "GET atmosphere, again"):
        assert found[f"{name}, requests"] > 0
        assert found[f"{name}, failures"] == 0
        assert found[f"{name}, CPU [us]"] > 0
        assert name in table


@pytest.mark.skipif(WRK is not None, reason="wrk is here")
def test_load_says_what_is_missing():
    told = subprocess.run([sys.executable, ROOT / "tests" / "bench" / "load.py"], capture_output=True, text=True)
    assert told.returncode != 0
    assert "apt-get install wrk" in told.stderr


@pytest.mark.parametrize("fault", ["kill", "reload", "memory"])
def test_faults(tmp_path, fault):
    found, _ = ran("faults", f"--{fault}", "--seconds", "4", folder=tmp_path)
    assert found[f"{fault}: plain, requests"] > 0
    assert found[f"{fault}: Python clients, requests"] > 0
    assert found[f"{fault}: Python clients, failures"] == 0
    if fault == "reload":
        assert found["reload: plain, failures"] == 0
        assert found["reload: Python clients, retried"] == 0


def test_slow_clients(tmp_path):
    found, _ = ran("faults", "--slow", "--seconds", "3", folder=tmp_path)
    for name in ("40 slow", *(("proxy, 200 slow",) if NGINX else ())):
        assert found[f"{name}: plain, requests"] > 0
        assert found[f"{name}: plain, failures"] == 0
        assert found[f"{name}: Python clients, failures"] == 0


def test_soak(tmp_path):
    """No request is lost; what the memory does in so short a time says nothing, and may be beyond the limit."""
    file = tmp_path / "figures.json"
    command = [sys.executable, str(ROOT / "tests" / "bench" / "soak.py"), "--minutes", "0.05", "--json", str(file)]
    told = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert "a failure" not in told.stdout, told.stdout
    found = json.loads(file.read_text("utf-8"))["ratios"]
    assert found["requests"] > 100
    assert found["failures"] == 0
