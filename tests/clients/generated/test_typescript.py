"""The types that openapi-typescript makes of the document: the main job compiles, runs, and its mistakes are found."""

import json
import re
import subprocess
from pathlib import Path

import pytest

from climbwright.web import openapi

HERE = Path(__file__).resolve().parent
BIN = HERE.parents[1] / "node_modules" / ".bin"
PROGRAM = (HERE / "main_job.ts").read_text("utf-8")
EXPECTED = "// @ts-expect-error"

pytestmark = pytest.mark.skipif(not BIN.exists(), reason="tests/run installs the npm packages")


@pytest.fixture(scope="module")
def compiled(tmp_path_factory):
    """A folder with the types, the program compiled beside them, and what the compiler says.

    The program stands there a second time without the remarks that expect its mistakes.
    """
    folder = tmp_path_factory.mktemp("types")
    types = folder / "climbwright.ts"
    made = subprocess.run(
        [BIN / "openapi-typescript", openapi.ROOT / "openapi.json", "--default-non-nullable=false", "--output", types],
        capture_output=True, text=True,
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    assert "warn" not in (made.stdout + made.stderr).lower()
    (folder / "package.json").write_text('{"type": "module"}', "utf-8")
    (folder / "main_job.ts").write_text(PROGRAM, "utf-8")
    (folder / "spoilt.ts").write_text(PROGRAM.replace(EXPECTED, "//"), "utf-8")
    outcome = subprocess.run(
        [
            BIN / "tsc", "--strict", "--skipLibCheck", "--exactOptionalPropertyTypes", "--noUnusedLocals",
            "--target", "es2022", "--lib", "es2022,dom", "--module", "esnext", "--moduleResolution", "bundler",
            "--pretty", "false", "main_job.ts", "spoilt.ts",
        ],
        cwd=folder, capture_output=True, text=True,
    )  # fmt: skip
    return folder, outcome.stdout.splitlines()


def test_the_program_compiles_strictly(compiled):
    _, said = compiled
    assert [line for line in said if not line.startswith(("spoilt.ts", " "))] == []


def test_the_types_find_each_mistake_and_nothing_else(compiled):
    _, said = compiled
    lines = PROGRAM.splitlines()
    wrong = [number + 2 for number, line in enumerate(lines) if EXPECTED in line]
    found = [int(line) for line in re.findall(r"^spoilt\.ts\((\d+),", "\n".join(said), re.M)]
    assert len(wrong) == 4
    assert found == wrong


def test_the_program_reads_what_plain_http_answers(compiled, server, client):
    folder, _ = compiled
    outcome = subprocess.run(["node", folder / "main_job.js", server], capture_output=True, text=True, timeout=30)
    assert (outcome.returncode, outcome.stderr) == (0, "")
    answer = client.post("/v1/comparison", json=openapi.read_example("comparison")).json
    assert json.loads(outcome.stdout) == [
        [line(result["measures"]) for result in option["results"]] for option in answer["options"]
    ]


def line(measures):
    weight, climb, stall = (measures[name] for name in ("weight", "best_climb_rate", "stall_speed_calibrated"))
    return {
        "weight": weight["after"]["value"],
        "climb": [climb[when]["value"] for when in ("before", "after", "change")],
        "spread": climb["change"]["plus_minus"],
        "stall": [stall["before"]["value"], stall["after"]["value"], stall["change"]["unit"]],
    }


def test_the_program_says_what_is_refused(compiled, server):
    """A weight in a unit that there is not."""
    folder, _ = compiled
    wrong = folder / "refused.js"
    wrong.write_text((folder / "main_job.js").read_text("utf-8").replace('"84 kg", passenger', '"84 kilos", passenger'))
    outcome = subprocess.run(["node", wrong, server], capture_output=True, text=True, timeout=30)
    assert outcome.returncode == 1
    assert "/loadings/0/stations/pilot" in outcome.stderr
