"""A season at a strip over HTTP: counted again from a fleet's columns, sent as JSON, CSV and Arrow, refused by name."""

import csv
import io
import json
import math
import re
import statistics
import threading

import pyarrow
import pytest

from climbwright.web import create_app

from ..invented_weather import year
from .asking import EXAMPLES, pointers, refused, send
from .plainly import AEROPLANE, FOOT, KNOT, LOADING, codes, said

AIR = ("temperature", "qnh", "dew_point")
JUDGED = ("climb", "takeoff", "landing", "all")
STRIP = {
    "name": "Invented Mesa", "length": "722 m", "slope": "1.2 %", "surface": "hard-turf", "elevation": "6150 ft",
    "heading": "200 deg",
}  # fmt: skip
LEAST = 590.0  # ft/min


def asked(weather, *names, **more):
    """A request for some hours of invented weather."""
    body = {
        "aircraft": AEROPLANE,
        "loading": {"name": "one", "stations": LOADING},
        "strip": STRIP,
        "climb_rate": f"{LEAST} ft/min",
        "weather": weather.columns(*(names or AIR)),
    }
    return {name: value for name, value in (body | more).items() if value is not None}


def strip(**fields):
    return {"strip": {name: value for name, value in (STRIP | fields).items() if value is not None}}


def some(count=96, step=61):
    """Hours of the whole year and of the whole day."""
    return year().at([(i * step) % 8760 for i in range(count)])


def post(client, body, **options):
    return client.post("/v1/operability", json=body, query_string=options)


def post_table(client, body, table, kind="text/csv", **options):
    """The same with the weather as a table."""
    shared = json.dumps({name: value for name, value in body.items() if name != "weather"})
    data = {"shared": shared, "table": (io.BytesIO(table), "weather", kind)}
    return client.post("/v1/operability", data=data, query_string=options)


def by_fleet(client, body, weather):
    """Margins of every hour as the fleet's columns, to be counted here."""
    columns = {
        "condition.oat": {"value": weather.temperature, "unit": "C"},
        "condition.qnh": {"value": weather.qnh, "unit": "hPa"},
        "condition.dew_point": {"value": weather.dew_point, "unit": "C"},
    }
    ways = ("", "_reversed")
    measures = ["best_climb_rate", *(f"{name}_margin{way}" for name in ("takeoff", "landing") for way in ways)]
    shared = {
        "aircraft": body["aircraft"], "loading": body["loading"], "strip": body["strip"],
        "condition": {"elevation": body["strip"]["elevation"]},
    }  # fmt: skip
    answer = client.post("/v1/fleet", json={"shared": shared, "columns": columns, "measures": measures}).json
    assert answer["right"] == len(weather.time)
    return {name: answer["columns"][name]["value"] for name in measures}


def judged(columns, i, length):
    """What holds in an hour, and each margin over its requirement, in plain Python."""
    margins = {"climb": columns["best_climb_rate"][i] - LEAST}
    over = {"climb": margins["climb"] / LEAST}
    for name in ("takeoff", "landing"):
        margins[name] = max(columns[f"{name}_margin"][i], columns[f"{name}_margin_reversed"][i])
        over[name] = margins[name] / (length - margins[name])
    holds = {name: margin >= 0.0 for name, margin in margins.items()}
    return holds | {"all": all(holds.values())}, over


def test_a_year_counted_again_from_a_fleet(client):
    weather = year()
    body = asked(weather)
    answer, columns = send(client, "operability", body), by_fleet(client, body, weather)
    good, narrowest, worst = {}, dict.fromkeys(JUDGED[:3], 0), []
    for i, time in enumerate(weather.time):
        holds, over = judged(columns, i, 722.0)
        for place in ("year", int(time[5:7]), time[11:13], (int(time[5:7]), int(time[11:13]))):
            hours = good.setdefault(place, {"hours": 0} | dict.fromkeys(JUDGED, 0))
            hours["hours"] += 1
            for name in JUDGED:
                hours[name] += holds[name]
        narrowest[min(over, key=over.get)] += 1
        worst.append((min(over.values()), time))
    assert_tally(answer["overall"], good["year"])
    assert all(0.1 < leaf["value"] < 0.95 for leaf in answer["overall"]["share"].values())  # something to count
    for name in ("takeoff", "landing"):
        for way, suffix in (("stated", ""), ("reversed", "_reversed")):
            alone = sum(margin >= 0.0 for margin in columns[f"{name}_margin{suffix}"]) / len(weather.time)
            assert answer["ways"][name][way]["value"] == pytest.approx(alone, rel=1e-12)
    assert answer["narrowest"] == narrowest
    assert all(count > 100 for count in narrowest.values())
    assert answer["limit"] == max(narrowest, key=narrowest.get)
    assert [month["month"] for month in answer["months"]] == list(range(1, 13))
    for month in answer["months"]:
        assert_tally(month, good[month["month"]])
        for hour in range(24):
            here = good[month["month"], hour]
            assert month["by_hour"]["hours"][hour] == here["hours"]
            for name in JUDGED:
                assert month["by_hour"][name][hour] == pytest.approx(here[name] / here["hours"], rel=1e-12)
    assert [hour["hour"] for hour in answer["hours_of_day"]] == list(range(24))
    for hour in answer["hours_of_day"]:
        assert_tally(hour, good[f"{hour['hour']:02}"])
    worst.sort()
    assert [hour["time"] for hour in answer["limiting_hours"]] == [time for _, time in worst[:24]]
    assert [hour["margin"]["value"] for hour in answer["limiting_hours"]] == pytest.approx(
        [margin for margin, _ in worst[:24]], rel=1e-9
    )


