"""The curl scripts as people run them: copied alone, against a service that answers, refuses or is absent."""

import filecmp
import json
import re
import subprocess
import sys
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread

import pytest

from ...alike import alike, as_documented, cells
from ...serving import free_port

ROOT = Path(__file__).resolve().parents[3]
FOLDER = ROOT / "clients" / "curl"
SCRIPTS = sorted(FOLDER.glob("*.sh"))
EXAMPLES = ROOT / "openapi" / "examples"
JSON = "application/json"
PATHS = json.loads((ROOT / "openapi" / "openapi.json").read_text("utf-8"))["paths"]
OPERATIONS = {path.removeprefix("/v1/"): methods for path, methods in PATHS.items() if path.startswith("/v1/")}
HEADING = re.compile(r"^== .*\n", re.M)

each_script = pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)


@pytest.fixture
def run(tmp_path):
    """Runs a script as if it had been copied alone into an empty folder."""

    def run(name, *arguments, text=None, **environment):
        alone = tmp_path / f"{name}.sh"
        alone.write_text((FOLDER / alone.name).read_text("utf-8") if text is None else text, "utf-8")
        return subprocess.run(
            ["dash", alone.name, *arguments], cwd=tmp_path, capture_output=True, text=True, timeout=30,
            env={"PATH": "/usr/bin:/bin", **environment},
        )  # fmt: skip

    return run


def answered(outcome):
    """What a script printed, given that it ended well."""
    assert (outcome.returncode, outcome.stderr) == (0, "")
    return outcome.stdout


def documented(name):
    """The documented answers of an operation, in the order in which its script asks."""
    contents = [OPERATIONS[name][method]["responses"]["200"]["content"] for method in OPERATIONS[name]]
    return [content[JSON]["examples"]["invented"]["value"] for content in contents]


def tables(text):
    """The JSON answers of a script, and what follows them."""
    lines = text.splitlines()
    first = next((i for i, line in enumerate(lines) if not line.startswith("{")), len(lines))
    return [json.loads(line) for line in lines[:first]], "\n".join(lines[first:])


@pytest.mark.parametrize("name", OPERATIONS)
def test_an_operation_is_answered_as_documented(server, run, name):
    answers, table = tables(answered(run(name, server)))
    asked_twice = name == "operability"  # the second time about one hour alone: the next test's
    for got, shown in zip(answers, documented(name), strict=not asked_twice):
        as_documented(got, shown)
    if name != "fleet":
        assert table == ""


def test_a_fleet_as_csv_is_answered_as_documented(server, run):
    _, table = tables(answered(run("fleet", server)))
    (shown,) = documented("fleet")
    heading, *rows = cells(table)
    columns = [column["value"] if isinstance(column, dict) else column for column in shown["columns"].values()]
    assert [title.split(" [")[0] for title in heading] == list(shown["columns"])
    for got, documented_column in zip(zip(*rows, strict=True), columns, strict=True):
        alike(list(got), ["" if cell is None else cell for cell in documented_column], rel=6e-6)


def test_a_season_with_its_weather_as_csv_is_answered_as_with_json(server, run, client):
    """The script sends the first hour as a table; here the same hour goes as JSON."""
    content = OPERATIONS["operability"]["post"]["requestBody"]["content"]
    whole = content[JSON]["examples"]["invented"]["value"]
    first = {
        name: column[:1] if name == "time" else column | {"value": column["value"][:1]}
        for name, column in whole["weather"].items()
    }
    _, by_table = tables(answered(run("operability", server)))[0]
    by_json = client.post("/v1/operability", json=whole | {"weather": first}).json
    alike(by_table, by_json, rel=1e-12, aside="provenance")
    assert by_table["overall"]["hours"] == 1


def test_before_and_after_says_what_each_question_says_alone(server, run, client):
    said = answered(run("before-and-after", server))
    build = re.compile(r"Build \S+")
    alone = [
        client.post(f"/v1/{name}?format=text", data=EXAMPLES.joinpath(f"{name}.json").read_bytes(), content_type=JSON)
        for name in ("balance", "density-altitude", "comparison")
    ]
    _, *parts = HEADING.split(said)
    assert [build.sub("Build", part) for part in parts] == [build.sub("Build", f"{one.text}\n") for one in alone]
    assert "not a flight manual" in said


