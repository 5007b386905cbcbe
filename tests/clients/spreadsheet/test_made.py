"""The committed workbooks are what make.py makes, and what their README says of them holds."""

import base64
import json
import re
import subprocess
import sys
import zlib

import odfdo
import openpyxl
import pytest

from climbwright.flight.surfaces import SURFACES

from .asking import DOCUMENTS, FOLDER

PACKED = re.compile(r"eN[A-Za-z0-9_-]{100,}")


def unpacked(text):
    """A packed aircraft as its document: two builds of zlib may pack it differently."""
    return zlib.decompress(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))).decode()


def same_everywhere(value):
    return unpacked(value) if isinstance(value, str) and PACKED.fullmatch(value) else value


def xlsx_cells(path):
    return {
        (sheet.title, cell.coordinate): (
            same_everywhere(cell.value), cell.number_format, cell.font.b, cell.font.sz, cell.font.color.rgb,
            cell.fill.fgColor.rgb, repr(cell.border), cell.alignment.horizontal, cell.alignment.wrap_text,
        )
        for sheet in openpyxl.load_workbook(path) for row in sheet.iter_rows() for cell in row
    }  # fmt: skip


def ods_parts(path):
    document = odfdo.Document(path)
    content = document.get_part("content.xml").serialize().decode()
    content = PACKED.sub(lambda found: unpacked(found[0]), content)
    return [content, *(document.get_part(name).serialize() for name in ("styles.xml", "settings.xml"))]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made")
    subprocess.run([sys.executable, str(FOLDER / "make.py"), "--into", str(folder)], check=True)
    return folder


def test_a_fresh_run_makes_the_same_xlsx(made):
    assert xlsx_cells(made / "flight-planning.xlsx") == xlsx_cells(FOLDER / "flight-planning.xlsx")


def test_a_fresh_run_makes_the_same_ods(made):
    assert ods_parts(made / "flight-planning.ods") == ods_parts(FOLDER / "flight-planning.ods")


@pytest.fixture(scope="module")
def sheets():
    return openpyxl.load_workbook(FOLDER / "flight-planning.xlsx")


def formulas(sheets):
    return [
        (f"{sheet.title}.{cell.coordinate}", cell.value)
        for sheet in sheets for row in sheet.iter_rows() for cell in row
        if isinstance(cell.value, str) and cell.value.startswith("=")
    ]  # fmt: skip


def test_both_kinds_have_the_same_cells(sheets):
    """Read by two libraries; formulas are compared where LibreOffice opens both."""
    ods = odfdo.Document(FOLDER / "flight-planning.ods").body
    assert [table.name for table in ods.tables] == sheets.sheetnames
    for table in ods.tables:
        sheet = sheets[table.name]
        for row in sheet.iter_rows():
            for cell in row:
                other = table.get_cell((cell.column - 1, cell.row - 1))
                if isinstance(cell.value, str) and cell.value.startswith("="):
                    assert other.formula.startswith("of:="), cell.coordinate
                elif cell.value is not None:
                    shown = other.value
                    assert (float(shown) if isinstance(cell.value, int | float) else shown) == cell.value


def test_no_formula_holds_an_address_but_that_of_the_one_cell(sheets):
    assert [place for place, formula in formulas(sheets) if "://" in formula or "127.0" in formula] == []
    asking = [formula for _, formula in formulas(sheets) if "WEBSERVICE" in formula]
    assert len(asking) > 100
    assert all(formula.count("_xlfn.WEBSERVICE(TRIM(Inputs!$C$5)&Calls!$C$") == 1 for formula in asking)
    assert sheets["Inputs"]["C5"].value.startswith("http://")


def test_functions_are_named_as_each_format_names_them(sheets):
    bare = re.compile(r"(?<!_xlfn\.)\b(WEBSERVICE|ENCODEURL|NUMBERVALUE)\(")
    assert [place for place, formula in formulas(sheets) if bare.search(formula)] == []
    content = odfdo.Document(FOLDER / "flight-planning.ods").get_part("content.xml").serialize().decode()
    assert not re.search(r"(?<!COM\.MICROSOFT\.)\b(WEBSERVICE|ENCODEURL)\(", content)
    assert "_xlfn" not in content


def test_formulas_stay_inside_what_excel_takes(sheets):
    for place, formula in formulas(sheets):
        assert len(formula) <= 8192, place
        assert max((len(text) for text in re.findall(r'"([^"]*)"', formula)), default=0) <= 255, place


def test_the_packed_aircraft_are_the_documents_beside_it(sheets):
    packed = [
        cell.value for cell in sheets["Inputs"]["C"] if isinstance(cell.value, str) and PACKED.fullmatch(cell.value)
    ]
    documents = [json.loads((FOLDER / name).read_text("utf-8")) for name in DOCUMENTS.values()]
    assert [json.loads(unpacked(text)) for text in packed] == documents
    assert all("invented" in document["name"] for document in documents)


def test_the_surfaces_offered_are_those_of_the_service(sheets):
    offered = [v.formula1 for v in sheets["Inputs"].data_validations.dataValidation]
    assert f'"{",".join(SURFACES)}"' in offered


def test_inputs_and_no_answers_are_marked_by_colour_and_border(sheets):
    colour = sheets["Inputs"]["C5"].fill.fgColor.rgb
    marked = {
        cell.value if isinstance(cell.value, str) else cell.coordinate
        for sheet in sheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.fill.fgColor.rgb == colour and cell.border.bottom is not None and cell.border.bottom.style == "medium"
    }
    assert len(marked) > 50
    assert not any(text.startswith("=") for text in marked)
    labels = {row[1].value: row[2] for row in sheets["Inputs"].iter_rows()}
    for label in ("Elevation", "Dew point", "Pilot", "Slope", "Surface", "Bank in a turn", "Engine: rated power"):
        assert labels[label].fill.fgColor.rgb == colour, label


def test_every_sheet_prints_on_a4_with_the_caution(sheets):
    for sheet in sheets:
        assert sheet.print_area
        assert sheet.page_setup.paperSize == 9
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
        assert "not a flight manual" in sheet.oddFooter.center.text


def test_the_first_sheet_says_the_caution_and_that_it_is_invented(sheets):
    text = " ".join(str(cell.value) for row in sheets["Start"].iter_rows() for cell in row if cell.value)
    for words in ("estimate, not a flight manual", "approved weighing", "licensed inspector", "are invented"):
        assert words in text
