"""One target guided by coverage, in a process of its own: TARGET CASES SEED FOLDER."""

import importlib
import random
import sys
import tempfile
import traceback
import warnings
from pathlib import Path

import atheris


def main(name, cases, seed, folder):
    warnings.simplefilter("error")
    with atheris.instrument_imports(include=["climbwright", "metar"]):
        target = importlib.import_module(f".targets.{name}", __package__).TARGET
    from .mutating import mutated
    from .target import Slow, watched

    for case in (*target.seeds, *(one.read_bytes() for one in target.finds())):
        watched(target, case)  # which warms up what is made once

    def mutator(case, most, seed):
        source = random.Random(seed)
        if source.random() < 0.3:
            return atheris.Mutate(case, most)
        return mutated(target, case, source)[:most]

    def tried(case):
        try:
            watched(target, case)
        except (Exception, Slow) as error:
            _keep(case, error, Path(folder))

    with tempfile.TemporaryDirectory() as corpus:
        for place, case in enumerate(target.seeds):
            (Path(corpus) / str(place)).write_bytes(case)
        limits = [f"-runs={cases}", f"-max_len={target.longest}", "-timeout=60", "-rss_limit_mb=4096"]
        telling = [f"-seed={seed}", f"-artifact_prefix={folder}/", "-print_final_stats=1", "-len_control=0"]
        atheris.Setup([sys.argv[0], *limits, *telling, corpus], tried, custom_mutator=mutator)
        atheris.Fuzz()


def _keep(case, error, folder):
    """The shortest case for each place that raised; the fuzzing goes on."""
    frame = traceback.extract_tb(error.__traceback__)[-1]
    find = folder / f"{type(error).__name__}-{Path(frame.filename).stem}-{frame.lineno}"
    if not find.exists() or find.stat().st_size > len(case):
        find.write_bytes(case)


if __name__ == "__main__":
    main(sys.argv[1], *sys.argv[2:])
