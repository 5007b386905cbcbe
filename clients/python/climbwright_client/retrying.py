"""When a request is sent again, and how long to wait before. Every calculation is safe to repeat."""

import random
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

import httpx

__all__ = ["Retry", "retry_after"]

AGAIN = frozenset({429, 502, 503, 504})


@dataclass(frozen=True, slots=True)
class Retry:
    """How often a request is sent, and how long to wait in between.

    The wait doubles from attempt to attempt, and its second half is random, so that many clients do not come back at
    once. A `Retry-After` of the service is honoured; one beyond `longest` ends the attempts.

    Parameters
    ----------
    attempts : int
        How often it is sent at most; 1 sends it once.
    first : float
        First wait. [s]
    longest : float
        Longest wait. [s]
    """

    attempts: int = 6
    first: float = 0.5
    longest: float = 30.0

    def __post_init__(self) -> None:
        if not self.attempts >= 1:
            raise ValueError(f"attempts is a whole number of 1 or more, not {self.attempts!r}")
        if not 0.0 <= self.first <= self.longest:
            raise ValueError(f"first is not negative and at most longest, not {self.first!r} with {self.longest!r}")

    def wait(self, made: int, outcome: httpx.Response | httpx.RequestError) -> float | None:
        """Seconds to wait before the next attempt; None where there is none.

        Parameters
        ----------
        made : int
            Attempts made so far, 1 or more.
        outcome : httpx.Response or httpx.RequestError
            What the last one brought.
        """
        if made >= self.attempts or not _worth(outcome):
            return None
        asked = retry_after(outcome) if isinstance(outcome, httpx.Response) else None
        if asked is not None:
            return None if asked > self.longest else asked + random.uniform(0.0, self.first)
        longest = min(self.longest, self.first * 2.0 ** (made - 1))
        return longest * random.uniform(0.5, 1.0)


def _worth(outcome: httpx.Response | httpx.RequestError) -> bool:
    """Whether the next attempt may bring more: not where the service was given its time and needed longer."""
    if isinstance(outcome, httpx.Response):
        return outcome.status_code in AGAIN
    return isinstance(outcome, httpx.NetworkError | httpx.RemoteProtocolError | httpx.ConnectTimeout)


def retry_after(response: httpx.Response, now: datetime | None = None) -> float | None:
    """Seconds after which the service asks to come again, said in seconds or as a date; None where it does not."""
    said = response.headers.get("Retry-After", "").strip()
    if said.isascii() and said.isdigit():
        return float(said)
    try:
        date = parsedate_to_datetime(said)
    except ValueError:
        return None
    date = date if date.tzinfo else date.replace(tzinfo=UTC)
    return max(0.0, (date - (now or datetime.now(UTC))).total_seconds())
