"""Formulas that ask the service: pieces of an address, and the sheet on which every question and answer stands."""

from collections.abc import Iterable
from dataclasses import dataclass

from workbook import Sheet

__all__ = ["Calls", "Input", "number_or_dash", "reason", "value_of"]

LONGEST_ADDRESS = 2048  # of desktop Excel; other programs take more


@dataclass(frozen=True, slots=True)
class Input:
    """Cells of one input: its value, its unit where it has one, and the parameter it becomes (a word or a formula)."""

    value: str
    unit: str | None = None

    def parameter(self, name: str) -> str:
        """A formula for ``&NAME=VALUE UNIT``, nothing where the cell is empty; a decimal comma becomes a point."""
        unit = f'&IF({self.unit}="",""," "&{self.unit})' if self.unit else ""
        return f'IF({self.value}="","",{_begun(name)}&ENCODEURL(SUBSTITUTE({self.value}{unit},",",".")))'


def _begun(name: str) -> str:
    """``&NAME=``, where NAME stands in a cell of a sheet, which may be empty, or is the word itself."""
    return f'"&"&IFERROR(ENCODEURL({name}),"")&"="' if "!" in name else f'"&{name}="'


def joined(pieces: Iterable[str]) -> str:
    """A formula that puts texts one behind the other."""
    return "&".join(pieces)


class Calls:
    """The sheet of all questions, in the order in which they were asked first; the same question stands there once."""

    def __init__(self, service: str) -> None:
        self.sheet = Sheet("Calls", (3, 70, 112, 26, 65), landscape=True, frozen_rows=4, repeated_rows=4)
        self.service = f"TRIM({service})"
        self._answers: dict[str, str] = {}
        self._parts = self._rows = 5
        self._begin()

    def _begin(self) -> None:
        sheet = self.sheet
        for column, text in enumerate(
            ("What is asked", "Question, behind the address", "length", "Answer, as it came"), 2
        ):
            sheet.put(4, column, text, "head right" if text == "length" else "head")
        sheet.put(5, 2, "Whether the service answers at all", "call")
        question = sheet.put(5, 3, "/health/ready", "call")
        sheet.put(5, 4, None, "count")
        failed = f'IF({self.service}="","the service has no address","cannot reach the service at "&{self.service})'
        ready = f'IF(ISNUMBER(FIND("ready",WEBSERVICE({self.service}&{question}))),"answers",{failed})'
        self.state = sheet.put(5, 5, f"=IFERROR({ready},{failed})", "call")

    def part(self, what: str, pieces: Iterable[str]) -> str:
        """A piece of address that many questions share, in a cell of its own, before the first question."""
        self._rows += 1
        self.sheet.put(self._rows, 2, what, "call")
        cell = self.sheet.put(self._rows, 3, "=" + joined(pieces), "call")
        self.sheet.put(self._rows, 4, f"=LEN({cell})", "count")
        self.sheet.put(self._rows, 5, None, "call")
        return cell

    def ask(self, what: str, operation: str, pick: str, parts: Iterable[str], measures: str | None = None) -> str:
        """The cell of the answer to one question.

        Parameters
        ----------
        what : str
            For the reader of the sheet.
        operation : str
            The operation's name.
        pick : str
            Which value of the answer.
        parts : iterable of str
            Cells or formulas of pieces that begin with ``&``.
        measures : str or None
            Measures to which the answer is confined.
        """
        wish = f"/v1/{operation}?errors=text&units=aviation&pick={pick}"
        wish += f"&measures={measures}" if measures else ""
        formula = "=" + joined([f'"{wish}"', *parts])
        if formula not in self._answers:
            self._answers[formula] = self._asked(what, formula)
        return self._answers[formula]

    def _asked(self, what: str, formula: str) -> str:
        self._rows += 1
        sheet, row = self.sheet, self._rows
        sheet.put(row, 2, what, "call")
        question = sheet.put(row, 3, formula, "call")
        count = sheet.put(row, 4, f"=LEN({self.service})+LEN({question})", "count")
        long = f'"this call has "&{count}&" characters and {LONGEST_ADDRESS} are the most: shorten the aircraft"'
        lost = f'IF({self.state}="answers","no answer: open this call in a browser to see why",{self.state})'
        asked = f"IFERROR(WEBSERVICE({self.service}&{question}),{lost})"
        wrong = '"one of the yellow cells that this call sends holds an error: mend its formula"'
        return sheet.put(row, 5, f"=IFERROR(IF({count}>{LONGEST_ADDRESS},{long},{asked}),{wrong})", "call")


def value_of(answer: str) -> str:
    """A formula for an answer as a number, or its text where it is none."""
    return f'IFERROR(IF({answer}="","the service answered nothing",NUMBERVALUE({answer},".",",")),{answer})'


def number_or_dash(answer: str) -> str:
    """A formula for an answer's number, a dash where it is a reason, which `reason` shows."""
    return f'IF({answer}="","–",IFERROR(NUMBERVALUE({answer},".",","),"–"))'


def reason(answer: str) -> str:
    """A formula for why an answer is no number, empty where it is one."""
    return f'IF(ISNUMBER({value_of(answer)}),"",{value_of(answer)})'
