"""How often one client may ask: the generic cell rate algorithm (GCRA), which keeps one number a client.

A quota and its window, as 600 a minute: that many at once, and each given back after its share of the window. What is
kept is when the whole quota will be there again, called `due`; every request puts it off by its cost.

Source: ITU-T I.371, annex A ("virtual scheduling"). The fields of the answer: draft-ietf-httpapi-ratelimit-headers.
"""

import re
from dataclasses import dataclass
from typing import NamedTuple

__all__ = ["COSTS", "SECOND", "Kept", "Rate", "Verdict", "charge", "read_rate"]

SECOND = 1_000_000  # all times are whole microseconds: sums stay exact
_UNITS = {"second": 1, "minute": 60, "hour": 3600, "day": 86400}
_RATE = re.compile(r"([1-9][0-9]{0,8})/([1-9][0-9]{0,3})?(second|minute|hour|day)s?")

# What takes a processor far longer than a question costs more of them: tables go by the hundred thousand rows.
COSTS = {"/v1/fleet": 20, "/v1/operability": 20}


@dataclass(frozen=True, slots=True)
class Rate:
    """A quota of questions and the window in which it comes back. [s]"""

    quota: int
    window: int

    @property
    def interval(self) -> int:
        """The time after which one question comes back. [us]"""
        return self.window * SECOND // self.quota

    @property
    def span(self) -> int:
        """The time after which all of them are back. [us]"""
        return self.interval * self.quota

    @property
    def words(self) -> str:
        """As a sentence says it."""
        return f"{self.quota} questions in {self.window} s"

    @property
    def policy(self) -> str:
        """The field RateLimit-Policy."""
        return f'"client";q={self.quota};w={self.window}'


def read_rate(value: str) -> Rate | None:
    """A rate as 600/minute or 50/5seconds; None where nothing is said."""
    if not value:
        return None
    read = _RATE.fullmatch(value)
    if read is None:
        raise ValueError(f"must be a number of questions in a time, such as 600/minute or 50/5seconds, not '{value}'")
    rate = Rate(int(read[1]), int(read[2] or 1) * _UNITS[read[3]])
    if rate.quota > rate.window * 10_000:
        raise ValueError(f"must be at most 10000 questions a second, not '{value}'")
    return rate


class Kept(NamedTuple):
    """What is kept of a client: when its quota is whole again [us], and the question it has last paid for by a HEAD."""

    due: int = 0
    paid: int = 0


class Verdict(NamedTuple):
    """Whether a question may be asked, how many more may, and the times until all may and until this one may. [us]"""

    admitted: bool
    left: int
    whole: int
    wait: int

    @property
    def told(self) -> str:
        """The field RateLimit."""
        return f'"client";r={self.left};t={_seconds(self.whole)}'

    @property
    def retry_after(self) -> int:
        """The field Retry-After. [s]"""
        return max(1, _seconds(self.wait))


def _seconds(microseconds: int) -> int:
    return -(-microseconds // SECOND)


def charge(rate: Rate, kept: Kept, cost: int, now: int, question: int = 0, ahead: bool = False) -> tuple[Kept, Verdict]:
    """Charge a client, or refuse it at no charge.

    Parameters
    ----------
    rate : Rate
        What it may ask.
    kept : Kept
        What is kept of it.
    cost : int
        Of this question, at most the quota.
    now : int
        The time [us]. Where it steps back, nobody waits longer than for a whole quota.
    question : int
        A number for the address that a GET or a HEAD asks, 0 for none.
    ahead : bool
        This is a HEAD: the next GET of the same question is paid for, since a spreadsheet's cell sends both.

    Returns
    -------
    kept : Kept
        To be kept in its place.
    verdict : Verdict
        What to do, and what to tell.
    """
    interval, span = rate.interval, rate.span
    due, paid = min(max(kept.due, now), now + span), kept.paid
    if question and question == paid and not ahead:
        cost, paid = 0, 0
    after = due + cost * interval
    wait = after - now - span
    if wait > 0:
        return Kept(due, paid), Verdict(False, (now + span - due) // interval, due - now, wait)
    left = (now + span - after) // interval
    return Kept(after, question if ahead else paid), Verdict(True, left, after - now, 0)