def test_caches_and_cells_shows_the_protocol(server, run):
    said = answered(run("caches-and-cells", server))
    statuses = [line.split()[1] for line in said.splitlines() if line.startswith("HTTP/")]
    assert statuses == ["200", "200", "304", "204"]  # GET, HEAD, If-None-Match, OPTIONS
    assert len({line for line in said.splitlines() if line.lower().startswith("etag:")}) == 1
    assert said.count("Cache-Control: private, max-age=300") == 3
    assert "Allow: GET, HEAD, OPTIONS, POST" in said
    aviation, si = (json.loads(line) for line in said.splitlines() if line.startswith("{"))
    assert (aviation["density_altitude"]["unit"], si["density_altitude"]["unit"]) == ("ft", "m")
    *_, value, reason = said.splitlines()
    assert float(value) == pytest.approx(aviation["density_altitude"]["value"], rel=1e-5)
    assert "send elevation and qnh" in reason


def test_health_names_the_build(server, run):
    (live, ready), _ = tables(answered(run("health", server)))
    assert (live["status"], ready["status"]) == ("live", "ready")
    assert ready["build"]


def test_the_address_may_stand_in_the_environment(server, run):
    asked = run("atmosphere", CLIMBWRIGHT_ADDRESS=server)
    assert answered(asked) == answered(run("atmosphere", server, CLIMBWRIGHT_ADDRESS="http://127.0.0.1:1"))


@each_script
def test_what_is_refused_is_shown_and_fails(server, run, script):
    outcome = run(script.stem, f"{server}/nowhere")
    assert outcome.returncode == 22
    assert json.loads(outcome.stdout.splitlines()[-1])["title"] == "Not Found"
    assert "404" in outcome.stderr


@pytest.mark.parametrize("name", OPERATIONS)
def test_a_misspelt_field_is_named_and_nothing_is_asked_after_it(server, run, name):
    text = (FOLDER / f"{name}.sh").read_text("utf-8")
    spoilt = text.replace("--data @- <<'END'\n{", '--data @- <<\'END\'\n{"wieght": "1 kg", ', 1)
    assert spoilt != text
    outcome = run(name, server, text=f"{spoilt}\necho asked on\n")
    assert outcome.returncode == 22
    problem = json.loads(outcome.stdout.splitlines()[-1])
    assert problem["status"] == 422
    assert "/wieght" in [error["pointer"] for error in problem["errors"]]


@each_script
def test_an_absent_service_is_named_and_fails(run, script):
    address = f"http://127.0.0.1:{free_port()}"
    outcome = run(script.stem, address)
    assert (outcome.returncode, HEADING.sub("", outcome.stdout)) == (7, "")
    assert f"No service answers at {address}" in outcome.stderr
    assert f"sh {script.name} ADDRESS" in outcome.stderr


class SentOn(BaseHTTPRequestHandler):
    """Stands before a service, as what sends http on to https does."""

    def do_GET(self):
        self.rfile.read(int(self.headers.get("Content-Length", 0)))
        self.send_response(301)
        self.send_header("Location", f"https://service.example{self.path}")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def do_POST(self):
        self.do_GET()

    def log_message(self, *_):
        """Say nothing."""


@each_script
def test_an_address_that_sends_on_is_no_answer(run, script):
    with HTTPServer(("127.0.0.1", 0), SentOn) as server:
        thread = Thread(target=server.serve_forever)
        thread.start()
        try:
            outcome = run(script.stem, f"http://127.0.0.1:{server.server_port}")
        finally:
            server.shutdown()
            thread.join()
    assert outcome.returncode == 47
    assert "redirects" in outcome.stderr


@each_script
def test_it_is_plain_shell(script):
    subprocess.run(["dash", "-n", script], check=True)
    text = script.read_text("utf-8")
    assert text.startswith("#!/bin/sh\n")
    assert "not a flight manual" in text
    assert not re.search(r"[^\x20-\x7e\n]", text)


def test_there_is_a_script_for_every_operation_and_the_readme_names_each():
    names = {script.stem for script in SCRIPTS}
    assert names == {*OPERATIONS, "before-and-after", "caches-and-cells", "health"}
    listed = re.findall(r"^\| `([a-z-]+)\.sh` \|", (FOLDER / "README.md").read_text("utf-8"), re.M)
    assert sorted(listed) == sorted(names)


def test_the_scripts_are_up_to_date(tmp_path):
    subprocess.run([sys.executable, FOLDER / "make.py", tmp_path], check=True)
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == [script.name for script in SCRIPTS]
    assert filecmp.cmpfiles(tmp_path, FOLDER, names, shallow=False) == (names, [], [])
