"""The sheet of inputs, and the questions that are asked about them."""

import base64
import json
import zlib
from collections.abc import Sequence
from pathlib import Path

from asking import Calls, Input, reason
from parts import heads, section
from workbook import Choice, Rule, Sheet

__all__ = ["THIS_AIR", "Asked", "Inputs", "pack", "words"]

HERE = Path(__file__).parent
SURFACES = (
    "paved-dry", "paved-wet", "gravel", "hard-turf", "short-dry-grass", "short-wet-grass", "long-grass",
    "long-wet-grass", "soft",
)  # fmt: skip
THIS_AIR = '"&condition.name=this%20air"'  # where cautions are read, which call the air by its name
# One measure of every phase that has cautions: the text on uneven spreads names all that are asked.
CAUTIONED = "best_climb_rate,time_to_climb,range,turn_radius,takeoff_margin"


def pack(aircraft: object) -> str:
    """An aircraft as one word for an address: base64url of its zlib-compressed JSON."""
    text = json.dumps(aircraft, separators=(",", ":"), ensure_ascii=False)
    return base64.urlsafe_b64encode(zlib.compress(text.encode(), 9)).decode().rstrip("=")


class Inputs:
    """The sheet of inputs, and where each of them stands."""

    def __init__(self) -> None:
        self.sheet = Sheet("Inputs", (3, 46, 25, 25, 17, 70), frozen_rows=3)
        self._row = 4
        self._service()
        self._told = self._row
        self._row += 6  # what the service says of the inputs, filled in by told()
        self._air()
        self._loading()
        self._strip()
        self._flown()
        self._aeroplane()

    def _section(self, title: str) -> None:
        section(self.sheet, self._row, title)
        self._row += 1

    def _entry(self, label: str, value: object, unit: str | None, note: str, field: bool = False) -> Input:
        sheet, row = self.sheet, self._row
        self._row += 1
        sheet.put(row, 2, label, "label")
        word = isinstance(value, str)
        if unit == "%":
            place = sheet.put(row, 3, str(value), "entry share")
        else:
            place = sheet.put(row, 3, value, "entry text" if word else "entry", across=2 if word else 1)
        sheet.put(row, 5, unit, "entry text" if unit else "unit")
        sheet.put(row, 6, note, "entry text" if field else "note")
        return Input(place, f"Inputs!$E${row}" if unit else None)

    def _service(self) -> None:
        self._section("Service")
        self.service = self._entry(
            "Address of the service", "http://127.0.0.1:8000", None, "Everything asks here: http://, name, port."
        ).value

    def _air(self) -> None:
        self._section("Air")
        self.air = {
            "elevation": self._entry("Elevation", 5400, "ft", "Of the strip, above mean sea level."),
            "qnh": self._entry("QNH", 1017, "hPa", "Or inHg, in the column of units."),
            "oat": self._entry("Outside air temperature", 27, "C", "In the shade. Or F."),
            "dew_point": self._entry("Dew point", 9, "C", "Empty: dry air."),
        }
        self.headwind = self._entry("Headwind along the strip", None, "kt", "Minus: tailwind. Empty: none.")

    def _loading(self) -> None:
        self._section("Loading")
        self.loading_label = self._entry(
            "Name of this loading", "Two-up, half tanks", None, "For the printed page."
        ).value
        self.stations: list[tuple[str, str]] = []
        self.carried: list[Input] = []
        for label, value, unit, station in (
            ("Pilot", 84, "kg", "pilot"),
            ("Passenger", 71, "kg", "passenger"),
            ("Baggage", 5, "kg", "baggage"),
            ("Fuel", 36, "L", "fuel"),
        ):
            field = f"Inputs!$F${self._row}"
            self.carried.append(self._entry(label, value, unit, f"loading.stations.{station}", field=True))
            self.stations.append((label, field))

    def _strip(self) -> None:
        self._section("Strip")
        self.strip = {
            "length": self._entry("Length that can be used", 820, "m", "Or ft."),
            "slope": self._entry("Slope", 1, "%", "Plus: uphill in the direction of take-off."),
        }
        row = self._row
        self.strip["surface"] = self._entry("Surface", "short-dry-grass", None, "Offers the surfaces that are known.")
        self.sheet.choices.append(Choice(f"C{row}", SURFACES))
        row = self._row
        self.one_way = self._entry("One way only", "no", None, "yes: take-off that way, landing against it.").value
        self.sheet.choices.append(Choice(f"C{row}", ("yes", "no")))
        self.strip["obstacle_height"] = self._entry("Obstacle at its end", 50, "ft", "Height above the strip.")

    def _flown(self) -> None:
        self._section("How it is flown")
        self.climb = {"climb.to_altitude": self._entry("Climb to", 8500, "ft", "Pressure altitude, from the strip's.")}
        self.cruise = {
            "cruise.power_fraction": self._entry(
                "Cruise at part of the power", 65, "%", "Of rated power, not of that in this air."
            ),
            "cruise.reserve": self._entry("Fuel kept in reserve", 45, "min", "At this cruise."),
        }
        self.turn = {"turn.bank": self._entry("Bank in a turn", 30, "deg", "For the stall speed in it.")}

    def _aeroplane(self) -> None:
        self._section("Aeroplane")
        self.label = self._entry("Name", "Example F, invented", None, "For the printed page.").value
        self.packed = {
            "as it is": self._packed("As it is, packed", "aircraft.json"),
            "changed": self._packed("With the change, packed", "aircraft-changed.json"),
        }
        words_over = (
            "Single fields that override",
            "as it is",
            "changed",
            "unit",
            "field of the aircraft",
        )
        heads(self.sheet, self._row, words_over, right=(3, 4))
        self._row += 1
        self.single: dict[str, list[tuple[str, Input]]] = {"as it is": [], "changed": []}
        for label, unit, field in (
            ("Engine: rated power", "hp", "engine.power"),
            ("Empty weight", "kg", "empty.weight"),
            ("Its arm", "m", "empty.arm"),
            ("Maximum weight", "kg", "limits.maximum_weight"),
            ("Drag: parasite area", "m2", "drag.parasite_area"),
            ("Any other field", "", "propeller.pitch_class"),
        ):
            self._single(label, unit, f"aircraft.{field}")

    def _packed(self, label: str, file: str) -> str:
        aircraft = json.loads((HERE / file).read_text("utf-8"))
        self.sheet.put(self._row, 2, f"{label}\n(README: how to pack)", "text")
        place = self.sheet.put(self._row, 3, pack(aircraft), "entry long", across=4)
        self.sheet.heights[self._row] = 42
        self._row += 1
        return place

    def _single(self, label: str, unit: str, field: str) -> None:
        sheet, row = self.sheet, self._row
        self._row += 1
        sheet.put(row, 2, label, "label")
        values = {"as it is": sheet.put(row, 3, None, "entry"), "changed": sheet.put(row, 4, None, "entry")}
        held = sheet.put(row, 5, unit or None, "entry text")
        named = sheet.put(row, 6, field, "entry text")
        for which, value in values.items():
            self.single[which].append((named, Input(value, held)))

    def told(self, asked: "Asked") -> None:
        """Say beside the inputs what the service makes of them."""
        sheet, row = self.sheet, self._told
        section(sheet, row, "What the service says of them")
        questions = {
            "Air": asked.density_altitude,
            "As it is, with its loading": asked.measure("weight", "as it is"),
            "With the change": asked.measure("weight", "changed"),
            "Strip": asked.measure("takeoff_roll", "as it is", ("strip",)),
            "How it is flown": asked.measure("cruise_speed_true", "as it is", ("cruise",)),
        }
        for place, (label, answer) in enumerate(questions.items(), row + 1):
            sheet.put(place, 2, label, "label")
            why = reason(answer)
            sheet.put(place, 3, f'=IF({why}="","understood",{why})', "said", across=4)
            sheet.heights[place] = 20
        sheet.rules.append(Rule(f"C{row + 1}:C{row + 5}", f'C{row + 1}="understood"', "good"))
        sheet.rules.append(Rule(f"C{row + 1}:C{row + 5}", f'C{row + 1}<>"understood"', "bad"))


