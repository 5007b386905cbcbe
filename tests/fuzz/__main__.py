"""Fuzz the readers of bad input: python -m tests.fuzz --cases 1000000 [TARGET ...].

Guided by coverage (atheris), a process for each target, as many at a time as there are processors. What is found is
kept as a file, whose name is printed; put it into the corpus, under the name of what it shows, when it is mended.
"""

import argparse
import concurrent.futures
import importlib.util
import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

NAMES = ("quantity", "query", "csv_table", "arrow_table", "report", "json_body")


def main():
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__.partition("\n")[0])
    parser.add_argument("targets", nargs="*", metavar="TARGET", help=f"of {', '.join(NAMES)}; all if none is named")
    parser.add_argument("--cases", type=int, default=1_000_000, help="of each target")
    parser.add_argument("--seed", type=int, default=2026)
    parser.add_argument("--finds", type=Path, default=None, help="folder for what is found")
    arguments = parser.parse_args()
    wrong = set(arguments.targets) - set(NAMES)
    if wrong:
        parser.error(f"there is no target {', '.join(sorted(wrong))}: the targets are {', '.join(NAMES)}")
    if importlib.util.find_spec("atheris") is None:
        parser.error("this Python has no atheris, which guides the cases: pytest tests/fuzz tries 20,000 without it")
    finds = arguments.finds or Path(tempfile.mkdtemp(prefix="climbwright-fuzz-"))
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        tasks = [pool.submit(_fuzzed, name, arguments, finds) for name in arguments.targets or NAMES]
        return max(task.result() for task in concurrent.futures.as_completed(tasks))


def _fuzzed(name, arguments, finds):
    """Run one target in a process of its own and print its line."""
    folder = finds / name
    folder.mkdir(parents=True, exist_ok=True)
    command = [sys.executable, "-m", "tests.fuzz.guided", name, str(arguments.cases), str(arguments.seed), str(folder)]
    started = time.monotonic()
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)
    log = done.stdout.decode("utf-8", "replace")
    (folder / "log.txt").write_text(log, "utf-8")
    kept = [one.name for one in sorted(folder.iterdir()) if one.name != "log.txt"]
    counted = re.findall(r"^#([0-9]+)|stat::number_of_executed_units: ([0-9]+)", log, re.MULTILINE)
    cases = max((int(one or other) for one, other in counted), default=0)
    covered = re.findall(r"cov: ([0-9]+)", log)[-1:] or ["?"]
    print(
        f"{name}: {cases} cases in {time.monotonic() - started:.0f} s, {covered[0]} edges, finds: {len(kept)}"
        + "".join(f"\n  {folder / one}" for one in kept)
        + (f"\n{log[-2000:]}" if done.returncode else ""),
        flush=True,
    )
    return done.returncode or bool(kept)


if __name__ == "__main__":
    sys.exit(main())
