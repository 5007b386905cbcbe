"""Writes a workbook as .xlsx."""

import datetime as dt
import io
import re
import zipfile
from collections.abc import Sequence
from pathlib import Path

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.workbook.properties import CalcProperties
from openpyxl.worksheet.datavalidation import DataValidation
from workbook import ENTRY_EDGE, FONT, INK, LINE, LOOKS, OVER, Look, Sheet

__all__ = ["write_xlsx"]

# Functions younger than the file format carry a prefix in the file and none on the screen.
_YOUNGER = re.compile(r"\b(WEBSERVICE|ENCODEURL|NUMBERVALUE)\(")


def write_xlsx(sheets: Sequence[Sheet], path: Path, footer: str) -> None:
    """Write sheets to a file.

    Parameters
    ----------
    sheets : sequence of Sheet
        In their order.
    path : Path
        The file, which is replaced.
    footer : str
        What stands under every printed page, beside its number.
    """
    book = Workbook()
    book.remove(book.active)
    for sheet in sheets:
        _write(sheet, book.create_sheet(sheet.name), footer)
    book.properties.creator = "climbwright"
    book.properties.title = "Flight planning"
    book.properties.created = dt.datetime(2000, 1, 1)
    book.calculation = CalcProperties(fullCalcOnLoad=True)
    made = io.BytesIO()
    book.save(made)
    _undated(made, path)


def _undated(made: io.BytesIO, path: Path) -> None:
    """The same file without the hour it was made at: the same cells make the same file."""
    with zipfile.ZipFile(made) as dated, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        for name in dated.namelist():
            content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>2000-01-01T00:00:00Z", dated.read(name))
            file.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)


def _write(sheet: Sheet, page, footer: str) -> None:
    for (row, column), cell in sheet.cells.items():
        _style(page, row, column, cell.across, cell.down, LOOKS[cell.look])
        value = cell.value
        target = page.cell(row, column)
        target.value = _YOUNGER.sub(r"_xlfn.\1(", value) if _is_formula(value) else value
        if cell.across > 1 or cell.down > 1:
            page.merge_cells(
                start_row=row, end_row=row + cell.down - 1, start_column=column, end_column=column + cell.across - 1
            )
    for place, width in enumerate(sheet.widths, 1):
        page.column_dimensions[get_column_letter(place)].width = (width * 96 / 25.4 - 5) / 7  # characters of 7 px
    for row, height in sheet.heights.items():
        page.row_dimensions[row].height = height
    for rule in sheet.rules:
        look = OVER[rule.look]
        page.conditional_formatting.add(
            rule.area,
            FormulaRule([rule.formula], font=Font(color=look.colour, bold=look.bold), fill=_fill(look, end=True)),
        )
    for choice in sheet.choices:
        offered = DataValidation("list", formula1=f'"{",".join(choice.words)}"', allow_blank=True)
        offered.showErrorMessage = False  # the service says what is wrong with another word
        offered.add(choice.cell)
        page.add_data_validation(offered)
    _page(sheet, page, footer)


def _is_formula(value) -> bool:
    return isinstance(value, str) and value.startswith("=")


def _fill(look: Look, end: bool = False) -> PatternFill:
    if look.fill is None:
        return PatternFill()
    return PatternFill("solid", bgColor=look.fill) if end else PatternFill("solid", fgColor=look.fill)


def _border(look: Look) -> Border:
    line, edge = Side("thin", color=LINE), Side("medium", color=ENTRY_EDGE)
    sides = {"none": {}, "under": {"bottom": Side("hair", color=LINE)}}
    sides["rule"] = {"bottom": Side("medium", color=INK)}
    sides["box"] = dict.fromkeys(("left", "right", "top", "bottom"), line)
    sides["entry"] = dict.fromkeys(("left", "right", "top", "bottom"), edge)
    return Border(**sides[look.border])


def _style(page, row: int, column: int, across: int, down: int, look: Look) -> None:
    for r in range(row, row + down):
        for c in range(column, column + across):
            target = page.cell(r, c)
            target.font = Font(FONT, look.size, bold=look.bold, italic=look.italic, color=look.colour)
            target.fill = _fill(look)
            target.border = _border(look)
            target.alignment = Alignment(look.align, look.vertical, wrap_text=look.wrap, indent=look.indent)
            if look.decimals is not None:
                target.number_format = "0" if look.decimals == 0 else "0." + "0" * look.decimals
            elif look.as_text:
                target.number_format = "@"


def _page(sheet: Sheet, page, footer: str) -> None:
    page.sheet_view.showGridLines = False
    page.freeze_panes = page.cell(sheet.frozen_rows + 1, sheet.frozen_columns + 1)
    page.print_area = f"A1:{sheet.at(sheet.rows, sheet.columns)}"
    if sheet.repeated_rows:
        page.print_title_rows = f"1:{sheet.repeated_rows}"
    page.page_setup.paperSize = page.PAPERSIZE_A4
    page.page_setup.orientation = "landscape" if sheet.landscape else "portrait"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.print_options.horizontalCentered = True
    margins = page.page_margins
    margins.left = margins.right = 0.45
    margins.top, margins.bottom, margins.header, margins.footer = 0.45, 0.65, 0.2, 0.3
    under = page.oddFooter.center
    under.text, under.size, under.font = f"{footer}   &A, page &P of &N", 7, FONT
