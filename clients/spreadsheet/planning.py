"""The flight-planning workbook: its sheets in their order, the first one, and the head of each."""

from collections.abc import Sequence

from asking import Calls, number_or_dash
from inputs import Asked, Inputs
from loadings import loadings
from parts import inside_or_outside
from results import cautions, change, performance
from sums import sums
from workbook import Sheet

__all__ = ["FOOTER", "sheets"]

FOOTER = "An estimate, not a flight manual: local rules, an approved weighing and a licensed inspector decide."
CAUTION = (
    "Every figure here is an estimate, not a flight manual. Local rules, an approved weighing and a licensed inspector "
    "decide; test flights find out."
)
INVENTED = "The aeroplane, the strip and the weather that this workbook comes with are invented."


def sheets() -> list[Sheet]:
    """All sheets, in their order."""
    inputs = Inputs()
    calls = Calls(inputs.service)
    asked = Asked(inputs, calls)
    planned = [performance(asked), loadings(asked), change(asked), cautions(asked), sums(asked)]
    inputs.told(asked)
    for sheet, boxes in zip(
        planned, ((2, 3, 4, 6), (2, 4, 6, 8), (2, 3, 5, 7), (2, 3, 4, 5), (2, 3, 5, 7)), strict=True
    ):
        plate(sheet, boxes, asked)
    plate(inputs.sheet, (2, 3, 4, 6), asked)
    plate(calls.sheet, (2, 3, 4, 5), asked)
    return [read_me(), inputs.sheet, *planned, calls.sheet]


TITLES = {
    "Inputs": "Inputs",
    "Performance": "Performance",
    "Loadings": "Loadings",
    "Change": "Before and after",
    "Cautions": "Cautions",
    "Sums": "Single sums",
    "Calls": "Calls to the service",
}


def plate(sheet: Sheet, starts: Sequence[int], asked: "Asked") -> None:
    """The head of a sheet: its title, and what it was computed for, as on the plate of a drawing."""
    sheet.put(1, 2, TITLES[sheet.name], "title", across=sheet.columns - 3)
    sheet.put(1, sheet.columns, "climbwright flight planning", "mark")
    sheet.heights |= {1: 30, 2: 11, 3: 24}
    height = asked.density_altitude
    shown = f'IF(ISNUMBER({number_or_dash(height)}),ROUND({number_or_dash(height)},0)&" ft","–")'
    boxes = {
        "AEROPLANE": f'={asked.inputs.label}&""',
        "LOADING": "those below" if sheet.name == "Loadings" else f'={asked.inputs.loading_label}&""',
        "DENSITY ALTITUDE": f"={shown}",
        "SERVICE": f"={asked.calls.state}",
    }
    ends = [*(start - 1 for start in starts[1:]), sheet.columns]
    for (name, formula), start, end in zip(boxes.items(), starts, ends, strict=True):
        sheet.put(2, start, name, "plate name", across=end - start + 1)
        sheet.put(3, start, formula, "plate", across=end - start + 1)


STEPS = (
    "Start the service, or have its address: on your own machine service/start serves at http://127.0.0.1:8000.",
    "Allow this workbook to fetch: LibreOffice shows a bar, “Automatic update of external links has been disabled”: "
    "press Allow. Desktop Excel on Windows: Enable Editing, then Enable Content. Other programs: "
    "README.md beside this file.",
    "Sheet Inputs: put in the address (one cell), the air, the loading, the strip, how you fly, and your aeroplane. "
    "Every unit stands beside its number and may be another one: write lb, F or inHg, and the service converts.",
    "Read “What the service says of them” on that sheet: understood, or what is wrong and what to write instead.",
    "Read the cautions, then the figures. A dash means that there is no such figure; why stands in its row.",
    "Print: every sheet is laid out for A4 and carries the caution in its footer.",
)
CONTENTS = (
    ("Inputs", "What you put in, and what the service says of it."),
    ("Performance", "Stall, climb, ceilings, cruise, take-off and landing at your strip, with spreads."),
    ("Loadings", "Several loadings side by side: weight, CG, IN or OUT of limits, climb and strip left over."),
    ("Change", "The aeroplane as it is and with another engine, and the difference."),
    ("Cautions", "All that the service warns of, the gravest first."),
    ("Sums", "Airspeed, stall, a first estimate of a climb, a weighing: no aircraft document needed."),
    ("Calls", "Every question as it is sent and every answer as it came."),
)


def read_me() -> Sheet:
    """The first sheet: what this is, the caution, how to begin."""
    sheet = Sheet("Start", (3, 27, 34, 125))
    sheet.put(1, 2, "Flight planning", "title", across=2)
    sheet.put(1, 4, "climbwright flight planning", "mark")
    sheet.put(2, 2, "Read me first", "section", across=3)
    sheet.put(3, 2, f"{CAUTION} Do not fly to a number that you have not measured.", "caution", across=3)
    sheet.put(4, 2, f"{INVENTED} Put in your own before you read a figure.", "caution", across=3)
    sheet.heights |= {1: 34, 3: 32, 4: 28, 5: 8}
    sheet.put(6, 2, "How to use it", "section", across=3)
    for row, step in enumerate(STEPS, 7):
        sheet.put(row, 2, f"{row - 6}", "place")
        sheet.put(row, 3, step, "line", across=2)
        sheet.heights[row] = 30
    row += 2
    sheet.put(row, 2, "How cells look", "section", across=3)
    for look, sample, meaning in (
        ("entry", 123, "You write here. Point or comma as your program has it; leave empty what you do not know."),
        ("number 1", 123.4, "An answer of the service, in the unit beside it."),
        ("plain 1", 5.6, "One standard deviation of an answer, or one of two aeroplanes side by side."),
        ("remark", "why", "What the service says where there is no number: which input, what is wrong, what to send."),
        ("state", "IN", "Inside every limit that was given; or understood."),
        ("state", "OUT", "Outside a limit, below zero, or not understood."),
    ):
        row += 1
        sheet.put(row, 2, sample, look)
        sheet.put(row, 3, meaning, "line", across=2)
        sheet.heights[row] = 16
    inside_or_outside(sheet, f"B{row - 1}:B{row}")
    row += 2
    sheet.put(row, 2, "The sheets", "section", across=3)
    for name, meaning in CONTENTS:
        row += 1
        sheet.put(row, 2, name, "place")
        sheet.put(row, 3, meaning, "line", across=2)
        sheet.heights[row] = 16
    return sheet
