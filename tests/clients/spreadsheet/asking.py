"""What the workbook asks, asked of the service another way: POST, with the document of the aeroplane unpacked.

Inputs are read where a person would read them: by their labels on the sheet.
"""

import json
import urllib.request
from pathlib import Path

FOLDER = Path(__file__).parents[3] / "clients" / "spreadsheet"
DOCUMENTS = {"as it is": "aircraft.json", "changed": "aircraft-changed.json"}


def post(server, operation, document):
    request = urllib.request.Request(
        f"{server}/v1/{operation}", json.dumps(document).encode(), {"Content-Type": "application/json"}
    )
    with urllib.request.urlopen(request, timeout=60) as response:
        return json.load(response)


def column_of(cells, sheet, column):
    """Row numbers and values of a column's cells."""
    prefix = f"{sheet}.{column}"
    rows = {name: name.removeprefix(prefix) for name in cells if name.startswith(prefix)}
    return {int(row): cells[name].value for name, row in rows.items() if row.isdigit()}


def row_of(cells, sheet, label, nth=0):
    """The row of a label, of the nth one where it stands there several times."""
    return sorted(row for row, text in column_of(cells, sheet, "B").items() if text == label)[nth]


class Read:
    """The inputs of a workbook as they stand in its cells."""

    def __init__(self, cells):
        self.cells = cells

    def at(self, place):
        cell = self.cells.get(place)
        return None if cell is None else cell.value

    def quantity(self, sheet, row, value="C", unit="E"):
        """As text with its unit, None where the cell is empty; a number typed as text has its comma made a point."""
        number = self.at(f"{sheet}.{value}{row}")
        if number is None:
            return None
        held = self.at(f"{sheet}.{unit}{row}") if unit else None
        text = number.replace(",", ".") if isinstance(number, str) else f"{number:.15g}"
        return f"{text} {held}" if held else text

    def fields(self, labels, sheet="Inputs", value="C", unit="E"):
        """Named quantities by the labels of their rows, those that are not empty."""
        found = {
            name: self.quantity(sheet, row_of(self.cells, sheet, label), value, unit) for name, label in labels.items()
        }
        return {name: text for name, text in found.items() if text is not None}

    @property
    def air(self):
        return self.fields(
            {"elevation": "Elevation", "qnh": "QNH", "oat": "Outside air temperature", "dew_point": "Dew point"}
        )

    @property
    def condition(self):
        return {"name": "this air", **self.air, **self.fields({"headwind": "Headwind along the strip"})}

    @property
    def loading(self):
        stations = self.fields({name.lower(): name for name in ("Pilot", "Passenger", "Baggage", "Fuel")})
        return {
            "name": self.at(f"Inputs.C{row_of(self.cells, 'Inputs', 'Name of this loading')}"),
            "stations": stations,
        }

    @property
    def parts(self):
        strip = self.fields(
            {"length": "Length that can be used", "slope": "Slope", "obstacle_height": "Obstacle at its end"}
        )
        words = self.fields({"surface": "Surface", "one_way": "One way only"}, unit=None)
        return {
            "strip": {**strip, "surface": words["surface"], "one_way": words["one_way"] == "yes"},
            "climb": self.fields({"to_altitude": "Climb to"}),
            "cruise": self.fields({"power_fraction": "Cruise at part of the power", "reserve": "Fuel kept in reserve"}),
            "turn": self.fields({"bank": "Bank in a turn"}),
        }

    def aircraft(self, which):
        """The document, single fields put in their places."""
        document = json.loads((FOLDER / DOCUMENTS[which]).read_text("utf-8"))
        begin = row_of(self.cells, "Inputs", "Single fields that override")
        for row in range(begin + 1, begin + 7):
            text = self.quantity("Inputs", row, "C" if which == "as it is" else "D")
            if text is not None:
                _, part, *member, field = self.at(f"Inputs.F{row}").split(".")
                node = document.setdefault(part, {})
                for name in member:
                    node = next(one for one in node if one["name"] == name)
                node[field] = text
        return document

    def performance(self, which="as it is", loading=None, parts=("strip", "climb", "cruise", "turn"), measures=None):
        """A request of performance."""
        asked = {
            "aircraft": self.aircraft(which),
            "loadings": [loading or self.loading],
            "conditions": [self.condition],
        }
        asked |= {name: part for name, part in self.parts.items() if name in parts}
        return asked | ({"measures": measures} if measures else {})