def assert_tally(told, counted):
    assert told["hours"] == counted["hours"]
    assert told["unknown"] == 0
    for name in JUDGED:
        assert told["good"][name] == counted[name]
        assert told["share"][name]["value"] == pytest.approx(counted[name] / counted["hours"], rel=1e-12)


def test_hours_asked_one_by_one(client):
    # performance answers 24 conditions at a time; each hour of the sample is one of them
    weather = some(48)
    answer = send(client, "operability", asked(weather))
    counts, told = dict.fromkeys(JUDGED, 0), {}
    for start in (0, 24):
        conditions = [
            {
                "name": weather.time[i],
                "elevation": STRIP["elevation"],
                "oat": f"{weather.temperature[i]} C",
                "qnh": f"{weather.qnh[i]} hPa",
                "dew_point": f"{weather.dew_point[i]} C",
            }
            for i in range(start, start + 24)
        ]
        body = {"aircraft": AEROPLANE, "loadings": [{"name": "one", "stations": LOADING}], "strip": STRIP}
        for result in send(client, "performance", body | {"conditions": conditions}, spread="linear")["results"]:
            told[result["condition"]] = result["measures"]
    for measures in told.values():
        columns = {name: [leaf["value"]] for name, leaf in measures.items() if "value" in leaf}
        holds, _ = judged(columns, 0, 722.0)
        for name in JUDGED:
            counts[name] += holds[name]
    assert answer["overall"]["good"] == counts
    assert 0 < counts["all"] < 48
    for hour in answer["limiting_hours"]:
        measures = told[hour["time"]]
        pairs = [(hour["climb_rate"], measures["best_climb_rate"])]
        for name in ("takeoff", "landing"):
            way = "" if hour[f"{name}_way"] == "stated" else "_reversed"
            pairs.append((hour[f"{name}_margin"], measures[f"{name}_margin{way}"]))
            assert hour[f"{name}_margin"]["value"] >= measures[f"{name}_margin"]["value"] - 1e-9
        for got, expected in pairs:
            assert got["value"] == pytest.approx(expected["value"], rel=1e-9)
            assert got.get("plus_minus", 0.0) == pytest.approx(expected.get("plus_minus", 0.0), rel=1e-6, abs=1e-9)
        i = weather.time.index(hour["time"])
        assert hour["temperature"]["value"] == pytest.approx(weather.temperature[i], abs=1e-9)


def test_density_altitude_is_that_of_its_operation(client):
    weather = year(31 * 24)
    lists = {
        "elevation": STRIP["elevation"],
        "qnh": {"value": weather.qnh, "unit": "hPa"},
        "oat": {"value": weather.temperature, "unit": "C"},
        "dew_point": {"value": weather.dew_point, "unit": "C"},
    }
    altitudes = send(client, "density-altitude", lists)["density_altitude"]["value"]
    (january,) = send(client, "operability", asked(weather))["months"]
    assert january["density_altitude_median"]["value"] == pytest.approx(statistics.median(altitudes), rel=1e-12)
    assert january["density_altitude_greatest"]["value"] == pytest.approx(max(altitudes), rel=1e-12)


def test_only_months_and_hours_that_were_sent_are_told(client):
    weather = year().at([0, 1, 24 * 200 + 14])  # two hours of January, one of July
    answer = send(client, "operability", asked(weather))
    assert [(month["month"], month["hours"]) for month in answer["months"]] == [(1, 2), (7, 1)]
    assert [hour["hour"] for hour in answer["hours_of_day"]] == [0, 1, 14]
    assert answer["months"][1]["by_hour"]["hours"] == [0] * 14 + [1] + [0] * 9
    assert answer["months"][1]["by_hour"]["all"].count(None) == 23


