"""What a season at a strip answers."""

from typing import Any

from climbwright.answers.operability import JUDGED, MARGINS, WAYS
from climbwright.answers.season import DAY
from climbwright.web.openapi.builders import answered, json_array, json_object, json_text, whole_number, with_example

__all__ = ["operability"]


def operability() -> dict[str, Any]:
    """What a season at a strip answers before its notes."""
    required = json_object(
        {
            "climb_rate": answered("Least rate of climb (vertical speed)", "vertical speed"),
            "strip_length": answered("Length of the strip (runway distance)", "runway distance"),
        },
        "What an hour has to meet.",
    )
    altitudes = {
        "density_altitude_median": answered("Median of its known hours (altitude)", "altitude"),
        "density_altitude_greatest": answered("Greatest of them (altitude)", "altitude"),
    }
    by_hour = {name: _by_hour(f"Share of {name} at each hour of the day.") for name in JUDGED}
    counts = {name: _by_hour(f"Number of {name}.") for name in ("hours", "unknown")}
    of_day = json_object(counts | by_hour, "Each hour of the day, 0 to 23; null where none is known.")
    month = {"month": whole_number("Month, 1 to 12.", 7)} | _tally() | altitudes | {"by_hour": with_example(of_day)}
    hour = {"hour": whole_number("Hour of the day, 0 to 23.", 15)} | _tally()
    ways = {name: answered(f"Share along this way alone: {name} (ratio)", "ratio") for name in WAYS}
    each_way = {
        name: with_example(json_object(ways, f"Share in which {name} holds along each way.")) for name in MARGINS[1:]
    }
    narrowest = {name: whole_number(f"Known hours in which {name} is narrowest.", 12) for name in MARGINS}
    unknown = {
        "where": json_text("JSON Pointer of the column.", "/weather/dew_point"),
        "detail": json_text("What is wrong.", "the dew point is above the air temperature: send one at or below it"),
        "hours": whole_number("How many hours.", 3),
        "first": json_text("The first of them.", "2025-01-15T05:00"),
    }
    return {
        "loading": json_text("Name of the loading.", "two-up"),
        "strip": {"type": "string", "description": "Name of the strip; empty without one.", "examples": ["home"]},
        "required": with_example(required),
        "overall": with_example(json_object(_tally() | _ends(), "All hours.")),
        "narrowest": with_example(
            json_object(narrowest, "Which margin is the narrowest over its requirement, and how often.")
        ),
        "limit": {**json_text("The one that is narrowest most often.", "takeoff"), "enum": list(MARGINS)},
        "months": json_array(json_object(month, "A month."), "Each month that has hours.", []),
        "hours_of_day": json_array(
            json_object(hour, "An hour of the day."), "Each that has hours, all months together.", []
        ),
        "ways": with_example(json_object(each_way, "On a strip with two ways: the shares along each of them alone.")),
        "limiting_hours": json_array(_limiting_hour(), "Up to 24 hours, the narrowest or worst first.", []),
        "unknown": json_array(json_object(unknown, "A fault."), "Why hours are unknown, the commonest first.", []),
    }


def _by_hour(description: str) -> dict[str, Any]:
    number = {"anyOf": [{"type": "number"}, {"type": "null"}]}
    return json_array(number, description, [1] * DAY) | {"minItems": DAY, "maxItems": DAY}


def _tally() -> dict[str, Any]:
    """Hours counted, and those that hold."""
    good = json_object(
        {name: whole_number(f"Hours in which {name} holds.", 24) for name in JUDGED}, "Known hours that hold."
    )
    share = {
        name: answered(
            f"Share of the known hours in which {name} holds; its plus_minus as all margins move (ratio)", "ratio"
        )
        for name in JUDGED
    }
    return {
        "hours": whole_number("Hours.", 24),
        "unknown": whole_number("Those of them whose weather is missing or wrong.", 0),
        "good": with_example(good),
        "share": with_example(
            json_object(share, "The same over the known hours; null with the reason where there are none.")
        ),
    }


def _ends() -> dict[str, Any]:
    """The shares of all hours if the aeroplane is worse, or better, than expected."""
    parts = {name: answered(f"Share in which {name} holds (ratio)", "ratio") for name in JUDGED}
    return {
        f"share_if_{end}": with_example(json_object(parts, f"Shares with every margin one standard deviation {end}."))
        for end in ("worse", "better")
    }


def _limiting_hour() -> dict[str, Any]:
    way = {"enum": list(WAYS)}
    parts = {
        "time": json_text("The hour.", "2025-07-15T15:00"),
        "holds": {"type": "boolean", "description": "Whether all three hold.", "examples": [False]},
        "narrowest": {**json_text("The margin that is narrowest.", "takeoff"), "enum": list(MARGINS)},
        "margin": answered("That margin over its requirement; -1 for what cannot be done (ratio)", "ratio"),
        "temperature": answered("Air temperature (temperature)", "temperature"),
        "density_altitude": answered("Density altitude (altitude)", "altitude"),
        "climb_rate": answered("Rate of climb (vertical speed)", "vertical speed"),
        "takeoff_margin": answered(
            "Strip left beyond the take-off distance required (runway distance)", "runway distance"
        ),
        "landing_margin": answered(
            "Strip left beyond the landing distance required (runway distance)", "runway distance"
        ),
        "takeoff_way": {**json_text("Way along the strip that this take-off goes.", "stated"), **way},
        "landing_way": {**json_text("The same of the landing; on a one-way strip always reversed.", "stated"), **way},
    }
    return json_object(parts, "An hour that limits.")
