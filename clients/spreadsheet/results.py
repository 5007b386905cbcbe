"""The sheets that show what the aeroplane does: performance, before and after, cautions."""

from asking import number_or_dash, reason
from inputs import Asked
from parts import are_cautions, below_zero, heads, line_of, lines_in, row_of_answer, section
from workbook import Sheet

__all__ = ["cautions", "change", "performance"]

CAUTION_LINES = 14

# Label, measure, unit, decimals, parts of how it is flown, whether its spread is shown.
MEASURES: dict[str, tuple[tuple[str, str, str, int, tuple[str, ...], bool], ...]] = {
    "Weight and balance": (
        ("Weight", "weight", "kg", 1, (), False),
        ("CG arm", "cg_arm", "m", 3, (), False),
        ("CG to the nearer limit (minus: outside)", "cg_margin", "m", 3, (), False),
    ),
    "Stall, calibrated airspeed": (
        ("Stall, first configuration", "stall_speed_calibrated", "kt", 1, (), False),
        ("Stall in the turn", "stall_speed_in_turn_calibrated", "kt", 1, ("turn",), False),
        ("Approach at 1.3 stall speeds", "approach_speed_calibrated", "kt", 1, (), False),
    ),
    "Climb": (
        ("Power available in this air", "power_available", "hp", 1, (), True),
        ("Best rate of climb", "best_climb_rate", "ft/min", 0, (), True),
        ("Its calibrated airspeed", "best_climb_speed_calibrated", "kt", 1, (), False),
        ("Gradient of the steepest climb", "climb_gradient", "ratio", 3, (), True),
        ("Time to the altitude wanted", "time_to_climb", "min", 1, ("climb",), True),
        ("Service ceiling", "service_ceiling", "ft", 0, (), True),
        ("Absolute ceiling", "absolute_ceiling", "ft", 0, (), False),
    ),
    "Level and glide": (
        ("Greatest level speed, true", "greatest_level_speed_true", "kt", 1, (), True),
        ("Cruise, true", "cruise_speed_true", "kt", 1, ("cruise",), True),
        ("Fuel flow", "fuel_flow", "L/h", 1, ("cruise",), True),
        ("Range, reserve kept", "range", "NM", 0, ("cruise",), True),
        ("Endurance, reserve kept", "endurance", "min", 0, ("cruise",), False),
        ("Best glide ratio", "best_glide_ratio", "ratio", 1, (), False),
        ("Its calibrated airspeed", "best_glide_speed_calibrated", "kt", 1, (), False),
    ),
    "Take-off at the strip": (
        ("Ground roll", "takeoff_roll", "m", 0, ("strip",), False),
        ("Over the obstacle", "takeoff_distance", "m", 0, ("strip",), True),
        ("Required, with the safety factor", "takeoff_distance_required", "m", 0, ("strip",), False),
        ("Strip left over (minus: too short)", "takeoff_margin", "m", 0, ("strip",), True),
        ("The same, the other way", "takeoff_margin_reversed", "m", 0, ("strip",), False),
    ),
    "Landing at the strip": (
        ("From the obstacle", "landing_distance", "m", 0, ("strip",), True),
        ("Ground roll", "landing_roll", "m", 0, ("strip",), False),
        ("Required, with the safety factor", "landing_distance_required", "m", 0, ("strip",), False),
        ("Strip left over (minus: too short)", "landing_margin", "m", 0, ("strip",), True),
        ("The same, the other way", "landing_margin_reversed", "m", 0, ("strip",), False),
    ),
}
AIR = (
    ("Pressure altitude", "pressure_altitude", "ft", 0),
    ("Density altitude", "density_altitude", "ft", 0),
    ("Density altitude if the air were dry", "density_altitude_dry", "ft", 0),
    ("Warmer than standard by", "isa_deviation", "K", 1),
    ("Air density", "density", "kg/m3", 3),
)


def performance(asked: Asked) -> Sheet:
    """Air and performance of the aeroplane as it is, with the loading of the inputs."""
    sheet = Sheet("Performance", (3, 66, 20, 15, 15, 67), frozen_rows=5)
    gravest_line(sheet, 4, asked, "as it is")
    heads(sheet, 5, ("As it is", "value", "unit", "±", "why, where there is none"), right=(3, 5))
    row = 6
    section(sheet, row, "Air")
    for label, field, unit, decimals in AIR:
        row += 1
        row_of_answer(sheet, row, label, asked.of_air(field), unit, decimals, why=6)
        sheet.put(row, 5, None, "plain 0")
    for title, measures in MEASURES.items():
        row += 1
        section(sheet, row, title)
        for label, name, unit, decimals, parts, spread in measures:
            row += 1
            row_of_answer(sheet, row, label, asked.measure(name, "as it is", parts), unit, decimals, why=6)
            known = f"={number_or_dash(asked.measure(name, 'as it is', parts, spread=True))}" if spread else None
            sheet.put(row, 5, known, f"plain {decimals}")
    below_zero(sheet, f"C6:C{row}")
    sheet.put(
        row + 1,
        2,
        "± is one standard deviation: the true figure lies within it in two of three such cases.",
        "note",
        across=5,
    )
    sheet.heights[row + 1] = 14
    return sheet


