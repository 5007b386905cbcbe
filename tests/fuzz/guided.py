"""One target guided by coverage, in a process of its own: TARGET CASES SEED FOLDER."""

import importlib
import random
import sys
import tempfile
import warnings
from pathlib import Path

import atheris


def main(name, cases, seed, folder):
    warnings.simplefilter("error")
    with atheris.instrument_imports(include=["climbwright", "metar"]):
        target = importlib.import_module(f".targets.{name}", __package__).TARGET
    from .mutating import mutated
    from .target import watched

    for case in (*target.seeds, *(one.read_bytes() for one in target.finds())):
        watched(target, case)  # which warms up what is made once

    def mutator(case, most, seed):
        source = random.Random(seed)
        if source.random() < 0.3:
            return atheris.Mutate(case, most)
        return mutated(target, case, source)[:most]

    with tempfile.TemporaryDirectory() as corpus:
        for place, case in enumerate(target.seeds):
            (Path(corpus) / str(place)).write_bytes(case)
        options = [f"-runs={cases}", f"-seed={seed}", f"-max_len={target.longest}", f"-artifact_prefix={folder}/"]
        quiet = ["-timeout=60", "-rss_limit_mb=4096", "-print_final_stats=1", "-verbosity=1", "-len_control=0"]
        atheris.Setup(
            [sys.argv[0], *options, *quiet, corpus], lambda case: watched(target, case), custom_mutator=mutator
        )
        atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], *sys.argv[2:])
