"""The workbook in LibreOffice against the running service."""

import re

import pytest

from ...serving import free_port
from .asking import column_of, row_of
from .comparing import Comparison

KINDS = ("xlsx", "ods")
ADDRESS = "C5"
PACKED = "As it is, packed\n(README: how to pack)"


def no_errors(cells):
    assert [place for place, cell in cells.items() if cell.error] == []
    assert [place for place, cell in cells.items() if re.match(r"#|Err:", str(cell.value))] == []


def at(cells, label, column="C"):
    return f"{column}{row_of(cells, 'Inputs', label)}"


@pytest.mark.parametrize("kind", KINDS)
def test_every_result_is_the_services_own_answer(book, server, kind):
    """As it is opened: nothing is typed, and nothing computed anew by hand."""
    cells = book(kind, address=server).cells()
    no_errors(cells)
    assert cells[f"Inputs.{ADDRESS}"].value == server
    assert Comparison(cells, server).everything() == {"IN", "OUT"}  # both are there to be seen
    lengths = [number for number in column_of(cells, "Calls", "D").values() if isinstance(number, float)]
    assert len(lengths) > 100
    assert max(lengths) <= 2048


@pytest.mark.parametrize("kind", KINDS)
def test_cells_follow_their_inputs(book, server, kind):
    opened = book(kind)
    opened.type({ADDRESS: server})
    first = opened.cells()
    texts = {"Outside air temperature": "88", "QNH": "29.85", "Dew point": "", "Pilot": "201.5"}
    texts |= {"Surface": "hard-turf", "One way only": "yes", "Headwind along the strip": "-3.5"}
    texts |= {"Engine: rated power": "88", "Any other field": "climb"}
    units = {"Outside air temperature": "F", "QNH": "inHg", "Pilot": "lb"}
    typed = {at(first, label): text for label, text in texts.items()}
    typed |= {at(first, label, "E"): text for label, text in units.items()}
    opened.type(typed | {at(first, "Engine: rated power", "D"): "112"})
    opened.type({"D6": "95"}, sheet="Loadings")
    cells = opened.cells()
    no_errors(cells)
    Comparison(cells, server).everything()
    climb = f"Performance.C{row_of(cells, 'Performance', 'Best rate of climb')}"
    assert cells[climb].value != first[climb].value


@pytest.mark.parametrize("kind", KINDS)
def test_every_broken_limit_is_out_and_told(book, server, kind):
    """A least weight of a station too, where the gravest caution is of something else."""
    opened = book(kind, address=server)
    first = opened.cells()
    other = {"C": "60", "E": "kg", "F": "aircraft.stations.pilot.minimum"}
    power = {"C": "70", "E": "hp", "F": "aircraft.engine.power_limit"}
    typed = {at(first, "Any other field", column): text for column, text in other.items()}
    opened.type(typed | {at(first, "Its arm", column): text for column, text in power.items()})
    opened.type({"H6": "50", "H7": "140"}, sheet="Loadings")  # above its weight, and below the pilot's
    cells = opened.cells()
    no_errors(cells)
    Comparison(cells, server).loadings()
    told = row_of(cells, "Loadings", "What is broken")
    assert [cells[f"Loadings.{column}{told - 1}"].value for column in "DEFGHI"] == ["IN"] * 4 + ["OUT"] * 2
    for column, words in {"H": ("above the maximum", "less than its minimum"), "I": ("less than its minimum",)}.items():
        assert all(one in cells[f"Loadings.{column}{told}"].value for one in words)


@pytest.mark.parametrize("kind", KINDS)
def test_cautions_that_cannot_be_known_are_not_counted(book, server, kind):
    opened = book(kind, address=server)
    first = opened.cells()
    opened.type({at(first, "Surface"): "lava", at(first, "Pilot"): "190"})
    cells = opened.cells()
    no_errors(cells)
    for place in ("Performance.B4", "Change.B4", f"Cautions.B{row_of(cells, 'Cautions', 'Aeroplane as it is') + 1}"):
        assert cells[place].value.startswith("THE CAUTIONS ARE NOT KNOWN")
        assert "/strip.surface" in cells[place].value


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_typed_around_a_value_does_no_harm(book, server, kind):
    opened = book(kind)
    first = opened.cells()
    copied = f"{first[f'Inputs.{at(first, PACKED)}'].value} \n"
    opened.type({ADDRESS: f" {server} ", at(first, "One way only"): "Yes", at(first, PACKED): copied})
    Comparison(opened.cells(), server).plates()
    opened.type({at(first, "Slope"): "5%", at(first, "Fuel", "F"): "", at(first, "QNH"): "1017"})
    cells = opened.cells()
    no_errors(cells)
    assert cells[f"Inputs.{at(first, 'Slope')}"].value == "5%"  # and is not sent as 0.05 %
    said = {label: cells[f"Inputs.C{row_of(cells, 'Inputs', label)}"].value for label in ("Strip", "How it is flown")}
    assert "there is no such field" in said["How it is flown"]
    opened.type({at(first, "Fuel", "F"): "loading.stations.fuel"})
    cells = opened.cells()
    strip = f"Inputs.C{min(row for row, text in column_of(cells, 'Inputs', 'B').items() if text == 'Strip')}"
    assert cells[strip].value.startswith("/strip.slope: ")
    opened.type({at(first, "QNH"): "=1/0"})
    cells = opened.cells()
    wrong = [place for place, cell in cells.items() if cell.error and not place.startswith("Calls.")]
    assert wrong == [f"Inputs.{at(first, 'QNH')}"]
    assert "holds an error" in cells[strip].value


