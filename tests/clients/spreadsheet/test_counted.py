"""Cells of a service that counts its clients: each cell counts once, and shows why it is not answered."""

import urllib.request
from xml.sax.saxutils import quoteattr

import pytest

from ...serving import serving

CELLS = 6
SHEET = """<?xml version="1.0" encoding="UTF-8"?>
<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" office:version="1.3"
 office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet>
<table:table table:name="Asked">{rows}</table:table></office:spreadsheet></office:body></office:document>
"""


@pytest.fixture
def cells(offices):
    """What the cells of a new sheet show that ask a service one question each."""
    office, folder = offices("en-US")

    def shown(address):
        rows = ""
        for number in range(CELLS):
            path = f"/v1/atmosphere?altitude={number + 1}000ft&pick=density_altitude&errors=text"
            formula = f'of:=COM.MICROSOFT.WEBSERVICE("{address}{path}")'
            rows += f"<table:table-row><table:table-cell table:formula={quoteattr(formula)}/></table:table-row>"
        sheet = folder / "counted.fods"
        sheet.write_text(SHEET.format(rows=rows), "utf-8")
        assert office.call("open", str(sheet))
        found = office.read()
        office.call("close")
        return [str(found[f"Asked.A{number + 1}"].value) for number in range(CELLS)]

    return shown


def left(address):
    with urllib.request.urlopen(f"{address}/v1/atmosphere?altitude=9500ft", timeout=60) as reply:
        return int(reply.headers["RateLimit"].split(";r=")[1].split(";")[0])


def test_a_cell_counts_once(cells):
    with serving(CLIMBWRIGHT_RATE="1000/day") as address:
        found = cells(address)
        assert [float(value) for value in found] == pytest.approx([1000.0 * (i + 1) for i in range(CELLS)], rel=1e-5)
        assert left(address) == 1000 - CELLS - 1


def test_a_cell_shows_that_it_came_too_often(cells):
    with serving(CLIMBWRIGHT_RATE="4/day") as address:
        found = cells(address)
    answered = [value for value in found if value.replace(".", "").isdigit()]
    assert len(answered) == 4
    assert all("ask again in" in value for value in found if value not in answered)


def test_a_cell_shows_that_it_needs_a_key(cells):
    with serving(CLIMBWRIGHT_KEYS=f"club:{'0' * 64}") as address:
        assert all("needs a key" in value for value in cells(address))
    with serving(CLIMBWRIGHT_KEYS=f"club:{'0' * 64}", CLIMBWRIGHT_KEYS_FOR="post") as address:
        assert not any("key" in value for value in cells(address))
