"""What sheets of results have in common: heads, rows of answers, lines of a text."""

from collections.abc import Collection, Sequence

from asking import number_or_dash, reason
from workbook import Rule, Sheet

__all__ = [
    "ESTIMATE",
    "are_cautions",
    "below_zero",
    "heads",
    "inside_or_outside",
    "line_of",
    "lines_in",
    "row_of_answer",
    "section",
]

# Begins the caution that every answer about an aeroplane has. Those that say a limit is broken stand before it.
ESTIMATE = "This is an estimate"


def are_cautions(text: str) -> str:
    """A formula for whether a text is cautions, and not the reason why they are not known."""
    return f'ISNUMBER(FIND("{ESTIMATE}",{text}))'


def heads(sheet: Sheet, row: int, words: Sequence[str], right: Collection[int] = ()) -> None:
    """Column heads from the second column on; those over numbers stand right."""
    for column, word in enumerate(words, 2):
        sheet.put(row, column, word, "head right" if column in right else "head" if column == 2 else "head unit")


def row_of_answer(sheet: Sheet, row: int, label: str, answer: str, unit: str, decimals: int, why: int) -> None:
    """A label, an answer's number, its unit, and in the column `why` the reason where there is no number."""
    sheet.put(row, 2, label, "label")
    sheet.put(row, 3, "=" + number_or_dash(answer), f"number {decimals}")
    sheet.put(row, 4, unit, "unit")
    sheet.put(row, why, "=" + reason(answer), "remark")


def section(sheet: Sheet, row: int, title: str) -> None:
    """A band with a title across a sheet."""
    sheet.heights[row] = 20
    for column in range(2, len(sheet.widths) + 1):
        sheet.put(row, column, title if column == 2 else None, "section")


def below_zero(sheet: Sheet, area: str) -> None:
    """Colour the numbers of an area that are below zero."""
    first = area.partition(":")[0]
    sheet.rules.append(Rule(area, f"AND(ISNUMBER({first}),{first}<0)", "bad"))


def inside_or_outside(sheet: Sheet, area: str) -> None:
    """Colour IN and OUT."""
    first = area.partition(":")[0]
    sheet.rules += [Rule(area, f'{first}="IN"', "good"), Rule(area, f'{first}="OUT"', "bad")]


def line_of(text: str, number: int) -> str:
    """A formula for one line of a text of several, empty behind the last."""
    begin = "1" if number == 1 else f'FIND("¦",SUBSTITUTE({text},CHAR(10),"¦",{number - 1}))+1'
    end = f'FIND("¦",SUBSTITUTE({text}&CHAR(10),CHAR(10),"¦",{number}))'
    return f'IFERROR(MID({text},{begin},{end}-({begin})),"")'


def lines_in(text: str) -> str:
    """A formula for how many lines a text has."""
    return f'(LEN({text})-LEN(SUBSTITUTE({text},CHAR(10),""))+1)'