class Asked:
    """Questions about the inputs."""

    def __init__(self, inputs: Inputs, calls: Calls) -> None:
        self.inputs, self.calls = inputs, calls
        air = [entry.parameter(name) for name, entry in inputs.air.items()]
        self.air = calls.part("Air, for density-altitude and its like", air)
        condition = [entry.parameter(f"condition.{name}") for name, entry in inputs.air.items()]
        condition.append(inputs.headwind.parameter("condition.headwind"))
        self.condition = calls.part("Air, for performance", condition)
        self.loading = calls.part(
            "Loading", [held.parameter(field) for held, (_, field) in zip(inputs.carried, inputs.stations, strict=True)]
        )
        one_way = inputs.one_way
        said = f'IF(LOWER({one_way})="yes","true",IF(LOWER({one_way})="no","false",ENCODEURL({one_way})))'
        strip = [entry.parameter(f"strip.{name}") for name, entry in inputs.strip.items()]
        self.parts = {
            "strip": calls.part("Strip", [*strip, f'IF({one_way}="","","&strip.one_way="&{said})']),
            "climb": calls.part("Climb", [entry.parameter(name) for name, entry in inputs.climb.items()]),
            "cruise": calls.part("Cruise", [entry.parameter(name) for name, entry in inputs.cruise.items()]),
            "turn": calls.part("Turn", [entry.parameter(name) for name, entry in inputs.turn.items()]),
        }
        self.aircraft = {which: self._aircraft(which) for which in inputs.packed}
        self.density_altitude = self.of_air("density_altitude")

    def _aircraft(self, which: str) -> str:
        packed = self.inputs.packed[which]
        single = [entry.parameter(field) for field, entry in self.inputs.single[which]]
        word = f'TRIM(SUBSTITUTE({packed},CHAR(10),""))'  # as it was copied, its line's end too
        whole = f'IF({packed}="","","&aircraft="&ENCODEURL({word}))'
        return self.calls.part(f"Aeroplane {which}", [whole, *single])

    def of_air(self, field: str) -> str:
        """The answer's cell of one value of the air."""
        return self.calls.ask(f"Air: {words(field)}", "density-altitude", field, [self.air])

    def measure(self, name: str, which: str, parts: Sequence[str] = (), spread: bool = False) -> str:
        """The answer's cell of one measure, or of its spread."""
        pick = f"/results/0/measures/{name}/plus_minus" if spread else name
        what = f"Aeroplane {which}: {words(name)}{', its spread' if spread else ''}"
        pieces = [self.loading, self.condition, *(self.parts[part] for part in parts), self.aircraft[which]]
        return self.calls.ask(what, "performance", pick, pieces, measures=name)

    def cautions(self, which: str) -> str:
        """The answer's cell of all cautions, one a line."""
        label = self.inputs.loading_label
        named = f'IF({label}="","","&loading.name="&ENCODEURL({label}))&{THIS_AIR}'
        pieces = [named, self.loading, self.condition, *self.parts.values(), self.aircraft[which]]
        what = f"Aeroplane {which}: cautions"
        return self.calls.ask(what, "performance", "cautions", pieces, measures=CAUTIONED)


def words(name: str) -> str:
    """A field's name as words."""
    return name.replace("_", " ")
