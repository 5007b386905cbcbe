"""The command, as a shell runs it."""

import base64
import json
import os
import shlex
import signal
import socket
import subprocess
import sys
import tomllib
import zlib
from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread

import httpx
import pytest

from ...serving import free_port
from .asking import EXAMPLES, OPERATIONS, ROOT, example

ASKED = [name for name in OPERATIONS if name != "fleet"]


def run(*arguments, given=None, address=None, **options):
    environment = {name: value for name, value in os.environ.items() if name != "CLIMBWRIGHT_ADDRESS"}
    if address is not None:
        environment["CLIMBWRIGHT_ADDRESS"] = address
    return subprocess.run(
        [sys.executable, "-m", "climbwright_client.command", *map(str, arguments)],
        input=given, capture_output=True, text=True, timeout=60, env=environment, **options,
    )  # fmt: skip


@pytest.mark.parametrize("operation", ASKED)
def test_an_operation_prints_the_services_text(server, operation):
    said = run(operation, EXAMPLES / f"{operation}.json", "--address", server)
    plain = httpx.post(f"{server}/v1/{operation}", params={"format": "text"}, json=example(operation), timeout=60)
    assert (said.returncode, said.stderr) == (0, "")
    assert said.stdout == plain.text


def test_json_csv_one_value_units_and_working(server):
    for options, query in (
        (["--json", "--units", "us"], {"units": "us"}),
        (["--csv"], {"format": "csv"}),
        (["--pick", "/options/0/cost"], {"pick": "/options/0/cost"}),
        (["--working", "--units", "si"], {"format": "text", "working": "true", "units": "si"}),
        (["--json", "--spread", "sampled"], {"spread": "sampled"}),
    ):
        said = run("comparison", "-", *options, given=json.dumps(example("comparison")), address=server)
        plain = httpx.post(f"{server}/v1/comparison", params=query, json=example("comparison"), timeout=60)
        assert said.returncode == 0, said.stderr
        assert said.stdout.splitlines() == plain.text.splitlines()
        if "--json" in options:
            assert json.loads(said.stdout) == plain.json()


def test_each_operation_is_a_subcommand():
    said = run("--help").stdout
    for operation in (*OPERATIONS, "pack"):
        assert f"    {operation}" in said
    assert "The standard atmosphere at an altitude" in said


def test_a_refusal_is_a_sentence_on_standard_error(server):
    said = run("density-altitude", "-", given='{"elevation": "6150 ft", "qnh": "1016", "oat": "33 C"}', address=server)
    assert (said.returncode, said.stdout) == (1, "")
    assert said.stderr.startswith("climbwright-client: The request is not understood: /qnh: '1016' has no unit")
    assert said.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("given", "word"),
    [
        ("", "standard input is no JSON"),
        ("{", "standard input is no JSON"),
        ("[1]", "a request is an object of its fields, not a list"),
        ('{"qnh": "1 hPa", "qnh": "2 hPa"}', "'qnh' is there twice"),
        ('{"qnh": NaN}', "/qnh"),
        ("[" * 100_000, "no JSON"),
    ],
)
def test_what_is_no_request_is_refused(server, given, word):
    said = run("density-altitude", "-", given=given, address=server)
    assert (said.returncode, said.stdout) == (1, "")
    assert word in said.stderr
    assert "Traceback" not in said.stderr


def test_a_file_that_is_not_there_is_named(server, tmp_path):
    for command in (["balance", tmp_path / "none.json"], ["fleet", tmp_path / "none.csv", tmp_path / "out.csv"]):
        said = run(*command, address=server)
        assert said.returncode == 1
        assert "No such file" in said.stderr
        assert str(command[1]) in said.stderr


@pytest.mark.parametrize(
    ("ends", "code", "word"),
    [
        ("< /dev/null > /dev/full", 1, "standard input or output: No space left"),
        ("< /dev/null >&-", 0, ""),
        ("<&-", 1, "standard input or output: Bad file descriptor"),
    ],
)
def test_ends_that_are_full_or_closed_are_told(server, ends, code, word):
    command = f"exec {shlex.quote(sys.executable)} -m climbwright_client.command balance"
    table = "-" if ends == "<&-" else EXAMPLES / "balance.json"
    said = subprocess.run(
        ["sh", "-c", f"{command} {table} --address {server} {ends}"], capture_output=True, text=True, timeout=60
    )
    assert said.returncode == code, said.stderr
    assert word in said.stderr
    assert "Traceback" not in said.stderr


def test_ctrl_c_ends_a_fleet_that_waits_and_leaves_no_file(tmp_path):
    with socket.socket() as never:
        never.bind(("127.0.0.1", 0))
        never.listen()
        address = f"http://127.0.0.1:{never.getsockname()[1]}"
        command = [sys.executable, "-m", "climbwright_client.command", "fleet", EXAMPLES / "fleet.csv"]
        asked = [*command, tmp_path / "out.csv", "--address", address, "--timeout", "1000"]
        with subprocess.Popen(asked, stderr=subprocess.PIPE, text=True) as running:
            connection, _ = never.accept()
            with connection:
                assert connection.recv(1)
                running.send_signal(signal.SIGINT)
                _, said = running.communicate(timeout=60)
    assert running.returncode == 130
    assert said == "climbwright-client: interrupted\n"
    assert not list(tmp_path.iterdir())