def test_hours_are_counted_as_written(client):
    times = ["1999-12-31T23:00", "2024-02-29 05:30", "2025-07-01T14", "2025-07-01T15:59:59"]
    weather = some(4)
    body = asked(weather) | {"weather": weather.columns(*AIR) | {"time": times}}
    answer = send(client, "operability", body)
    found = {(m["month"], h) for m in answer["months"] for h in range(24) if m["by_hour"]["hours"][h]}
    assert found == {(12, 23), (2, 5), (7, 14), (7, 15)}
    assert {hour["time"] for hour in answer["limiting_hours"]} == set(times)


# Weather as a table


@pytest.mark.parametrize("options", [{}, {"units": "us"}, {"format": "text"}, {"format": "csv"}])
def test_a_csv_table_is_answered_to_the_bit_as_json_is(client, options):
    weather = year()
    weather.dew_point[100], weather.temperature[200] = None, None
    body = asked(weather)
    table = post_table(client, body, weather.csv(*AIR).encode(), **options)
    assert table.status_code == 200
    assert table.data == post(client, body, **options).data


def test_an_arrow_table_too(client):
    weather = some()
    columns = {"time": pyarrow.array([time.replace("T", " ") for time in weather.time])}
    columns |= {f"{name} [{weather.units[name]}]": pyarrow.array(getattr(weather, name)) for name in AIR}
    units = ("s", "us", "ns")
    stamped = [columns | {"time": pyarrow.array(weather.time).cast(pyarrow.timestamp(unit))} for unit in units]
    expected = send(client, "operability", asked(weather))
    for table in (columns, *stamped):
        sink = io.BytesIO()
        table = pyarrow.table(table)
        with pyarrow.ipc.new_stream(sink, table.schema) as stream:
            stream.write_table(table)
        response = post_table(client, asked(weather), sink.getvalue(), "application/vnd.apache.arrow.stream")
        assert response.status_code == 200, response.text
        assert response.json["overall"] == expected["overall"]


def test_cells_may_carry_their_units(client):
    weather = some(48)
    plain = send(client, "operability", asked(weather))
    columns = weather.columns(*AIR)
    columns["temperature"] = [f"{one} C" for one in weather.temperature]
    lines = [f"{t},{c} C,{q},{d}" for t, c, q, d in zip(*(columns_of(weather)), strict=True)]
    table = "\n".join(["time,temperature,qnh [hPa],dew_point [C]", *lines])
    texts = send(client, "operability", asked(weather) | {"weather": columns})
    for answer in (texts, post_table(client, asked(weather), table.encode()).json):
        assert answer["overall"] == plain["overall"]
        assert answer["limiting_hours"] == plain["limiting_hours"]


def columns_of(weather):
    return (weather.time, *(getattr(weather, name) for name in AIR))


def test_the_documented_table_is_the_documented_request(client, example):
    shared = (EXAMPLES / "operability.shared.json").read_text("utf-8")
    table = (EXAMPLES / "operability.csv").read_bytes()
    data = {"shared": shared, "table": (io.BytesIO(table), "weather.csv", "text/csv")}
    assert client.post("/v1/operability", data=data).json == send(client, "operability", example("operability"))


# Unknown hours


def test_unknown_hours_are_counted_apart_with_their_reasons(client):
    weather = some(60)
    body = asked(weather)
    columns = body["weather"]
    columns["temperature"]["value"][3] = None
    columns["temperature"]["value"][4] = "n/a\x1b"
    columns["temperature"]["value"][5] = 99.9
    columns["qnh"]["value"][6] = 0.0
    for i in (7, 8, 9):
        columns["dew_point"]["value"][i] = columns["temperature"]["value"][i] + 1.0
    columns["dew_point"]["value"][3] = None  # an hour that is wrong twice counts once
    answer = send(client, "operability", body)
    reasons = {(one["where"], one["hours"], one["first"]) for one in answer["unknown"]}
    assert reasons == {
        ("/weather/temperature", 1, weather.time[3]),
        ("/weather/temperature", 1, weather.time[4]),
        ("/weather/temperature", 1, weather.time[5]),
        ("/weather/qnh", 1, weather.time[6]),
        ("/weather/dew_point", 3, weather.time[7]),
    }
    assert answer["unknown"][0]["hours"] == 3  # the commonest first
    details = " ".join(one["detail"] for one in answer["unknown"])
    for word in ("empty", "'n/a\x1b'", "60 C", "850 hPa", "dew point is above"):
        assert word in details
    rest = send(client, "operability", asked(weather.at([i for i in range(60) if not 3 <= i <= 9])))
    whole = answer["overall"]
    assert (whole["hours"], whole["unknown"]) == (60, 7)
    assert whole["good"] == rest["overall"]["good"]
    assert whole["share"] == rest["overall"]["share"]
    assert answer["limiting_hours"] == rest["limiting_hours"]
    assert sum(month["unknown"] for month in answer["months"]) == 7
    text = post(client, body, format="text").text
    assert "'n/a?' is not" in re.sub(r"\s+", " ", text)
    assert all(line.isprintable() for line in text.splitlines())


