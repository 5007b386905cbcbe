"""Every result of the workbook beside the service's own answer to the same question, posted."""

import itertools

import pytest

from .asking import Read, column_of, post, row_of

SIX_DIGITS = 5e-6  # of which the last is rounded: what `pick` answers
UNITS = {"ratio": "1"}

AIR = ("pressure_altitude", "density_altitude", "density_altitude_dry", "isa_deviation", "density")
# The results of the sheet Performance by their sections, from top to bottom, with what their questions say of flying.
PERFORMANCE = {
    "Weight and balance": (("weight", "cg_arm", "cg_margin"), ()),
    "Stall, calibrated airspeed": (
        ("stall_speed_calibrated", "stall_speed_in_turn_calibrated", "approach_speed_calibrated"),
        ("turn",),
    ),
    "Climb": (
        (
            "power_available",
            "best_climb_rate",
            "best_climb_speed_calibrated",
            "climb_gradient",
            "time_to_climb",
            "service_ceiling",
            "absolute_ceiling",
        ),
        ("climb",),
    ),
    "Level and glide": (
        (
            "greatest_level_speed_true",
            "cruise_speed_true",
            "fuel_flow",
            "range",
            "endurance",
            "best_glide_ratio",
            "best_glide_speed_calibrated",
        ),
        ("cruise",),
    ),
    "Take-off at the strip": (
        (
            "takeoff_roll",
            "takeoff_distance",
            "takeoff_distance_required",
            "takeoff_margin",
            "takeoff_margin_reversed",
        ),
        ("strip",),
    ),
    "Landing at the strip": (
        (
            "landing_distance",
            "landing_roll",
            "landing_distance_required",
            "landing_margin",
            "landing_margin_reversed",
        ),
        ("strip",),
    ),
}
CHANGE = (
    "weight",
    "cg_arm",
    "cg_margin",
    "power_to_weight",
    "stall_speed_calibrated",
    "best_climb_rate",
    "climb_gradient",
    "time_to_climb",
    "service_ceiling",
    "greatest_level_speed_true",
    "cruise_speed_true",
    "fuel_flow",
    "range",
    "takeoff_distance",
    "takeoff_margin",
    "landing_distance",
    "landing_margin",
)
SHORT_OF_EVERYTHING = ["best_climb_rate", "time_to_climb", "range", "turn_radius", "takeoff_margin"]
OUT = {"over-maximum-weight", "below-envelope", "cg-outside-limits", "cg-leaves-limits-as-fuel-burns"}
OUT |= {"below-station-minimum"}