def test_nobody_there_ends_with_three(tmp_path):
    address = f"http://127.0.0.1:{free_port()}"
    said = run("balance", EXAMPLES / "balance.json", "--address", address, "--attempts", "1")
    assert said.returncode == 3
    assert f"nothing answers at {address}" in said.stderr


def test_wrong_options_end_with_two_and_a_wrong_address_with_one():
    for arguments in (
        [],
        ["no-such"],
        ["balance"],
        ["balance", "x", "--json", "--csv"],
        ["balance", "x", "--spread", "y"],
    ):
        assert run(*arguments).returncode == 2
    said = run("balance", EXAMPLES / "balance.json", "--address", "nowhere")
    assert said.returncode == 1
    assert "'nowhere' is no address" in said.stderr


def test_a_fleet_goes_from_file_to_file(server, tmp_path):
    out = tmp_path / "answers.csv"
    command = ["fleet", EXAMPLES / "fleet.csv", out, "--shared", EXAMPLES / "fleet.shared.json", "--rows", "2"]
    said = run(*command, "--measures", "weight,best_climb_rate", "--cautions", address=server)
    assert (said.returncode, said.stdout) == (0, "")
    assert f"{out}: 4 rows right, 1 wrong" in said.stderr
    assert "not a flight manual" in said.stderr
    assert "|" not in said.stderr  # no bar, for it is no terminal
    files = {
        "shared": (None, (EXAMPLES / "fleet.shared.json").read_text()),
        "table": ("t", (EXAMPLES / "fleet.csv").read_bytes(), "text/csv"),
    }
    plain = httpx.post(
        f"{server}/v1/fleet", params={"measures": "weight,best_climb_rate", "cautions": "true"}, files=files
    )
    assert out.read_text("utf-8") == plain.text
    again = run(*command, address=server)
    assert again.returncode == 1
    assert "is there already" in again.stderr
    quiet = run(*command, "--replace", "--quiet", address=server)
    assert (quiet.returncode, quiet.stdout, quiet.stderr) == (0, "", "")


def test_pack_prints_what_unpacks_to_the_aircraft(tmp_path):
    aircraft = example("performance")["aircraft"] | {"name": "Flügel"}
    said = run("pack", "-", given=json.dumps(aircraft))
    packed = said.stdout.strip()
    assert len(packed) <= 1500
    assert not set("=+/") & set(packed)
    assert json.loads(zlib.decompress(base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4)))) == aircraft


def test_a_packed_aircraft_is_understood_by_a_get(server):
    request = example("performance")
    packed = run("pack", "-", given=json.dumps(request["aircraft"])).stdout.strip()
    query = {
        "aircraft": packed,
        "condition.density_altitude": "7500 ft",
        "loading.stations.seats": "84 kg",
        "measures": "weight",
    }
    got = httpx.get(f"{server}/v1/performance", params=query)
    assert got.status_code == 200, got.text
    loading = {"name": "loading", "stations": {"seats": "84 kg"}}
    asked = {
        "aircraft": request["aircraft"],
        "loadings": [loading],
        "measures": ["weight"],
        "conditions": [{"name": "condition", "density_altitude": "7500 ft"}],
    }
    posted = httpx.post(f"{server}/v1/performance", json=asked).json()
    assert got.json()["results"][0]["measures"] == posted["results"][0]["measures"]


@pytest.mark.parametrize(
    "given", ["[]", '"x"', '{"name": "x", "options": []}', json.dumps({"name": os.urandom(2000).hex()})]
)
def test_what_is_no_aircraft_is_not_packed(given):
    said = run("pack", "-", given=given)
    assert (said.returncode, said.stdout) == (1, "")
    assert "Nothing was sent" in said.stderr


def test_the_package_installs_the_command():
    project = tomllib.loads((ROOT / "clients" / "python" / "pyproject.toml").read_text())
    assert project["project"]["scripts"] == {"climbwright-client": "climbwright_client.command:main"}
    assert project["project"]["dependencies"] == ["httpx>=0.27"]


def test_a_busy_service_ends_with_three():
    class Busy(BaseHTTPRequestHandler):
        def do_POST(self):
            self.rfile.read(int(self.headers["Content-Length"]))
            self.send_response(503)
            self.send_header("Retry-After", "3600")
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_):
            pass

    with HTTPServer(("127.0.0.1", 0), Busy) as server:
        thread = Thread(target=server.serve_forever, daemon=True)
        thread.start()
        said = run("balance", EXAMPLES / "balance.json", address=f"http://127.0.0.1:{server.server_port}")
        server.shutdown()
        thread.join()
    assert said.returncode == 3
    assert "The service is busy" in said.stderr