def test_a_month_of_which_nothing_is_known_has_no_shares(client):
    weather = year().at([0, 24 * 200])
    weather.qnh[1] = None
    july = send(client, "operability", asked(weather))["months"][1]
    assert (july["hours"], july["unknown"], july["good"]["all"]) == (1, 1, 0)
    for leaf in (*july["share"].values(), july["density_altitude_median"]):
        assert leaf["value"] is None
        assert leaf["reason"] == "no hour there is known"


def test_a_calm_hour_needs_no_direction(client):
    weather = some(40)
    weather.wind_speed[5], weather.wind_direction[5] = 0.0, None
    weather.wind_speed[6], weather.wind_direction[6] = 3.0, None
    answer = send(client, "operability", asked(weather, *AIR, "wind_direction", "wind_speed"))
    (reason,) = answer["unknown"]
    assert (reason["where"], reason["hours"], reason["first"]) == ("/weather/wind_direction", 1, weather.time[6])
    body = asked(weather, *AIR, "wind_direction", "wind_speed")
    for calm in (None, ""):
        cells = [calm if one is None else f"{one} deg" for one in weather.wind_direction]
        body["weather"]["wind_direction"] = cells
        assert [one["hours"] for one in send(client, "operability", body)["unknown"]] == [1]


# Wind, elevation, pressure


def test_wind_along_the_strip_is_a_headwind(client):
    weather = some(48)
    along = [0.0 if i % 3 else 180.0 for i in range(48)]  # from ahead or from behind
    direction = {"value": [(200.0 + turned) % 360.0 for turned in along], "unit": "deg"}
    speed = {"value": weather.wind_speed, "unit": "kt"}
    headwind = [v * (1 if t == 0 else -1) for v, t in zip(weather.wind_speed, along, strict=True)]
    told = {"wind_direction": direction, "wind_speed": speed}, {"headwind": {"value": headwind, "unit": "kt"}}
    by_direction, ahead = (
        send(client, "operability", asked(weather) | {"weather": weather.columns(*AIR) | wind}) for wind in told
    )
    assert by_direction["overall"]["good"] == ahead["overall"]["good"]
    for one, other in zip(by_direction["limiting_hours"], ahead["limiting_hours"], strict=True):
        assert one["time"] == other["time"]
        for name in ("takeoff_margin", "landing_margin"):
            assert one[name]["value"] == pytest.approx(other[name]["value"], rel=1e-9)
    calm = send(client, "operability", asked(weather))
    assert ahead["ways"] != calm["ways"]
    assert "/weather/headwind" in {item["where"] for item in calm["assumed"]}
    assert "/weather/headwind" not in {item["where"] for item in ahead["assumed"]}


def test_station_pressure_is_the_qnh_of_its_elevation(client):
    weather = some(48)
    feet = 6150.0 * FOOT
    steps = 9.80665 / (287.05287 * 0.0065)  # physics.md: the QNH's own atmosphere, down to the station
    pressures = [1013.25 * ((qnh / 1013.25) ** (1.0 / steps) - 0.0065 * feet / 288.15) ** steps for qnh in weather.qnh]
    by_qnh = send(client, "operability", asked(weather))
    columns = weather.columns("temperature", "dew_point") | {"station_pressure": {"value": pressures, "unit": "hPa"}}
    by_station = send(client, "operability", asked(weather) | {"weather": columns})
    assert by_station["overall"]["good"] == by_qnh["overall"]["good"]
    for one, other in zip(by_station["limiting_hours"], by_qnh["limiting_hours"], strict=True):
        assert one["density_altitude"]["value"] == pytest.approx(other["density_altitude"]["value"], abs=0.5)


def test_an_elevation_of_its_own_comes_before_the_strips(client):
    weather = some(24)
    low = send(client, "operability", asked(weather, elevation="3000 ft"))
    high = send(client, "operability", asked(weather))
    assert (
        low["limiting_hours"][0]["density_altitude"]["value"] < high["limiting_hours"][0]["density_altitude"]["value"]
    )
    assert "3000 ft" in said(low, "strip-elsewhere")
    assert "strip-elsewhere" not in codes(high)