class Comparison:
    """Cells compared one by one; what has been compared is remembered, so that nothing is forgotten."""

    def __init__(self, cells, server):
        self.cells, self.read, self.server = cells, Read(cells), server
        self.seen = set()

    def number(self, place, expected, unit=None, why=None):
        """A cell against a quantity of an answer, its unit against what stands there, its reason where it has none."""
        self.seen.add(place)
        shown = self.cells[place]
        value = expected["value"] if isinstance(expected, dict) else expected
        if value is None:
            assert shown.value == "–", place
            if why is not None:
                self.seen.add(why)
                assert expected["reason"] in self.cells[why].value
            return
        assert shown.value == pytest.approx(value, rel=SIX_DIGITS, abs=1e-12), place
        if unit is not None:
            written = self.cells[unit].value
            assert UNITS.get(written, written) == expected["unit"], place

    def text(self, place, expected):
        self.seen.add(place)
        assert self.cells[place].value == expected, place

    def measure(self, name, which="as it is", loading=None, parts=()):
        """One measure as it is answered alone: what is drawn at random for its spread hangs on the phases asked."""
        asked = self.read.performance(which, loading, parts, [name])
        return post(self.server, "performance", asked)["results"][0]["measures"][name]

    def performance(self):
        air = post(self.server, "density-altitude", self.read.air)
        for row, field in enumerate(AIR, row_of(self.cells, "Performance", "Air") + 1):
            self.number(f"Performance.C{row}", air[field], f"Performance.D{row}")
        for section, (names, parts) in PERFORMANCE.items():
            for row, name in enumerate(names, row_of(self.cells, "Performance", section) + 1):
                answered = self.measure(name, parts=parts)
                self.number(f"Performance.C{row}", answered, f"Performance.D{row}", f"Performance.F{row}")
                if f"Performance.E{row}" in self.cells and answered["value"] is not None:
                    self.number(f"Performance.E{row}", answered["plus_minus"])

    def change(self):
        parts = ("strip", "climb", "cruise")
        for row, name in enumerate(CHANGE, row_of(self.cells, "Change", "Weight")):
            before, after = (self.measure(name, which, parts=parts) for which in ("as it is", "changed"))
            self.number(f"Change.C{row}", before, f"Change.F{row}")
            self.number(f"Change.D{row}", after)
            difference = after["value"] - before["value"]
            rounding = SIX_DIGITS * (abs(after["value"]) + abs(before["value"]))
            assert self.cells[f"Change.E{row}"].value == pytest.approx(difference, rel=0.0, abs=rounding)
            self.seen.add(f"Change.E{row}")

    def loading(self, column):
        """The loading of a column of the sheet Loadings."""
        stations = {}
        for row in range(6, 10):
            text = self.read.quantity("Loadings", row, column, "C")
            if text is not None:
                stations[self.cells[f"Loadings.B{row}"].value] = text
        return {"name": self.cells[f"Loadings.{column}4"].value, "stations": stations}

    def loadings(self):
        first = row_of(self.cells, "Loadings", "Weight")
        states = set()
        for column in "DEFGHI":
            loading = self.loading(column)
            balance = ("weight", "cg_arm", "cg_margin")
            for row, name in enumerate(balance, first):
                self.number(f"Loadings.{column}{row}", self.measure(name, loading=loading), f"Loadings.C{row}")
            answer = post(self.server, "performance", self.read.performance("as it is", loading, (), list(balance)))
            broken = [caution for caution in answer["cautions"] if caution["code"] in OUT]
            states.add("OUT" if broken else "IN")
            self.text(f"Loadings.{column}{first + 3}", "OUT" if broken else "IN")
            before = itertools.takewhile(lambda caution: caution["code"] != "estimate", answer["cautions"])
            texts = "\n".join(caution["text"] for caution in before)
            self.text(f"Loadings.{column}{first + 4}", texts if broken else "")
            assert self.in_limits(loading) or broken
            for row, name in enumerate(("best_climb_rate", "takeoff_margin", "landing_margin"), first + 5):
                answered = self.measure(name, loading=loading, parts=("strip",))
                self.number(f"Loadings.{column}{row}", answered, f"Loadings.C{row}")
        return states

    def in_limits(self, loading):
        """What weight and balance alone says, another operation."""
        aircraft = self.read.aircraft("as it is")
        asked = {name: aircraft[name] for name in ("empty", "stations")} | aircraft["limits"]
        return post(self.server, "balance", asked | {"loading": loading["stations"]})["in_limits"]

    def cautions(self):
        for which in ("as it is", "changed"):
            answer = post(self.server, "performance", self.read.performance(which, measures=SHORT_OF_EVERYTHING))
            texts = [caution["text"] for caution in answer["cautions"]]
            first = row_of(self.cells, "Cautions", f"Aeroplane {which}") + 1
            for row in range(first, first + 14):
                self.text(f"Cautions.B{row}", texts[row - first] if row - first < len(texts) else "")
            head = "Performance.B4" if which == "as it is" else "Change.B4"
            self.text(head, f"Cautions: {len(texts)} on their sheet. The first: {texts[0]}")

    def sums(self):
        read = self.read
        at = {"sheet": "Sums", "unit": "D"}
        labels = {"reference_speed": "Stall speed that was flown, calibrated", "reference_weight": "At this weight"}
        labels |= {"weight": "Weight now", "bank": "Bank", "lift_gain": "Gain of the greatest lift coefficient"}
        stall = read.fields(labels, **at)
        limits = {
            "maximum_weight": "Maximum weight",
            "forward": "Forward limit of the CG",
            "aft": "Aft limit of the CG",
        }
        balance = read.fields(limits, **at)
        first = row_of(self.cells, "Sums", "what") + 1
        loads = []
        for row in range(first, first + 5):
            amount, arm = read.quantity("Sums", row, "C", "D"), read.quantity("Sums", row, "E", "F")
            loads += [f"{read.at(f'Sums.B{row}')}:{amount}@{arm}"] if amount is not None else []
        weight = row_of(self.cells, "Sums", "Weight", 0)
        climb = read.fields({"power": "Rated power", "span": "Wing span"}, **at)
        climb["weight"] = read.quantity("Sums", weight, unit="D")
        indicated = read.fields({"indicated": "Indicated airspeed"}, **at)
        stalls = ("stall_speed_calibrated", "stall_speed_true", "approach_speed_calibrated")
        climbs = ("power_available", "best_climb_rate", None, "best_climb_speed_calibrated")
        answers = {
            "Calibrated": ("airspeed", indicated | read.air, ("calibrated", "true")),
            "Stall, calibrated": ("stall-speed", stall | read.air, stalls),
            "Power available in this air": ("climb-estimate", climb | read.air, climbs),
        }
        for label, (operation, asked, fields) in answers.items():
            answer = post(self.server, operation, asked)
            for row, field in enumerate(fields, row_of(self.cells, "Sums", label)):
                expected = answer[field] if field else answer["best_climb_rate"]["plus_minus"]
                self.number(f"Sums.C{row}", expected, f"Sums.D{row}" if field else None)
        answer = post(self.server, "balance", {"load": loads} | balance)
        row = row_of(self.cells, "Sums", "Weight", 1)
        for place, field in enumerate(("weight", "cg_arm", "cg_margin", "weight_margin"), row):
            self.number(f"Sums.C{place}", answer[field], f"Sums.D{place}")
        self.text(f"Sums.C{row + 4}", "IN" if answer["in_limits"] else "OUT")

    def plates(self):
        height = post(self.server, "density-altitude", self.read.air)["density_altitude"]["value"]
        boxes = {"SERVICE": "answers", "DENSITY ALTITUDE": f"{round(height)} ft", "LOADING": self.read.loading["name"]}
        for sheet in ("Inputs", "Performance", "Loadings", "Change", "Cautions", "Sums", "Calls"):
            for place in [f"{sheet}.{column}2" for column in "BCDEFGHI"]:
                below = place[:-1] + "3"
                name = self.cells[place].value if place in self.cells else None
                if name in boxes and self.cells[below].formula:
                    self.text(below, boxes[name])
        for row in column_of(self.cells, "Inputs", "C"):
            if self.cells[f"Inputs.C{row}"].formula and row > 3:
                self.text(f"Inputs.C{row}", "understood")

    def input(self, label):
        return self.read.at(f"Inputs.C{row_of(self.cells, 'Inputs', label)}")

    def unit(self, label):
        return self.read.at(f"Inputs.E{row_of(self.cells, 'Inputs', label)}")

    def everything(self):
        """Compare all results, and see that no formula's number or word outside the sheet of calls was left out."""
        self.performance()
        self.change()
        states = self.loadings()
        self.cautions()
        self.sums()
        self.plates()
        repeated = {
            "",
            "pilot",
            "passenger",
            "baggage",
            "fuel",
            self.input("Name"),
            *map(self.unit, ("Pilot", "Passenger", "Baggage", "Fuel")),
        }
        results = {
            place
            for place, cell in self.cells.items()
            if cell.formula and not place.startswith("Calls.") and cell.value not in repeated
        }
        assert results <= self.seen, sorted(results - self.seen)
        return states
