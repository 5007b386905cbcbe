"""What can go wrong, by what to do about it.

ClimbwrightError
    NotSent             mend what you gave: it was not sent
    Refused             the service refused it
        NotUnderstood   mend the field that is named
        NotAnswerable   understood, but no aeroplane or air is like that: change a number
        Unreadable      the bytes do not parse: mend the file
        TooLarge        send less at once
        NotOffered      this service has no such operation, or form of it
        Failed          an error of the service: report it
    Busy                the service has too much to do: come again
    Unreachable         nothing answers there: start it, or mend the address
    NotAService         something answers there that is not climbwright
"""

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = [
    "Busy",
    "ClimbwrightError",
    "Failed",
    "FieldError",
    "NotAService",
    "NotAnswerable",
    "NotOffered",
    "NotSent",
    "NotUnderstood",
    "Refused",
    "TooLarge",
    "Unreachable",
    "Unreadable",
]

_MOST_TOLD = 5


@dataclass(frozen=True, slots=True)
class FieldError:
    """What is wrong with one field.

    Parameters
    ----------
    field : str
        JSON Pointer of the field in the request; empty for the whole request.
    advice : str
        What is wrong with it, and what to send instead.
    """

    field: str
    advice: str

    def __str__(self) -> str:
        return f"{self.field}: {self.advice}" if self.field else self.advice


class ClimbwrightError(Exception):
    """Any error of this package; its text is a sentence for people.

    Attributes
    ----------
    status : int or None
        The HTTP status, where something answered.
    title, detail : str
        What kind of error it is, and what is wrong.
    errors : tuple of FieldError
        Each field with its advice.
    rows : range or None
        In a fleet cut into pieces: the rows of the piece that it happened to, counted from 0.
    """

    title = "It did not work"

    def __init__(
        self,
        detail: str,
        *,
        title: str | None = None,
        status: int | None = None,
        errors: Iterable[FieldError] = (),
    ) -> None:
        super().__init__(detail)
        self.title = title or type(self).title
        self.detail, self.status, self.errors = detail, status, tuple(errors)
        self.rows: range | None = None

    def __str__(self) -> str:
        told = [str(error) for error in self.errors[:_MOST_TOLD]] or [self.detail]
        if len(self.errors) > _MOST_TOLD:
            told.append(f"and {len(self.errors) - _MOST_TOLD} more")
        where = "" if self.rows is None else f" (in rows {self.rows.start + 1} to {self.rows.stop})"
        return f"{self.title}{where}: {'; '.join(told)}"


class NotSent(ClimbwrightError, ValueError):
    """What was given cannot be sent; `errors` says which part of it and why."""

    title = "Nothing was sent"

    def __init__(self, errors: Iterable[FieldError] | str) -> None:
        found = (FieldError("", errors),) if isinstance(errors, str) else tuple(errors)
        super().__init__(str(found[0]), errors=found)


class Refused(ClimbwrightError):
    """The service answered with a problem document (RFC 9457)."""

    title = "The service refused the request"


class NotUnderstood(Refused):
    """A field is wrong, missing or misspelt: mend what `errors` names."""


class NotAnswerable(Refused):
    """The request is understood and no number answers it: change what `errors` names."""


class Unreadable(Refused):
    """The bytes that were sent do not parse."""


class TooLarge(Refused):
    """More than the service takes at once: send it in parts."""


class NotOffered(Refused):
    """This service has no such operation, or not in that form."""


class Failed(Refused):
    """An error of the service itself."""


class Busy(ClimbwrightError):
    """The service still had too much to do when patience ended.

    `retry_after` holds the seconds after which it asked to come again, where it said so.
    """

    title = "The service is busy"
    retry_after: float | None = None


class Unreachable(ClimbwrightError):
    """Nothing answers at the address, or not in time."""

    title = "The service cannot be reached"


class NotAService(ClimbwrightError):
    """Something answers that is not climbwright."""

    title = "This is no answer of climbwright"