def test_relative_humidity_and_dry_air(client):
    weather = some(24)
    humid = {"relative_humidity": {"value": [90] * 24, "unit": "%"}}
    damp = send(client, "operability", asked(weather) | {"weather": weather.columns("temperature", "qnh") | humid})
    dry = send(client, "operability", asked(weather, "temperature", "qnh"))
    assert (
        damp["limiting_hours"][0]["density_altitude"]["value"] > dry["limiting_hours"][0]["density_altitude"]["value"]
    )
    assert "/weather/dew_point" in {item["where"] for item in dry["assumed"]}
    assert "carburettor-ice-likely" in codes(damp)
    assert "carburettor-ice-likely" not in codes(dry)


# What is said beside


def test_the_usual_cautions_are_those_of_the_hour_that_limits_most(client):
    body = asked(some(48), aircraft=AEROPLANE | {"limits": {"maximum_weight": "460 kg"}}, **strip(length="200 m"))
    answer = send(client, "operability", body)
    first = answer["limiting_hours"][0]["time"]
    assert {"estimate", "stall-power-off", "runway-estimate", "season-as-sent"} <= set(codes(answer))
    assert "11.0 kg above" in said(answer, "over-maximum-weight")  # 471 kg as loaded
    assert said(answer, "too-short-for-takeoff").startswith(f"one, {first}: ")
    assert answer["cautions"][0]["code"] == "over-maximum-weight"
    wheres = {one["where"] for one in (*answer["cautions"], *answer["assumed"])}
    assert not [where for where in wheres if where.startswith(("/conditions", "/loadings"))]


def test_what_stood_in_is_listed(client):
    body = asked(some(24))
    del body["climb_rate"]
    answer = send(client, "operability", body)
    by_place = {item["where"]: item for item in answer["assumed"]}
    assert by_place["/climb_rate"]["value"] == {"value": pytest.approx(300.0), "unit": "ft/min"}
    assert by_place["/climb_rate"]["source"] == "common practice, no source"
    assert answer["required"]["climb_rate"]["value"] == pytest.approx(300.0)
    again = send(client, "operability", body | {"climb_rate": by_place["/climb_rate"]["value"]})
    assert again["overall"] == answer["overall"]


def test_a_one_way_strip_has_no_ways(client):
    weather = some(48)
    both = send(client, "operability", asked(weather, **strip(length="745 m")))
    one = send(client, "operability", asked(weather, **strip(length="745 m", one_way=True)))
    assert "ways" not in one
    assert {(hour["takeoff_way"], hour["landing_way"]) for hour in one["limiting_hours"]} == {("stated", "reversed")}
    known = both["overall"]["hours"]
    assert one["overall"]["good"]["takeoff"] == round(both["ways"]["takeoff"]["stated"]["value"] * known)
    assert one["overall"]["good"]["landing"] == round(both["ways"]["landing"]["reversed"]["value"] * known)


def test_the_ends_of_a_share(client):
    unsure = {"value": 0.95, "plus_minus": 0.03}
    body = asked(year(), aircraft=AEROPLANE | {"engine": AEROPLANE["engine"] | {"power_margin": unsure}})
    answer = send(client, "operability", body)["overall"]
    worse, better = answer["share_if_worse"]["climb"]["value"], answer["share_if_better"]["climb"]["value"]
    share = answer["share"]["climb"]
    assert worse < share["value"] < better
    assert share["plus_minus"] == pytest.approx(0.5 * (better - worse), rel=1e-9)
    weak = AEROPLANE | {"engine": AEROPLANE["engine"] | {"power_margin": 0.92}}
    weaker = send(client, "operability", asked(year(), aircraft=weak))["overall"]["share"]["climb"]["value"]
    assert worse == pytest.approx(weaker, abs=0.01)


# Forms of the answer


