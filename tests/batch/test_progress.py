"""What a person at the keyboard sees, and how little of a large file is in memory at a time."""

import os
import pty
import re
import subprocess
import sys
from concurrent.futures import Executor, Future

import pytest

from climbwright.batch.engines import windowed
from climbwright.batch.partition import Partition
from climbwright.batch.refused import Refused

from .running import COMMAND, fleet, numbers, ran, refusal, run, write


def shown(*arguments):
    """Standard output of the command, and all that a terminal showed meanwhile."""
    ours, theirs = pty.openpty()
    command = [COMMAND, "fleet", *map(str, arguments)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, text=True) as process:
        os.close(theirs)
        seen = b""
        try:
            while piece := os.read(ours, 4096):
                seen += piece
        except OSError:  # how a terminal ends
            pass
        said = process.stdout.read()
    os.close(ours)
    assert process.returncode == 0
    return said, seen.decode()


def test_a_bar_fills_on_a_terminal(tmp_path, shared):
    source = write(fleet(400), tmp_path / "in.csv")
    said, seen = shown(source, tmp_path / "out.csv", "--shared", shared, "--rows", 40)
    assert "400 rows" in said
    for label in ("answering", "joining"):
        shares = [int(share) for share in re.findall(label + r"  \[[#-]*\] +(\d+)%", seen)]
        assert shares == sorted(shares)
        assert shares[-1] == 100
    assert "%" not in said


def test_quiet_says_nothing_unless_something_is_wrong(tmp_path, shared):
    source = write(fleet(40), tmp_path / "in.csv")
    assert run(source, tmp_path / "out.csv", "--shared", shared, "--quiet").output == ""
    assert shown(source, tmp_path / "other.csv", "--shared", shared, "--quiet") == ("", "")
    assert "is there already" in refusal(source, tmp_path / "out.csv", "--shared", shared, "--quiet")


def test_the_closing_line(tmp_path, shared):
    source = write(fleet(40, wrong=[3]), tmp_path / "in.csv")
    line = ran(source, tmp_path / "out.csv", "--shared", shared, "--rows", 15)
    digest = "sha256:[0-9a-f]{64}"
    expected = (
        rf"{re.escape(str(tmp_path))}/out\.csv: 40 rows, 39 right and 1 wrong, whose column status says why; "
        rf"3 partitions; [0-9.]+ s; build [^ ]+ input {digest} shared {digest}"
    )
    assert re.fullmatch(expected, line)


# A small process starts the command: what its own parent holds would count as the command's.
PEAK = """
import os, sys
_, status, used = os.wait4(os.spawnv(os.P_NOWAIT, sys.argv[1], sys.argv[1:]), 0)
print(os.waitstatus_to_exitcode(status), used.ru_maxrss)
"""


def peak(*arguments):
    """Greatest memory of the command. [kB]"""
    command = [sys.executable, "-c", PEAK, COMMAND, "fleet", *map(str, arguments)]
    outcome = subprocess.run(command, capture_output=True, text=True)
    *_, closing, told = outcome.stdout.splitlines()
    code, used = map(int, told.split())
    assert (code, " 0 wrong; " in closing) == (0, True), outcome
    return used


@pytest.mark.parametrize("name", ["csv", "parquet"])
def test_memory_does_not_grow_with_the_file(tmp_path, shared, name):
    """Twelve times the rows, whose answers alone are 100 MB, in as much memory within a fifth."""
    used = []
    for rows in (30_000, 360_000):
        table = fleet(rows) if name == "csv" else numbers(fleet(rows))
        source = write(table, tmp_path / f"{rows}.{name}")
        used.append(peak(source, tmp_path / f"out.{rows}.{name}", "--shared", shared, "--rows", 10_000))
    assert used[1] < 1.2 * used[0]


def partitions(count, taken):
    for number in range(count):
        taken.append(number)
        yield Partition(number, number, True, b"", 1)


class Later(Executor):
    """Answers the partition that it has had longest, when it is asked for one; the first few times they are lost."""

    def __init__(self, lost=0):
        self.had, self.most, self.lost = [], 0, lost

    def submit(self, function, asked, partition):
        future = Future()
        self.had.append((future, partition))
        self.most = max(self.most, len(self.had))
        return future

    def answer_one(self):
        future, partition = self.had.pop(0)
        if self.lost:
            self.lost -= 1
            future.set_exception(ConnectionError(f"lost {partition.number}"))
        else:
            future.set_result(b"answer %d" % partition.number)


@pytest.fixture
def answering(monkeypatch):
    """Waiting for one of the executor's answers makes it answer one."""

    def patched(executor):
        from concurrent.futures import wait

        def waiting(futures, return_when):
            executor.answer_one()
            return wait(futures, return_when=return_when)

        monkeypatch.setattr("climbwright.batch.engines.wait", waiting)
        return executor

    return patched


def test_no_more_partitions_are_read_than_there_is_room_for(answering):
    taken, executor = [], answering(Later())
    answers = windowed(executor, None, partitions(50, taken), lambda: 4)
    first, answer = next(answers)
    assert (first.number, answer) == (0, b"answer 0")
    assert taken == [0, 1, 2, 3]
    assert [one.number for one, _ in answers] == list(range(1, 50))
    assert executor.most == 4


def test_what_was_lost_is_given_again_and_comes_once(answering):
    executor = answering(Later(lost=2))
    answers = windowed(executor, None, partitions(9, []), lambda: 3, lost=(ConnectionError,))
    found = [(one.number, answer) for one, answer in answers]
    assert sorted(found) == [(number, b"answer %d" % number) for number in range(9)]


def test_what_is_lost_again_and_again_is_refused(answering):
    executor = answering(Later(lost=100))
    answers = windowed(executor, None, partitions(1, []), lambda: 3, lost=(ConnectionError,))
    said = r"the rows from 1 on were lost with their workers 3 times \(lost 0\): give the workers more memory"
    with pytest.raises(Refused, match=said):
        list(answers)
