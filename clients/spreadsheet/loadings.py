"""The sheet of several loadings side by side."""

from collections.abc import Sequence

from asking import Input, number_or_dash, reason
from inputs import THIS_AIR, Asked, words
from parts import ESTIMATE, are_cautions, below_zero, heads, inside_or_outside, section
from workbook import Sheet

__all__ = ["loadings"]

BALANCE_CODES = (
    "over-maximum-weight",
    "cg-outside-limits",
    "below-envelope",
    "cg-leaves-limits-as-fuel-burns",
    "below-station-minimum",
)
BELOW_MINIMUM = "less than its minimum"  # the one of them that another caution may stand before, by its words

# Name, then what each station holds, in the order of the inputs.
LOADINGS = (
    ("Solo, full tanks", 84, None, None, 72),
    ("Solo, nearly empty", 84, None, None, 6),
    ("Two-up, half tanks", 84, 71, 5, 36),
    ("Two-up, full tanks", 84, 71, 5, 72),
    ("Two heavy, full tanks, baggage", 98, 92, 18, 72),
    ("Light pilot, baggage, last fuel", 58, None, 18, 4),
)


def loadings(asked: Asked) -> Sheet:
    """Several loadings side by side, in or out of limits, with climb and strip."""
    sheet = Sheet("Loadings", (3, 47, 15, *(34,) * len(LOADINGS)), landscape=True, frozen_rows=4, frozen_columns=3)
    row = Loading.head(sheet, asked)
    for column, (name, *held) in enumerate(LOADINGS, 4):
        loading = Loading(asked, sheet, column)
        loading.carries(name, held)
        loading.answers(row)
    sheet.heights |= {4: 30} | dict.fromkeys((*range(6, row - 1), *range(row, row + 9)), 19)
    sheet.heights |= {row + 4: 92, row + 8: 44}
    last = sheet.at(0, 3 + len(LOADINGS))[:-1]
    inside_or_outside(sheet, f"D{row + 3}:{last}{row + 3}")
    below_zero(sheet, f"D{row}:{last}{row + 7}")
    note = (
        "IN: no limit of weight or balance that the aircraft's document states is broken, as loaded and as fuel burns. "
        "The air, the strip and the aeroplane as it is are those of the sheet Inputs; empty cell: empty station."
    )
    sheet.put(row + 9, 2, note, "note", across=2 + len(LOADINGS))
    sheet.heights[row + 9] = 24
    return sheet


class Loading:
    """One column of the loadings."""

    RESULTS = (
        ("Weight", "kg"),
        ("CG arm", "m"),
        ("CG to nearer limit (minus: out)", "m"),
        ("In or out of limits", None),
        ("What is broken", None),
        ("Best rate of climb", "ft/min"),
        ("Take-off: strip left over", "m"),
        ("Landing: strip left over", "m"),
        ("What the service says", None),
    )

    def __init__(self, asked: Asked, sheet: Sheet, column: int) -> None:
        self.asked, self.sheet, self.column = asked, sheet, column
        self.part = ""

    @classmethod
    def head(cls, sheet: Sheet, asked: Asked) -> int:
        """Labels and units on the left; gives the first row of results."""
        heads(sheet, 4, ("Loading", "unit"))
        section(sheet, 5, "What it carries")
        for row, ((_, field), held) in enumerate(zip(asked.inputs.stations, asked.inputs.carried, strict=True), 6):
            sheet.put(row, 2, f"=MID({field},18,60)", "label")
            sheet.put(row, 3, f'={held.unit}&""', "unit")
        row += 1
        section(sheet, row, "What comes of it")
        for place, (label, unit) in enumerate(cls.RESULTS, row + 1):
            sheet.put(place, 2, label, "label")
            sheet.put(place, 3, unit, "unit")
        return row + 1

    def carries(self, name: str, held: Sequence[float | None]) -> None:
        """Its name and amounts, and the piece of address that they make."""
        stations = list(zip(self.asked.inputs.stations, self.asked.inputs.carried, held, strict=True))
        head = self.sheet.put(4, self.column, name, "entry head")
        pieces = [f'IF({head}="","","&loading.name="&ENCODEURL({head}))']
        for row, ((_, field), entry, amount) in enumerate(stations, 6):
            value = self.sheet.put(row, self.column, amount, "entry")
            pieces.append(Input(value, entry.unit).parameter(field))
        self.part = self.asked.calls.part(f"Loading {self.column - 3}", pieces)

    def ask(self, pick: str, measures: str, *parts: str) -> str:
        """The answer's cell of one question about this loading; `parts` says which of the inputs' others it needs."""
        asked = self.asked
        named = [THIS_AIR] if pick == "cautions" else []
        flown = [asked.parts[part] for part in parts]
        pieces = [self.part, *named, asked.condition, *flown, asked.aircraft["as it is"]]
        what = f"Loading {self.column - 3}: {words(pick.removeprefix('/cautions/0/'))}"
        return asked.calls.ask(what, "performance", pick, pieces, measures=measures)

    def answers(self, row: int) -> None:
        """Its results, one under the other."""
        sheet, column, balance = self.sheet, self.column, "weight,cg_arm,cg_margin"
        weight = self.ask("weight", balance)
        for place, (name, decimals) in enumerate((("weight", 1), ("cg_arm", 3), ("cg_margin", 3)), row):
            sheet.put(place, column, "=" + number_or_dash(self.ask(name, balance)), f"number {decimals}")
        code, texts = self.ask("/cautions/0/code", balance), self.ask("cautions", balance)
        out = ",".join([*(f'{code}="{word}"' for word in BALANCE_CODES), f'ISNUMBER(FIND("{BELOW_MINIMUM}",{texts}))'])
        margin = number_or_dash(self.ask("cg_margin", balance))
        # a code has no blanks: where one stands, the answer is the reason why there is none
        known = f'ISNUMBER({margin}),ISERROR(FIND(" ",{code})),{are_cautions(texts)}'
        sheet.put(row + 3, column, f'=IF(OR({out}),"OUT",IF(AND({known}),"IN","–"))', "state")
        broken = f'IFERROR(LEFT({texts},FIND("{ESTIMATE}",{texts})-2),{texts})'
        sheet.put(row + 4, column, f'=IF(OR({out}),{broken},"")', "why")
        climb = self.ask("best_climb_rate", "best_climb_rate")
        sheet.put(row + 5, column, "=" + number_or_dash(climb), "number 0")
        for place, name in enumerate(("takeoff_margin", "landing_margin"), row + 6):
            sheet.put(place, column, "=" + number_or_dash(self.ask(name, name, "strip")), "number 0")
        strip = reason(self.ask("takeoff_margin", "takeoff_margin", "strip"))
        sheet.put(row + 8, column, f'=IF({reason(weight)}="",{strip},{reason(weight)})', "why")