def gravest_line(sheet: Sheet, row: int, asked: Asked, which: str) -> None:
    """How many cautions there are, and the gravest."""
    text = asked.cautions(which)
    told = f'"Cautions: "&{lines_in(text)}&" on their sheet. The first: "&{line_of(text, 1)}'
    sheet.put(row, 2, f"=IF({are_cautions(text)},{told},{unknown(text)})", "caution", across=len(sheet.widths) - 1)
    sheet.heights[row] = 28


def unknown(text: str) -> str:
    """A formula for what stands in place of cautions where all there is is a reason."""
    return f'"THE CAUTIONS ARE NOT KNOWN, and a broken limit is not shown: "&{text}'


CHANGED = (
    ("Weight", "weight", "kg", 1, ()),
    ("CG arm", "cg_arm", "m", 3, ()),
    ("CG to the nearer limit", "cg_margin", "m", 3, ()),
    ("Power to weight in this air", "power_to_weight", "hp/kg", 3, ()),
    ("Stall, calibrated", "stall_speed_calibrated", "kt", 1, ()),
    ("Best rate of climb", "best_climb_rate", "ft/min", 0, ()),
    ("Gradient of the steepest climb", "climb_gradient", "ratio", 3, ()),
    ("Time to the altitude wanted", "time_to_climb", "min", 1, ("climb",)),
    ("Service ceiling", "service_ceiling", "ft", 0, ()),
    ("Greatest level speed, true", "greatest_level_speed_true", "kt", 1, ()),
    ("Cruise, true", "cruise_speed_true", "kt", 1, ("cruise",)),
    ("Fuel flow", "fuel_flow", "L/h", 1, ("cruise",)),
    ("Range, reserve kept", "range", "NM", 0, ("cruise",)),
    ("Take-off over the obstacle", "takeoff_distance", "m", 0, ("strip",)),
    ("Take-off: strip left over", "takeoff_margin", "m", 0, ("strip",)),
    ("Landing from the obstacle", "landing_distance", "m", 0, ("strip",)),
    ("Landing: strip left over", "landing_margin", "m", 0, ("strip",)),
)


def change(asked: Asked) -> Sheet:
    """The aeroplane as it is and with the change, and what differs."""
    sheet = Sheet("Change", (3, 56, 23, 23, 23, 15, 43), frozen_rows=5)
    gravest_line(sheet, 4, asked, "changed")
    over = ("With the loading of the inputs", "as it is", "changed", "difference", "unit", "why, where there is none")
    heads(sheet, 5, over, right=(3, 4, 5))
    for row, (label, name, unit, decimals, parts) in enumerate(CHANGED, 6):
        before, after = (asked.measure(name, which, parts) for which in ("as it is", "changed"))
        sheet.put(row, 2, label, "label")
        sheet.put(row, 3, "=" + number_or_dash(before), f"plain {decimals}")
        sheet.put(row, 4, "=" + number_or_dash(after), f"plain {decimals}")
        sheet.put(row, 5, f'=IF(AND(ISNUMBER(C{row}),ISNUMBER(D{row})),D{row}-C{row},"–")', f"number {decimals}")
        sheet.put(row, 6, unit, "unit")
        sheet.put(row, 7, f"=IF(ISNUMBER(C{row}),{reason(after)},{reason(before)})", "remark")
    below_zero(sheet, f"C6:D{row}")
    note = (
        "A difference is of two estimates that share most of their doubt: how sure it is, and what each part of a "
        "change brought, the operation comparison answers (README of this folder: query tools)."
    )
    sheet.put(row + 1, 2, note, "note", across=6)
    sheet.heights[row + 1] = 26
    return sheet


def cautions(asked: Asked) -> Sheet:
    """All cautions, one a line."""
    sheet = Sheet("Cautions", (3, 60, 42, 42, 42), frozen_rows=3)
    row = 4
    for which in ("as it is", "changed"):
        text = asked.cautions(which)
        section(sheet, row, f"Aeroplane {which}")
        for number in range(1, CAUTION_LINES + 1):
            row += 1
            line = line_of(text, number)
            if number == 1:
                line = f"IF({are_cautions(text)},{line},{unknown(text)})"
            if number == CAUTION_LINES:
                more = f'{lines_in(text)}-{CAUTION_LINES - 1}&" more stand on the sheet Calls"'
                line = f"IF({lines_in(text)}>{CAUTION_LINES},{more},{line})"
            sheet.put(row, 2, "=" + line, "saying", across=4)
            sheet.heights[row] = 24
        row += 1
    return sheet
