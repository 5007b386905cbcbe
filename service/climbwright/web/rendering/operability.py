"""A season's answer as JSON, as rows of a table, and as a page to print."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from climbwright.answers.flying import Flying
from climbwright.answers.operability import JUDGED, MARGINS, WAYS, LimitingHour, Operability
from climbwright.answers.season import DAY, Tally
from climbwright.arrays import middle
from climbwright.web.rendering.quantities import Units, assumed_json, cautions_json, missing, quantity
from climbwright.web.rendering.tables import Row
from climbwright.web.rendering.text import answer_text, number, plain

__all__ = ["CLIMBS", "MONTHS", "operability_json", "operability_rows", "operability_text"]

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
CLIMBS = ("climb_rate", "takeoff_margin", "landing_margin")  # what is judged, as an hour tells it
_KINDS = ("vertical speed", "runway distance", "runway distance")
_REASONS = ("no-climb-asked", "no-takeoff-margin", "no-landing-margin")


def operability_json(found: Operability, given: Mapping[str, Any], units: Units) -> dict[str, Any]:
    """Shares overall, by month and by hour of the day, and the hours that limit.

    Parameters
    ----------
    found : Operability
        The answer.
    given : mapping
        The request as loaded.
    units : Units
        The reader's.
    """
    flying: Flying = given["flying"]
    strip = flying.strip
    if strip is None:
        raise AssertionError("the schema lets no season through without a strip")
    tally = found.tally
    whole = tally.summed(-2, -1)
    narrowest = dict(zip(MARGINS, found.narrowest.tolist(), strict=True))
    body = {
        "loading": given["loading"].name,
        "strip": strip.name,
        "required": {
            "climb_rate": quantity(found.least_rate, "vertical speed", units),
            "strip_length": quantity(middle(strip.length), "runway distance", units),
        },
        "overall": _tally_json(whole, (), units) | _ends_json(whole, units),
        "narrowest": narrowest,
        "limit": max(narrowest, key=narrowest.__getitem__),
        "months": _months(tally, found, units),
        "hours_of_day": _hours_of_day(tally, units),
        "limiting_hours": [_hour_json(one, units) for one in found.limiting],
        "unknown": [
            {"where": one.where, "detail": one.message, "hours": one.hours, "first": one.first} for one in found.unknown
        ],
    }
    if found.ways is not None:
        body["ways"] = _ways(found, int(whole.known), units)
    notes = {"assumed": assumed_json(found.assumed, units), "cautions": cautions_json(found.cautions, units)}
    return body | notes


def _share(value: float, units: Units, spread: float | None = None) -> dict[str, Any]:
    return missing("ratio", "no-known-hour", units) if np.isnan(value) else quantity(value, "ratio", units, spread)


def _tally_json(tally: Tally, place: tuple[int, ...], units: Units) -> dict[str, Any]:
    """Hours, and those that hold, of one place of a tally."""
    spread = tally.spread
    shares = {
        name: _share(float(tally.share[i][place]), units, float(spread[i][place]) or None)
        for i, name in enumerate(JUDGED)
    }
    return {
        "hours": int(tally.hours[place]),
        "unknown": int((tally.hours - tally.known)[place]),
        "good": {name: int(tally.good[i][place]) for i, name in enumerate(JUDGED)},
        "share": shares,
    }


def _ends_json(whole: Tally, units: Units) -> dict[str, Any]:
    """What is left of the shares of all hours, or comes to them, if the aeroplane is worse or better than expected."""
    names = ("share_if_worse", "share_if_better")
    return {
        name: {judged: _share(float(share[i]), units) for i, judged in enumerate(JUDGED)}
        for name, share in zip(names, whole.ends, strict=True)
    }


def _months(tally: Tally, found: Operability, units: Units) -> list[dict[str, Any]]:
    """Each month that has hours, with its hours of the day."""
    months = tally.summed(-1)
    told = []
    for i in np.flatnonzero(months.hours).tolist():
        median, greatest = found.density_altitude[:, i].tolist()
        altitudes = {"density_altitude_median": median, "density_altitude_greatest": greatest}
        told.append(
            {"month": i + 1}
            | _tally_json(months, (i,), units)
            | {name: _altitude(value, units) for name, value in altitudes.items()}
            | {"by_hour": _by_hour(tally, i)}
        )
    return told


def _altitude(value: float, units: Units) -> dict[str, Any]:
    return missing("altitude", "no-known-hour", units) if np.isnan(value) else quantity(value, "altitude", units)


def _by_hour(tally: Tally, month: int) -> dict[str, list[Any]]:
    """Hours and shares of a month at each hour of the day, 0 to 23; null where no hour is known."""
    shares = tally.share[:, month].tolist()
    return {"hours": tally.hours[month].tolist(), "unknown": (tally.hours - tally.known)[month].tolist()} | {
        name: [None if share != share else share for share in row] for name, row in zip(JUDGED, shares, strict=True)
    }


def _hours_of_day(tally: Tally, units: Units) -> list[dict[str, Any]]:
    """Each hour of the day that has hours, all months together."""
    hours = tally.summed(-2)
    return [{"hour": i} | _tally_json(hours, (i,), units) for i in np.flatnonzero(hours.hours).tolist()]


def _ways(found: Operability, known: int, units: Units) -> dict[str, Any]:
    """Shares of take-off and landing along each way of the strip alone."""
    return {
        name: {way: _share(found.ways[j, i] / known, units) for j, way in enumerate(WAYS)}  # type: ignore[index]
        for i, name in enumerate(MARGINS[1:])
    }


def _hour_json(hour: LimitingHour, units: Units) -> dict[str, Any]:
    judged = {
        name: missing(kind, reason, units) if np.isnan(value) else quantity(value, kind, units, spread or None)
        for name, kind, reason, value, spread in zip(
            CLIMBS, _KINDS, _REASONS, hour.values.tolist(), hour.spreads.tolist(), strict=True
        )
    }
    return {
        "time": hour.time,
        "holds": hour.holds,
        "narrowest": hour.narrowest,
        "margin": quantity(hour.margin, "ratio", units),
        "temperature": quantity(hour.temperature, "temperature", units),
        "density_altitude": quantity(hour.density_altitude, "altitude", units),
        **judged,
        "takeoff_way": hour.ways[0],
        "landing_way": hour.ways[1],
    }


def operability_rows(body: dict[str, Any]) -> list[Row]:
    """A row for each hour of the day of each month that has hours."""
    return [
        {
            "month [1]": month["month"],
            "hour [h]": hour,
            "hours [h]": month["by_hour"]["hours"][hour],
            "unknown [h]": month["by_hour"]["unknown"][hour],
            **{f"{name} share [1]": month["by_hour"][name][hour] for name in JUDGED},
        }
        for month in body["months"]
        for hour in range(DAY)
        if month["by_hour"]["hours"][hour]
    ]


_WORDS = {"climb": "climb", "takeoff": "take-off", "landing": "landing", "all": "all three"}
_NONE = "-"  # where no hour is known


def operability_text(body: dict[str, Any], name: str) -> str:
    """A page to print: the season as a whole, by month, each month's hours of the day, and the hours that limit."""
    required, overall = body["required"], body["overall"]
    strip = body["strip"] or "the strip"
    lines = [
        f"{name}: a season at {strip}, {body['loading']}",
        f"{overall['hours']:,} hours, {overall['unknown']:,} of them unknown",
        f"An hour holds where the climb is at least {plain(required['climb_rate'], _KINDS[0])} and the strip of "
        f"{plain(required['strip_length'], _KINDS[1])} is as long as take-off and landing require, safety factor "
        "included.",
        "Shares are per cent of the known hours, rounded down: 100 is every hour. Worse and better: with every margin "
        "one standard deviation below and above what is expected of the aeroplane.",
    ]
    parts = (_overall(body), _month_lines(body["months"]), _day_lines(body), _hour_lines(body["limiting_hours"]))
    return answer_text([*lines, *(line for part in parts for line in ("", *part)), *_unknown_lines(body)], body)


