"""The sheet of single sums, which need no aircraft document."""

from collections.abc import Sequence

from asking import Input, number_or_dash, reason
from inputs import Asked
from parts import below_zero, heads, inside_or_outside, section
from workbook import Sheet

__all__ = ["sums"]


def sums(asked: Asked) -> Sheet:
    """Questions that need no aircraft document: airspeed, stall, a first estimate of the climb, a weighing."""
    sheet = Sheet("Sums", (3, 62, 25, 22, 25, 14, 35), frozen_rows=3)
    row = Sums(asked, sheet).written()
    sheet.put(row, 2, "These use the air of the sheet Inputs, and nothing else of it.", "note", across=6)
    return sheet


class Sums:
    """The sheet of single sums, written from top to bottom."""

    def __init__(self, asked: Asked, sheet: Sheet) -> None:
        self.asked, self.sheet, self.row = asked, sheet, 4

    def written(self) -> int:
        """Write them all; gives the next free row."""
        air = self.asked.air
        given = self._inputs("Airspeed", (("Indicated airspeed", "indicated", 62, "kt"),))
        self._answers("airspeed", [*given, air], (("Calibrated", "calibrated", "kt", 1), ("True", "true", "kt", 1)))
        given = self._inputs("Stall", (
            ("Stall speed that was flown, calibrated", "reference_speed", 38, "kt"),
            ("At this weight", "reference_weight", 510, "kg"),
            ("Weight now", "weight", 560, "kg"),
            ("Bank", "bank", 30, "deg"),
            ("Gain of the greatest lift coefficient", "lift_gain", None, "%"),
        ))  # fmt: skip
        self._answers("stall-speed", [*given, air], (
            ("Stall, calibrated", "stall_speed_calibrated", "kt", 1),
            ("Stall, true", "stall_speed_true", "kt", 1),
            ("Approach at 1.3 stall speeds", "approach_speed_calibrated", "kt", 1),
        ))  # fmt: skip
        given = self._inputs("First estimate of a climb", (
            ("Rated power", "power", 105, "hp"),
            ("Weight", "weight", 560, "kg"),
            ("Wing span", "span", 9.8, "m"),
        ))  # fmt: skip
        self._answers("climb-estimate", [*given, air], (
            ("Power available in this air", "power_available", "hp", 1),
            ("Best rate of climb", "best_climb_rate", "ft/min", 0),
            ("One standard deviation of it", "/best_climb_rate/plus_minus", "ft/min", 0),
            ("Its calibrated airspeed", "best_climb_speed_calibrated", "kt", 1),
        ))  # fmt: skip
        self._weighing()
        return self.row

    def _inputs(self, title: str, rows: Sequence[tuple[str, str, float | None, str]]) -> list[str]:
        section(self.sheet, self.row, title)
        made = []
        for label, name, value, unit in rows:
            self.row += 1
            self.sheet.put(self.row, 2, label, "label")
            entry = self.sheet.put(self.row, 3, value, "entry share" if unit == "%" else "entry")
            made.append(Input(entry, self.sheet.put(self.row, 4, unit, "entry text")).parameter(name))
        return made

    def _answers(self, operation: str, parts: list[str], rows: Sequence[tuple[str, str, str, int]]) -> None:
        for label, pick, unit, decimals in rows:
            self.row += 1
            answer = self.asked.calls.ask(f"Sums: {label.lower()}", operation, pick, parts)
            self.sheet.put(self.row, 2, label, "label")
            self.sheet.put(self.row, 3, "=" + number_or_dash(answer), f"number {decimals}")
            self.sheet.put(self.row, 4, unit, "unit")
            self.sheet.put(self.row, 5, "=" + reason(answer), "remark", across=3)
        self.row += 2

    def _weighing(self) -> None:
        sheet = self.sheet
        section(sheet, self.row, "Weight and balance")
        self.row += 1
        heads(sheet, self.row, ("what", "weight or volume", "unit", "arm", "unit", ""), right=(3, 5))
        loads = []
        for name, amount, unit, arm in (
            ("empty", 327, "kg", 0.41),
            ("pilot", 84, "kg", 0.51),
            ("passenger", 71, "kg", 0.51),
            ("fuel", 36, "L*0.72 kg/L", 0.64),
            ("more", None, "kg", None),
        ):
            loads.append(self._load(name, amount, unit, arm))
        limits = self._limits()
        parts = [*loads, *limits]
        self._answers("balance", parts, (
            ("Weight", "weight", "kg", 1),
            ("CG arm", "cg_arm", "m", 3),
            ("CG to the nearer limit (minus: outside)", "cg_margin", "m", 3),
            ("Weight left (minus: too heavy)", "weight_margin", "kg", 1),
        ))  # fmt: skip
        self.row -= 1
        inside = self.asked.calls.ask("Sums: in or out of limits", "balance", "in_limits", parts)
        sheet.put(self.row, 2, "In or out of limits", "label")
        sheet.put(self.row, 3, f'=IF({inside}="true","IN",IF({inside}="false","OUT","–"))', "state")
        sheet.put(self.row, 5, f'=IF(OR({inside}="true",{inside}="false"),"",{inside})', "remark", across=3)
        inside_or_outside(sheet, f"C{self.row}")
        below_zero(sheet, f"C{self.row - 4}:C{self.row - 1}")
        self.row += 2

    def _load(self, name: str, amount: float | None, unit: str, arm: float | None) -> str:
        """A row of the weighing, and the formula of its parameter."""
        sheet = self.sheet
        self.row += 1
        named = sheet.put(self.row, 2, name, "entry text")
        held = sheet.put(self.row, 3, amount, "entry")
        held_unit = sheet.put(self.row, 4, unit, "entry text")
        at = sheet.put(self.row, 5, arm, "entry")
        at_unit = sheet.put(self.row, 6, "m", "entry text")
        load = f'SUBSTITUTE({held}&" "&{held_unit}&"@"&{at}&" "&{at_unit},",",".")'
        return f'IF({held}="","","&load="&ENCODEURL({named}&":"&{load}))'

    def _limits(self) -> list[str]:
        made = []
        for label, name, value, unit in (
            ("Maximum weight", "maximum_weight", 575, "kg"),
            ("Forward limit of the CG", "forward", 0.35, "m"),
            ("Aft limit of the CG", "aft", 0.57, "m"),
        ):
            self.row += 1
            self.sheet.put(self.row, 2, label, "label")
            entry = self.sheet.put(self.row, 3, value, "entry")
            made.append(Input(entry, self.sheet.put(self.row, 4, unit, "entry text")).parameter(name))
        return made
