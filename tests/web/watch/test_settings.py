"""Settings: what is misspelt is named with what was meant, and stops the start in one plain line."""

import os
import subprocess
import sys

import pytest

from climbwright.web.settings import PREFIX, SERVER_SETTINGS, SETTINGS, read_server_settings, read_settings

from ...serving import ROOT


@pytest.mark.parametrize("name", SETTINGS)
def test_a_slip_is_told_the_near_name(name):
    variable = PREFIX + name
    slips = {variable[:-1], variable + "S", variable[:-2] + variable[-1] + variable[-2]} - {
        PREFIX + other for other in SETTINGS
    }
    for slip in slips:
        with pytest.raises(ValueError, match=f"^{slip} is no setting: did you mean {variable}\\?"):
            read_settings({slip: "1"})


@pytest.mark.parametrize("name", [name for name in SERVER_SETTINGS if name.startswith("GUNICORN_")])
def test_a_slip_of_the_server_s_too(name):
    with pytest.raises(ValueError, match=f"^{name}S is no setting: did you mean {name}\\?"):
        read_server_settings({f"{name}S": "1"})


def test_a_name_near_to_none_is_told_them_all():
    with pytest.raises(ValueError, match=r"^CLIMBWRIGHT_ZZZZZZZZ is no setting: the settings are ") as refusal:
        read_settings({"CLIMBWRIGHT_ZZZZZZZZ": "1"})
    assert all(PREFIX + name in str(refusal.value) for name in SETTINGS)


def test_what_belongs_to_others_is_passed_over():
    assert read_settings({"CLIMBWRIGHT_ADDRESS": "http://127.0.0.1:8000", "OTHER": "1"}) == read_settings({})
    assert read_server_settings({"GUNICORN_CMD_ARGS": "--reload", "WEB": "1"}) == read_server_settings({})


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("LOG", ["", "all", "Requests", "requests,faults"]),
        ("METRICS", ["", "yes", "1", "TRUE"]),
        ("TRACES", ["", "yes", "1", "TRUE"]),
        ("MAXIMUM_BODY", ["", "0", "-1", "1.5", "1e6", "1 MB", "²"]),
    ],
)
def test_values_that_are_none(name, values):
    for value in values:
        with pytest.raises(ValueError, match=f"^CLIMBWRIGHT_{name} must be .*, not '{value}'$"):
            read_settings({PREFIX + name: value})


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("GUNICORN_BIND", ["", "8000", "http://127.0.0.1:8000", "127.0.0.1", "::1:80x"]),
        ("GUNICORN_THREADS", ["", "0", "four", "-4"]),
        ("WEB_CONCURRENCY", ["", "0", "two", "2.0"]),
    ],
)
def test_values_that_the_server_cannot_read(name, values):
    for value in values:
        with pytest.raises(ValueError, match=f"^{name} must be .*, not '{value}'$"):
            read_server_settings({name: value})


@pytest.mark.parametrize("value", ["0.0.0.0:8000", "[::]:8000", ":8000", "localhost:1", "unix:/run/climbwright.sock"])
def test_addresses(value):
    assert read_server_settings({"GUNICORN_BIND": value})["GUNICORN_BIND"] == value


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("CLIMBWRIGHT_LGO", "requests", "CLIMBWRIGHT_LGO is no setting: did you mean CLIMBWRIGHT_LOG?"),
        ("CLIMBWRIGHT_LOG", "all", "CLIMBWRIGHT_LOG must be requests or faults, not 'all'"),
        ("GUNICORN_THREADS", "four", "GUNICORN_THREADS must be a positive whole number, not 'four'"),
        ("GUNICORN_THREAD", "4", "GUNICORN_THREAD is no setting: did you mean GUNICORN_THREADS?"),
        ("CLIMBWRIGHT_KEYS_FOR", "post", "CLIMBWRIGHT_KEYS_FOR is set and CLIMBWRIGHT_KEYS is not"),
        ("WEB_CONCURRENCY", "0", "WEB_CONCURRENCY must be a positive whole number, not '0'"),
    ],
)
def test_the_server_does_not_start_and_says_why_in_a_line(name, value, said):
    command = [sys.executable, "-m", "gunicorn", "--config", ROOT / "docker" / "gunicorn.conf.py"]
    outcome = subprocess.run(
        [*command, "--bind", "127.0.0.1:0"], env=os.environ | {name: value}, capture_output=True, text=True, timeout=60
    )
    assert outcome.returncode == 1
    assert outcome.stdout == ""
    assert outcome.stderr.startswith(f"climbwright: {said}")
    assert len(outcome.stderr.splitlines()) == 1
