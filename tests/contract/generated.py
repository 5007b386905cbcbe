"""The running service asked what its document promises: python tests/contract/generated.py --examples 200 --seeds 1,2,3

Starts the service, then lets schemathesis make requests from the served document: its examples, what its schemas bound,
and seeded random ones, good and bad. Ends with 1 where an answer breaks the document.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[1]


def ask(address, seed, examples, *more, phases="examples,coverage,fuzzing"):
    """The exit code of one run against a service, and what it printed."""
    command = [sys.executable, "-m", "schemathesis.cli", "--config-file", HERE / "schemathesis.toml", "run"]
    # There are no links between the operations, so that there is nothing stateful to try.
    options = ["--phases", phases, "--max-examples", str(examples), "--seed", str(seed)]
    with tempfile.TemporaryDirectory() as folder:  # what it keeps between runs would make the next another
        found = subprocess.run(
            [*command, f"{address}/openapi.json", "--checks", "all", "--no-color", *options, *more],
            cwd=folder,
            env=os.environ | {"PYTHONPATH": str(ROOT), "SCHEMATHESIS_HOOKS": "tests.contract.checks"},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
    return found.returncode, found.stdout


def main():
    parser = argparse.ArgumentParser(description="Ask the running service what its document promises.")
    parser.add_argument("--examples", type=int, default=200, help="random requests an operation")
    parser.add_argument("--seeds", default="1,2,3", help="seeds, commas between them")
    asked = parser.parse_args()
    sys.path.insert(0, str(ROOT))
    from tests.serving import serving

    worst = 0
    with serving() as address:
        for seed in asked.seeds.split(","):
            code, told = ask(address, seed, asked.examples)
            print(told if code else told[told.rindex("SUMMARY") :])
            worst = worst or code
    return worst


if __name__ == "__main__":
    sys.exit(main())
