"""An operation that will go: how its answers say so, long before it does.

Sources: RFC 9745 (Deprecation), RFC 8594 (Sunset), RFC 5829 (successor-version).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from email.utils import format_datetime

__all__ = ["Deprecation"]


@dataclass(frozen=True, slots=True)
class Deprecation:
    """Since when an operation should not be asked any more, the day on which it goes, and what answers in its place."""

    since: date
    until: date
    successor: str

    def headers(self) -> Mapping[str, str]:
        """What every answer of the operation carries, refusals too."""
        return {
            "Deprecation": f"@{int(_midnight(self.since).timestamp())}",
            "Sunset": format_datetime(_midnight(self.until), usegmt=True),
            "Link": f'</docs#deprecated>; rel="deprecation", </v1/{self.successor}>; rel="successor-version"',
        }

    def words(self) -> str:
        """The same in a sentence, for the document."""
        return f" Deprecated since {self.since}: it goes on {self.until}; ask {self.successor} instead."


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)