def _percent(good: int, known: int) -> str:
    return str(100 * good // known) if known else _NONE


def _known(tally: Mapping[str, Any]) -> int:
    return int(tally["hours"] - tally["unknown"])


def _shares(tally: Mapping[str, Any]) -> list[str]:
    return [_percent(tally["good"][name], _known(tally)) for name in JUDGED]


def _overall(body: dict[str, Any]) -> list[str]:
    """What is judged, each in a line; along each way too where there are two."""
    overall = body["overall"]
    lines = [f"{'':16}{'share':>7}{'worse':>7}{'better':>7}{'hours':>9}{'narrowest in':>14}"]
    for name, share in zip(JUDGED, _shares(overall), strict=True):
        worse, better = (_floor(overall[f"share_if_{end}"][name]["value"]) for end in ("worse", "better"))
        narrowest = f"{body['narrowest'][name]:,}" if name in body["narrowest"] else ""
        line = f"  {_WORDS[name]:14}{share:>7}{worse:>7}{better:>7}{overall['good'][name]:>9,}{narrowest:>14}"
        lines.append(line.rstrip())
    for name, ways in body.get("ways", {}).items():
        told = ", ".join(f"{words} {_floor(ways[way]['value'])}" for way, words in _WAY_WORDS.items())
        lines.append(f"  {_WORDS[name]} along one way alone: {told}")
    return lines


_WAY_WORDS = {"stated": "as stated", "reversed": "the other way"}


def _floor(share: float | None) -> str:
    return _NONE if share is None else f"{math.floor(100.0 * share + 1e-9)}"


def _month_lines(months: Sequence[dict[str, Any]]) -> list[str]:
    """A line for each month, with its density altitudes."""
    unit = months[0]["density_altitude_median"]["unit"]
    heads = "".join(f"{_WORDS[name]:>10}" for name in JUDGED)
    lines = [
        f"{'':60}{f'density alt. {unit}':>17}",
        f"month{'hours':>7}{'unknown':>8}{heads}{'median':>9}{'most':>8}",
    ]
    for month in months:
        shares = "".join(f"{share:>10}" for share in _shares(month))
        altitudes = [_cell(month[f"density_altitude_{which}"], "altitude") for which in ("median", "greatest")]
        head = f"{MONTHS[month['month'] - 1]:5}{month['hours']:>7}{month['unknown']:>8}"
        lines.append(f"{head}{shares}{altitudes[0]:>9}{altitudes[1]:>8}")
    return lines


def _cell(leaf: dict[str, Any], kind: str) -> str:
    return _NONE if leaf["value"] is None else number(leaf, kind)


def _day_lines(body: dict[str, Any]) -> list[str]:
    """All three together: a line for each hour of the day, a column for each month."""
    months = {month["month"]: month for month in body["months"]}
    of_day = {hour["hour"]: hour for hour in body["hours_of_day"]}
    lines = ["all three, by hour of the day and month", "hour " + "".join(f"{name:>5}" for name in (*MONTHS, "all"))]
    for hour in range(DAY):
        cells = [_floor(months[i]["by_hour"]["all"][hour]) if i in months else _NONE for i in range(1, len(MONTHS) + 1)]
        cells.append(_shares(of_day[hour])[-1] if hour in of_day else _NONE)
        lines.append(f"{hour:02}   " + "".join(f"{cell:>5}" for cell in cells))
    cells = [_shares(months[i])[-1] if i in months else _NONE for i in range(1, len(MONTHS) + 1)]
    return [*lines, "all  " + "".join(f"{cell:>5}" for cell in (*cells, _shares(body["overall"])[-1]))]


def _hour_lines(hours: Sequence[dict[str, Any]]) -> list[str]:
    """The hours that limit, the worst first."""
    columns = (
        ("temp.", "temperature", "temperature", 7),
        ("density", "density_altitude", "altitude", 9),
        ("climb", "climb_rate", _KINDS[0], 8),
        ("t/o left", "takeoff_margin", _KINDS[1], 10),
        ("ldg left", "landing_margin", _KINDS[2], 10),
    )
    units = "".join(f"{hours[0][key]['unit']:>{width}}" for _, key, _, width in columns)
    lines = [
        "The hours that limit, the worst first (! does not hold)",
        f"{'':21}" + "".join(f"{head:>{width}}" for head, _, _, width in columns) + "  narrowest",
        f"{'':21}{units}",
    ]
    for hour in hours:
        cells = "".join(f"{_cell(hour[key], kind):>{width}}" for _, key, kind, width in columns)
        lines.append(f"{hour['time']:<19} {' ' if hour['holds'] else '!'}{cells}  {_WORDS[hour['narrowest']]}")
    return lines


def _unknown_lines(body: dict[str, Any]) -> list[str]:
    """Why hours are unknown."""
    lines = ["", "Unknown hours"] if body["unknown"] else []
    for one in body["unknown"]:
        detail = "".join(letter if letter.isprintable() else "?" for letter in one["detail"])  # it may quote a cell
        lines.append(f"  {one['hours']:,} from {one['first']}: {one['where']}: {detail}")
    return lines