def test_text_is_a_page_to_print(client):
    weather = year()
    weather.qnh[10] = None
    body = asked(weather)
    text, answer = post(client, body, format="text").text, send(client, "operability", body)
    lines = text.splitlines()
    assert all(len(line) <= 80 for line in lines)
    heads = [i for i, line in enumerate(lines) if line.split()[:3] == ["hour", "Jan", "Feb"]]
    table = [line.split() for line in lines[heads[0] + 1 : heads[0] + 25]]
    for hour, row in enumerate(table):
        assert int(row[0]) == hour
        shares = [month["by_hour"]["all"][hour] for month in answer["months"]]
        assert [int(cell) for cell in row[1:13]] == [math.floor(100.0 * share + 1e-9) for share in shares]
    for month, name in zip(answer["months"], ("Jan", "Feb", "Mar"), strict=False):
        (row,) = [line.split() for line in lines if line.split()[:1] == [name]]
        known = month["hours"] - month["unknown"]
        assert [int(cell) for cell in row[1:3]] == [month["hours"], month["unknown"]]
        assert [int(cell) for cell in row[3:7]] == [100 * month["good"][name] // known for name in JUDGED]
    for hour in answer["limiting_hours"]:
        (row,) = [line.split() for line in lines if line.startswith(hour["time"])]
        assert row[1] == "!"
        assert float(row[2]) == pytest.approx(hour["temperature"]["value"], abs=0.06)
    for caution in answer["cautions"]:
        assert caution["text"][:40] in re.sub(r"\s+", " ", text)
    assert "1 from 2025-01-01T10:00: /weather/qnh" in re.sub(r"\s+", " ", text)


def test_one_hour_lost_is_not_a_hundred_per_cent(client):
    # 743 of 744, rounded down
    weather = year(744)
    weather.temperature[300] = 45.0
    text = post(client, asked(weather, **strip(length="800 m")), format="text").text
    (row,) = [line.split() for line in text.splitlines() if line.split()[:1] == ["Jan"]]
    assert row[6] == "99"


def test_csv_is_one_plain_table(client):
    body = asked(year())
    answer = send(client, "operability", body)
    rows = list(csv.DictReader(io.StringIO(post(client, body, format="csv").text)))
    assert len(rows) == 12 * 24
    for row in rows:
        month, hour = answer["months"][int(row["month [1]"]) - 1], int(row["hour [h]"])
        assert int(row["hours [h]"]) == month["by_hour"]["hours"][hour]
        for name in JUDGED:
            assert float(row[f"{name} share [1]"]) == month["by_hour"][name][hour]


def test_pick(client):
    body = asked(some(48))
    answer = send(client, "operability", body)
    picked = post(client, body, pick="/overall/share/all").text
    assert float(picked) == pytest.approx(answer["overall"]["share"]["all"]["value"], rel=1e-5)
    assert post(client, body, pick="limit").text == answer["limit"]
    assert post(client, body, pick="/limiting_hours/0/time").text == answer["limiting_hours"][0]["time"]


def test_working_is_that_of_the_hour_that_limits_most(client):
    body = asked(some(24))
    answer = send(client, "operability", body, working="true")
    first = answer["limiting_hours"][0]
    steps = [step for part in answer["working"] for step in part["steps"]]
    results = [float(step["result"].split()[0]) for step in steps if step["result"].endswith(" m")]
    assert any(result == pytest.approx(first["takeoff_margin"]["value"], abs=0.01) for result in results)
    assert "working" not in send(client, "operability", body)
    assert "fleet" not in post(client, body, working="true", format="text").text
    assert pointers(refused(post(client, body, working="true", format="csv"), 422)) == ["/working"]


def test_sampled_spreads_are_refused(client):
    assert pointers(refused(post(client, asked(some(24)), spread="sampled"), 422)) == ["/spread"]
    assert post(client, asked(some(24)), spread="linear").status_code == 200


# Refusals


def spoilt(**columns):
    """Some hours with columns replaced; None takes one out."""

    def body(weather):
        told = weather.columns(*AIR) | columns
        return asked(weather) | {"weather": {name: column for name, column in told.items() if column is not None}}

    return body


def without(body, name):
    return {other: value for other, value in body.items() if other != name}


def timed(*times):
    return spoilt(time=list(times))


TIMES = ["2025-07-01T13:00", "2025-07-01T14:00", "2025-07-01T15:00"]
CELSIUS = {"value": [20.0, 21.0, 22.0], "unit": "C"}
KNOTS = {"value": [5.0, 5.0, 5.0], "unit": "kt"}
DEGREES = {"value": [200.0, 200.0, 200.0], "unit": "deg"}
REFUSED = {
    "no such day": (timed(*TIMES[:2], "2025-02-30T10:00"), "/weather/time/2", "no such time"),
    "no such hour": (timed(*TIMES[:2], "2025-07-01T24:00"), "/weather/time/2", "00 to 23"),
    "an American date": (timed(*TIMES[:2], "7/1/2025 15:00"), "/weather/time/2", "2025-07-01T14:00"),
    "a date alone": (timed("2025-07-01", *TIMES[1:]), "/weather/time/0", "not a time"),
    "a time of other digits": (timed("\u0662025-07-01T13:00", *TIMES[1:]), "/weather/time/0", "not a time"),
    "universal time by its letter": (timed(*TIMES[:2], "2025-07-01T15:00Z"), "/weather/time/2", "zone"),
    "a zone": (timed(*TIMES[:2], "2025-07-01T15:00+02:00"), "/weather/time/2", "without"),
    "a time that is no text": (timed(*TIMES[:2], 1751380000), "/weather/time/2", "text"),
    "no time": (timed(*TIMES[:2], None), "/weather/time/2", "text"),
    "a time twice": (timed(TIMES[0], TIMES[1], TIMES[0]), "/weather/time/2", "same hour"),
    "two times in an hour": (timed(*TIMES[:2], "2025-07-01T14:30"), "/weather/time/2", "same hour"),
    "no times": (spoilt(time=None), "/weather/time", "missing"),
    "an empty list": (timed(), "/weather/time", "empty"),
    "times that are no list": (spoilt(time=TIMES[0]), "/weather/time", "list"),
    "unequal lengths": (spoilt(temperature={"value": [20.0, 21.0], "unit": "C"}), "/weather/temperature", "2 values"),
    "no temperature": (spoilt(temperature=None), "/weather/temperature", "missing"),
    "both pressures": (
        spoilt(station_pressure={"value": [810.0] * 3, "unit": "hPa"}), "/weather/station_pressure", "only one",
    ),
    "no pressure": (spoilt(qnh=None), "/weather/qnh", "qnh or station_pressure"),
    "both humidities": (
        spoilt(relative_humidity={"value": [30] * 3, "unit": "%"}), "/weather/relative_humidity", "only one",
    ),
    "an unknown column": (spoilt(temprature=CELSIUS), "/weather/temprature", "temperature"),
    "a unit of another kind": (spoilt(temperature=CELSIUS | {"unit": "kt"}), "/weather/temperature", "kt"),
    "an unknown unit": (spoilt(qnh={"value": [30.0] * 3, "unit": "furlong"}), "/weather/qnh", "hPa"),
    "no unit": (spoilt(temperature={"value": CELSIUS["value"]}), "/weather/temperature", "unit"),
    "a list without its unit": (spoilt(temperature=CELSIUS["value"]), "/weather/temperature", "unit"),
    "a spread": (spoilt(temperature=CELSIUS | {"plus_minus": 1}), "/weather/temperature", "plus_minus"),
    "a member too many": (spoilt(temperature=CELSIUS | {"value_": 1}), "/weather/temperature", "value"),
    "a column that is a number": (spoilt(temperature=20.0), "/weather/temperature", "list"),
    "a speed without direction": (spoilt(wind_speed=KNOTS), "/weather/wind_direction", "together"),
    "a direction without speed": (spoilt(wind_direction=DEGREES), "/weather/wind_speed", "together"),
    "two winds": (
        spoilt(wind_speed=KNOTS, wind_direction=DEGREES, headwind=KNOTS), "/weather/headwind", "twice",
    ),
    "all of it wrong": (spoilt(dew_point={"value": [49.0] * 3, "unit": "C"}), "/weather/dew_point", "no hour"),
    "nothing known": (spoilt(qnh={"value": [None] * 3, "unit": "hPa"}), "/weather/qnh", "no hour"),
    "a wind without the strip's heading": (
        lambda weather: asked(weather, *AIR, "wind_direction", "wind_speed", **strip(heading=None)),
        "/weather/wind_direction", "heading",
    ),
    "no length": (lambda weather: asked(weather, **strip(length=None)), "/strip/length", "length"),
    "no strip": (lambda weather: asked(weather, strip=None), "/strip", "missing"),
    "no elevation": (lambda weather: asked(weather, **strip(elevation=None)), "/elevation", "strip"),
    "an elevation for nothing": (
        lambda weather: spoilt(qnh=None, station_pressure={"value": [810.0] * 3, "unit": "hPa"})(weather)
        | {"elevation": "6150 ft"},
        "/elevation", "qnh",
    ),
    "no weather": (lambda weather: without(asked(weather), "weather"), "/weather", "missing"),
    "several loadings": (lambda weather: asked(weather, loadings=[]), "/loadings", "loading"),
    "a climb rate of nothing": (lambda weather: asked(weather, climb_rate="0 ft/min"), "/climb_rate", "above"),
    "an uncertain climb rate": (
        lambda weather: asked(weather, climb_rate={"value": 300, "unit": "ft/min", "plus_minus": 20}),
        "/climb_rate", "plus_minus",
    ),
    "a climb to an altitude": (
        lambda weather: asked(weather, climb={"to_altitude": "9000 ft"}), "/climb/to_altitude", "no such field",
    ),
    "flaps that it has not": (
        lambda weather: asked(weather, landing={"configuration": "barn door"}), "/landing/configuration", "clean, flap",
    ),
    "a station that it has not": (
        lambda weather: asked(weather, loading={"name": "one", "stations": {"pilto": "80 kg"}}),
        "/loading/stations/pilto", "pilot",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", REFUSED)
def test_refused_by_name(client, what):
    made, pointer, word = REFUSED[what]
    weather = year().at([4357, 4358, 4359])
    weather.time[:] = TIMES
    document = refused(post(client, made(weather)), 422)
    assert pointers(document) == [pointer]
    assert word in document["errors"][0]["detail"]


TABLES = {
    "no rows": ("time,temperature [C],qnh [hPa]\n", 422, "/weather/time", "empty"),
    "nothing at all": ("", 400, "", "heading"),
    "an unknown heading": ("time,temp [C],qnh [hPa]\n2025-07-01T13:00,20,1013\n", 422, "/weather/temp", "temperature"),
    "no heading of times": ("when,temperature [C],qnh [hPa]\n2025-07-01T13:00,20,1013\n", 422, "/weather/when", "time"),
    "a heading twice": ("time,qnh [hPa],qnh [inHg]\n2025-07-01T13:00,1013,30\n", 422, "", "twice"),
    "a unit of another kind": (
        "time,temperature [ft],qnh [hPa]\n2025-07-01T13:00,20,1013\n", 422, "/weather/temperature", "ft",
    ),
    "a row too short": ("time,temperature [C],qnh [hPa]\n2025-07-01T13:00,20\n", 400, "", "2 cells"),
    "semicolons": ("time;temperature [C];qnh [hPa]\n2025-07-01T13:00;20;1013\n", 400, "", "commas"),
    "a zone": ("time,temperature [C],qnh [hPa]\n2025-07-01T13:00Z,20,1013\n", 422, "/weather/time/0", "zone"),
    "a missing time": ("time,temperature [C],qnh [hPa]\n,20,1013\n", 422, "/weather/time/0", "text"),
    "another encoding": ("time,temperature [\udcb0C]\n", 400, "", "UTF-8"),
}  # fmt: skip


@pytest.mark.parametrize("what", TABLES)
def test_a_table_refused_by_name(client, what):
    text, status, pointer, word = TABLES[what]
    response = post_table(client, asked(some(1)), text.encode("utf-8", "surrogateescape"))
    document = refused(response, status)
    assert pointer in pointers(document)
    assert word in document["detail"]


def test_parts_refused_by_name(client):
    table, kind = some(2).csv(*AIR).encode(), "text/csv"
    both = post_table(client, {"weather": None}, table)
    assert "/aircraft" in pointers(refused(both, 422))
    data = {"shared": " ", "table": (io.BytesIO(table), "w.csv", kind)}
    assert "/aircraft" in pointers(refused(client.post("/v1/operability", data=data), 422))
    shared = json.dumps(asked(some(2)))  # the weather inside too
    data = {"shared": shared, "table": (io.BytesIO(table), "w.csv", kind)}
    assert pointers(refused(client.post("/v1/operability", data=data), 422)) == ["/weather"]
    data = {"shared": "{}", "table": (io.BytesIO(table), "w.csv", "text/html")}
    refused(client.post("/v1/operability", data=data), 415)
    data = {"shared": "{", "table": (io.BytesIO(table), "w.csv", kind)}
    refused(client.post("/v1/operability", data=data), 400)
    data = {"sharde": "{}", "table": (io.BytesIO(table), "w.csv", kind)}
    assert pointers(refused(client.post("/v1/operability", data=data), 422)) == ["/sharde"]
    assert pointers(refused(client.post("/v1/operability", data={"shared": shared, "x": (io.BytesIO(b""), "x")}), 422))
    response = client.post("/v1/operability", data=table, content_type="text/csv")
    refused(response, 415)
    assert "multipart/form-data" in response.headers["Accept"]


def test_too_many_hours_and_too_large_a_body():
    small = create_app({"MAXIMUM_ROWS": 23, "MAXIMUM_BODY": 10, "MAXIMUM_FLEET_BODY": 30_000}).test_client()
    document = refused(post(small, asked(some(24))), 413)
    assert "24 hours" in document["detail"]
    assert "23" in document["detail"]
    refused(post_table(small, asked(some(24)), some(24).csv(*AIR).encode()), 413)
    assert post(small, asked(some(23))).status_code == 200
    document = refused(post(small, asked(year(2000))), 413)
    assert "30000 bytes" in document["detail"]


def test_seasons_take_their_turn_among_fleets():
    app = create_app({"MAXIMUM_FLEETS": 1})
    turns = app.extensions["climbwright-fleets"]
    assert isinstance(turns, type(threading.BoundedSemaphore()))
    client = app.test_client()
    with turns:
        response = post(client, asked(some(2)))
        refused(response, 503)
        assert response.headers["Retry-After"] == "1"
    for body, status in ((asked(some(2)), 200), ({}, 422), (asked(some(2)), 200)):  # a refusal gives its turn back
        assert post(client, body).status_code == status


def test_a_crosswind_is_told_where_it_is_known(client):
    weather = some(400)
    weather.wind_direction[:] = [110.0] * 400
    answer = send(client, "operability", asked(weather, *AIR, "wind_direction", "wind_speed"))
    strongest = max(weather.wind_speed)
    assert f"{strongest:.1f} kt" in said(answer, "crosswind-strong")
    assert strongest * KNOT > 0.2 * 39.0 * KNOT