@pytest.mark.parametrize("kind", KINDS)
def test_a_decimal_comma_gives_the_same_numbers(book, server, kind):
    opened = book(kind, "de-DE")
    first = opened.cells()
    typed = {"Outside air temperature": "27,5", "QNH": "1009,25", "Engine: rated power": "84,5"}
    opened.type({at(first, label): text for label, text in typed.items()} | {ADDRESS: server})
    opened.type({"D9": "61,5"}, sheet="Loadings")
    opened.type({f"E{row_of(first, 'Sums', 'pilot')}": "0,535"}, sheet="Sums")
    cells = opened.cells()
    no_errors(cells)
    assert cells[f"Inputs.{at(first, 'QNH')}"].value == 1009.25  # the comma was read as a comma
    assert "1009%2E25" in cells["Calls.C6"].value.replace(".", "%2E")
    Comparison(cells, server).everything()
    opened.type({at(first, "QNH"): "'1009,25"})  # the same typed as text
    again = opened.cells()
    assert isinstance(again[f"Inputs.{at(first, 'QNH')}"].value, str)
    Comparison(again, server).everything()


WRONG = {
    "no temperature": ("Outside air temperature", "C", "warm", "Air", "/oat"),
    "another unit": ("QNH", "E", "furlong", "Air", "/qnh"),
    "too damp": ("Dew point", "C", "41", "Air", "/dew_point"),
    "nothing there": ("Elevation", "C", "", "Air", "/elevation"),
    "too heavy": ("Baggage", "C", "180", "As it is, with its loading", "/loading.stations.baggage"),
    "no such surface": ("Surface", "C", "lava", "Strip", "/strip.surface"),
    "no such station": ("Fuel", "F", "loading.stations.wings", "As it is, with its loading", "wings"),
    "too much power": ("Cruise at part of the power", "C", "900", "How it is flown", "/cruise.power_fraction"),
    "no such word": ("One way only", "C", "perhaps", "Strip", "/strip.one_way"),
    "damaged": (PACKED, "C", "eNqrVkrLz1eyUkpKLFKqBQA", "As it is, with its loading", "aircraft"),
    "too long": (PACKED, "C", "e" * 1501, "As it is, with its loading", "1500"),
}  # fmt: skip


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_input_is_told_in_words(book, server, case):
    label, column, text, told, named = WRONG[case]
    opened = book("ods")
    opened.type({at(opened.cells(), label, column): text, ADDRESS: server})
    cells = opened.cells()
    no_errors(cells)
    said = cells[f"Inputs.C{row_of(cells, 'Inputs', told)}"].value
    assert named in said
    assert said != "understood"
    dashes = [place for place, cell in cells.items() if cell.value == "–"]
    assert dashes
    reasons = [text for text in column_of(cells, "Performance", "F").values() if named in str(text)]
    assert reasons  # and in the rows that have no number


def test_a_plane_packed_too_long_for_an_address_is_told_in_words(book, server):
    opened = book("ods")
    opened.type({at(opened.cells(), PACKED): "e" * 1500, ADDRESS: server})
    cells = opened.cells()
    no_errors(cells)
    long = [text for text in column_of(cells, "Calls", "E").values() if "2048 are the most" in str(text)]
    lengths = [n for n in column_of(cells, "Calls", "D").values() if isinstance(n, float) and n > 2048]
    assert len(long) == len(lengths) > 0


@pytest.mark.parametrize("kind", KINDS)
def test_a_service_that_is_down_is_told_in_words(book, server, kind):
    opened = book(kind)
    opened.type({ADDRESS: server})
    nobody = f"http://127.0.0.1:{free_port()}"
    opened.type({ADDRESS: nobody})
    cells = opened.cells()
    no_errors(cells)
    said = f"cannot reach the service at {nobody}"
    for label in ("Air", "As it is, with its loading", "With the change", "Strip", "How it is flown"):
        rows = [row for row, text in column_of(cells, "Inputs", "B").items() if text == label]
        assert cells[f"Inputs.C{min(rows)}"].value == said
    results = [
        f"Performance.{column}{row}" for row in column_of(cells, "Performance", "D") if row > 5 for column in "CF"
    ]
    assert {cells[place].value for place in results} == {"–", said}
    opened.type({ADDRESS: server})
    Comparison(opened.cells(), server).performance()


@pytest.mark.parametrize("kind", KINDS)
def test_heads_stay_in_their_place(book, kind):
    assert book(kind).call("frozen") == ["Inputs", "Performance", "Loadings", "Change", "Cautions", "Sums", "Calls"]
