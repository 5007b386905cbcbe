"""The shown calculation through HTTP: every step computes, every measure has its steps, and the option is strict."""

import copy
import json
import re
from pathlib import Path

import numpy as np
import pytest

from climbwright.answers import working
from climbwright.answers.comparison import compare
from climbwright.answers.measures import MEASURES
from climbwright.answers.settings import perform_settings
from climbwright.answers.working.step import FUNCTIONS, SYMBOL
from climbwright.web import working_words
from climbwright.web.operations import OPERATIONS

from .asking import SMALL, ask, refused, send
from .plainly import CONSTANT_SPEED, LOADING, aeroplane
from .reworking import UNITS, agrees, calculate, number
from .test_all_phases import certain, question

WORKED = [*SMALL, "performance", "comparison", "calibration", "test-plan"]
NEAR = 1e-9  # of the answer: the chain rounds in another order


def steps_of(body):
    """Every step, whatever it holds for."""
    working = body["working"]
    return [step for block in working for step in block["steps"]] if working and "steps" in working[0] else working


def follow(body):
    steps = steps_of(body)
    assert steps
    for step in steps:
        assert step.keys() <= {"quantity", "formula", "with_numbers", "result", "reader", "where", "source"}
        assert all(step[name] for name in ("quantity", "formula", "result", "source"))
        assert "{" not in step["quantity"]
        if "with_numbers" in step:
            agrees(step)
        else:
            assert "found by a search" in step["formula"]
    return steps


@pytest.mark.parametrize("operation", WORKED)
def test_every_step_of_the_examples_computes(client, example, operation):
    follow(send(client, operation, example(operation), working="true"))


@pytest.mark.parametrize("operation", SMALL)
def test_without_it_nothing_changes(client, example, operation):
    plain, worked = (send(client, operation, example(operation), working=word) for word in ("false", "true"))
    assert worked.pop("working")
    assert worked == plain == send(client, operation, example(operation))


SMALL_REQUESTS = {
    "atmosphere": [
        {"altitude": "-3000 ft"},
        {"geometric_altitude": "5000 m", "temperature_offset": "-12 K"},
        {"altitude": "15 km"},
        {"altitude": "27 km", "temperature_offset": "5 K"},
    ],
    "density-altitude": [
        {"pressure_altitude": "6000 ft", "oat": "31 C", "relative_humidity": "60 %"},
        {"pressure_altitude": "14 km", "temperature_offset": "4 K"},
        {"pressure_altitude": "23 km", "temperature_offset": "4 K"},
        {"station_pressure": "850 hPa", "oat": "-5 C", "dew_point": "-9 C"},
        {"elevation": "6150 ft", "metar": "METAR XXXX 241300Z 21006KT 9999 FEW090 29/08 Q1018"},
    ],
    "airspeed": [
        {name: value, "pressure_altitude": "7000 ft", "oat": "21 C"}
        for name, value in (
            ("indicated", "70 kt"), ("calibrated", "65 kt"), ("equivalent", "65 kt"), ("true", "80 kt"), ("mach", 0.2)
        )
    ],
    "stall-speed": [
        {"reference_speed": "39 kt", "reference_weight": "480 kg", "weight": "520 kg", "bank": "45 deg"},
        {"wing_area": "13.4 m2", "maximum_lift_coefficient": 1.5, "weight": "520 kg", "load_factor": 2.0,
         "lift_gain": "9 %", "density_altitude": "6000 ft"},
    ],
    "climb-estimate": [
        {"power": "80 hp", "weight": "483 kg", "density_altitude": "7000 ft"},
        {"power": "80 hp", "weight": "483 kg", "pressure_altitude": "4000 ft", "oat": "31 C", "dew_point": "12 C",
         "efficiency": 0.7, "stall_speed": "39 kt", "headwind": "6 kt"},
    ],
}  # fmt: skip


@pytest.mark.parametrize(
    ("operation", "body"), [(name, body) for name, bodies in SMALL_REQUESTS.items() for body in bodies]
)
def test_small_answers_end_in_their_fields(client, operation, body):
    """The last step that shows a field's value; a field that was sent has no step."""
    answer = send(client, operation, body, working="true", units="si")
    shown = {round(value, 12) for value in map(_si_result, follow(answer))}
    sent = set(body) | {"temperature", "load_factor", "indicated", "station_pressure", "altitude"}
    for name, leaf in answer.items():
        if isinstance(leaf, dict) and "unit" in leaf and leaf["value"] is not None and name not in sent:
            digits = [value for value in shown if abs(value - leaf["value"]) <= 6e-5 * abs(leaf["value"]) + 1e-9]
            assert digits or leaf["value"] == 0.0, (name, leaf)


def _si_result(step):
    return number(step["result"])[0]


def test_a_table_of_airspeeds_is_read_between_its_lines(client, example):
    body = example("airspeed") | {
        "airspeed_correction": [
            {"indicated": "40 kt", "calibrated": "44 kt"},
            {"indicated": "60 kt", "calibrated": "61 kt"},
            {"indicated": "90 kt", "calibrated": "88 kt"},
        ]
    }
    first = next(
        step for step in follow(send(client, "airspeed", body, working="true")) if step["formula"][:3] == "V_c"
    )
    assert calculate(first["with_numbers"])[0] == pytest.approx((61.0 + 27.0 * 10.0 / 30.0) * 1852.0 / 3600.0)


@pytest.mark.parametrize("kind", ["track", "heading"])
@pytest.mark.parametrize("legs", [3, 5])
def test_legs_of_either_kind(client, kind, legs):
    rng = np.random.default_rng(7)
    courses = np.linspace(10.0, 370.0, legs, endpoint=False)
    wind = np.array([-6.0, 3.0])
    flown = []
    for course in courses:
        h = np.array([np.sin(np.radians(course)), np.cos(np.radians(course))])
        along = h @ wind
        track = along + np.sqrt(along**2 - wind @ wind + 40.0**2)
        speed = track if kind == "track" else float(np.hypot(*(40.0 * h + wind)))
        speed += rng.normal(0.0, 0.05) if legs > 3 else 0.0
        flown.append({"ground_speed": f"{speed:.4f} m/s", kind: f"{course:.1f} deg"})
    body = {"legs": flown, "indicated": "70 kt", "pressure_altitude": "3000 ft", "oat": "12 C"}
    answer = send(client, "position-error", body, working="true", units="si")
    results = [_si_result(step) for step in follow(answer)]
    for name in ("true", "calibrated", "correction", "wind_speed", "wind_direction", "residual"):
        if answer[name]["value"] is not None:
            assert any(abs(x - answer[name]["value"]) <= 6e-5 * abs(answer[name]["value"]) for x in results), name


def endings(answer):
    """Compare every measure that a step ends with the answer; return what has no step where it has a value."""
    shape = (len(answer.options) + 1, len(answer.loadings), len(answer.conditions))
    ended = {name: np.zeros(shape, dtype=bool) for name in answer.names}
    for part in answer.working:
        rows = list(range(shape[0])) if part.aircraft is None else list(part.aircraft)
        columns = slice(None) if part.condition is None else slice(part.condition, part.condition + 1)
        for step in part.steps:
            if step.ends not in ended:
                continue
            expected = answer.values.value[answer.names.index(step.ends)][rows][:, :, columns]
            found = np.broadcast_to(step.value, expected.shape)
            here = np.broadcast_to(True if step.only is None else step.only, expected.shape) & np.isfinite(found)
            np.testing.assert_allclose(found[here], expected[here], rtol=NEAR, atol=1e-9, err_msg=step.ends)
            places = np.zeros(shape, dtype=bool)
            places[np.ix_(rows, range(shape[1]), np.arange(shape[2])[columns])] = here
            ended[step.ends] |= places
    first = next(name for name in answer.names if name.startswith("stall_speeds/"))
    ended[first] = ended["stall_speed_calibrated"]  # one step ends both
    return {
        name
        for name, there in ended.items()
        if (name in answer.wanted or name.startswith("stall_speeds/"))
        and (np.isfinite(answer.values.value[answer.names.index(name)]) & ~there).any()
    }


@pytest.mark.parametrize("spreads", [True, False])
def test_every_measure_of_every_phase_ends_a_chain(client, spreads):
    """Six options of four kinds of propulsion, three loadings, four conditions, all measures."""
    body = question() if spreads else certain(question())
    given = OPERATIONS["comparison"].request.load(copy.deepcopy(body))
    answer = compare(
        given["baseline"], given["options"], given["loadings"], given["conditions"], given["flying"],
        given["measures"], working=True,
    )  # fmt: skip
    assert set(answer.wanted) >= set(MEASURES)
    assert endings(answer) == set()
    if not spreads:
        follow(send(client, "comparison", body, working="true"))


def flown(client, aircraft, **more):
    body = {
        "aircraft": aircraft,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [
            {"name": "calm", "pressure_altitude": "4000 ft", "oat": "25 C"},
            {"name": "tailwind", "pressure_altitude": "2000 ft", "oat": "5 C", "dew_point": "3 C", "headwind": "-5 kt"},
            {"name": "headwind", "density_altitude": "7000 ft", "headwind": "9 kt"},
        ],
    } | more
    given = OPERATIONS["performance"].request.load(copy.deepcopy(body))
    answer = perform_settings(
        given["aircraft"], given["loadings"], given["conditions"], given["flying"], given.get("measures"), working=True
    )
    assert endings(answer) == set()
    follow(send(client, "performance", body, working="true"))
    return answer


@pytest.mark.parametrize(
    "more",
    [
        {"cruise": {"true": "85 kt"}},
        {"cruise": {"calibrated": "75 kt", "reserve": "0 min"}},
        {"cruise": {"indicated": "75 kt"}},
        {"cruise": {"full_throttle": True}},
        {"climb": {"from_altitude": "1000 ft", "to_altitude": "7000 ft"}},
        {"climb": {"configuration": "flap", "to_altitude": "6500 ft"}},
        {"strip": {"slope": "-2 %", "one_way": True, "length": "500 m", "surface": "soft"}},
        {"strip": {"slope": "2 %", "obstacle_height": "0 m"}, "landing": {"technique_factor": 1.2}},
    ],
)
@pytest.mark.parametrize("propeller", ["fixed", "efficiency", "governed"])
def test_ways_to_ask(client, propeller, more):
    aircraft = aeroplane()
    if propeller == "efficiency":
        aircraft["propeller"] = {"kind": "constant-efficiency", "efficiency": 0.72}
    elif propeller == "governed":
        aircraft["propeller"] = dict(CONSTANT_SPEED)
    flown(client, aircraft, **more)


def test_a_propeller_that_momentum_theory_bounds(client):
    aircraft = aeroplane()
    aircraft["propeller"] |= {"diameter": "1.2 m", "best_efficiency": 0.8, "best_efficiency_speed": "60 kt"}
    answer = flown(client, aircraft, measures=["all"])
    keys = {step.key for part in answer.working for step in part.steps}
    assert {"thrust-limited", "bound-speed"} <= keys


def test_an_envelope_chord_tail_load_table_and_limits(client, example):
    aircraft = example("performance")["aircraft"]
    aircraft["airspeed_correction"] = [
        {"indicated": "40 kt", "calibrated": "44 kt"},
        {"indicated": "70 kt", "calibrated": "70 kt"},
        {"indicated": "120 kt", "calibrated": "116 kt"},
    ]
    aircraft["speed_limits"] = {"never_exceed": "75 kt"}
    body = {"loadings": [{"name": "a", "stations": {"seats": "80 kg", "fuel": "85 L"}},
                         {"name": "b", "stations": {"seats": "175 kg", "fuel": "10 kg"}}]}  # fmt: skip
    flown(client, aircraft, measures=["all"], **body)


def test_wind_by_its_direction(client):
    conditions = [
        {"name": "w", "density_altitude": "3000 ft", "wind_direction": "250 deg", "wind_speed": "12 kt"},
        {"name": "v", "density_altitude": "3000 ft", "wind_direction": "20 deg", "wind_speed": "7 kt"},
    ]
    flown(client, aeroplane(), conditions=conditions, strip={"heading": "210 deg", "length": "600 m"})


def test_no_climb_and_no_level_flight(client):
    """What does not exist has no steps, and the rest has."""
    aircraft = aeroplane()
    aircraft["engine"]["power"] = "22 hp"
    answer = flown(client, aircraft, measures=["all"])
    level = answer.values.value[answer.names.index("greatest_level_speed_true")]
    assert np.isnan(level).any()
    ends = {step.ends for part in answer.working for step in part.steps}
    assert "best_climb_rate" in ends


def test_settings_stand_beside_each_other(client):
    numbers = {"best_efficiency": 0.7, "static_speed": "2450 rpm"}
    aircraft = aeroplane()
    aircraft["propeller"] = {
        "kind": "ground-adjustable",
        "diameter": "1.7 m",
        "settings": [{"name": "fine", **numbers, "best_efficiency_speed": "70 kt"},
                     {"name": "coarse", **numbers, "best_efficiency_speed": "88 kt"}],
    }  # fmt: skip
    body = {"aircraft": aircraft, "loadings": [{"name": "one", "stations": LOADING}],
            "conditions": [{"name": "here", "density_altitude": "2000 ft"}]}  # fmt: skip
    blocks = send(client, "performance", body, working="true")["working"]
    assert [block.get("setting") for block in blocks] == [None, "fine", "coarse"]
    assert all("when" not in block for block in blocks)


def test_only_what_was_asked_is_worked(client, example):
    body = example("performance") | {"measures": ["weight"]}
    steps = follow(send(client, "performance", body, working="true"))
    assert {step["quantity"].split()[0] for step in steps} == {"weight"}
    assert {step["formula"][:3] for step in steps} == {"m_s", "m ="}


def test_blocks_say_what_they_hold_for(client, example):
    body = example("comparison")
    blocks = send(client, "comparison", body, working="true")["working"]
    option, loadings = body["options"][0]["name"], [x["name"] for x in body["loadings"]]
    conditions = [x["name"] for x in body["conditions"]]
    heads = [{name: value for name, value in block.items() if name != "steps"} for block in blocks]
    assert [{"condition": name} for name in conditions] == heads[:2]
    for head in ({"when": "before"}, {"option": option, "when": "after"}):
        assert head in heads
        for loading in loadings:
            assert head | {"loading": loading} in heads
            for condition in conditions:
                assert head | {"loading": loading, "condition": condition} in heads
    assert len({json.dumps(head) for head in heads}) == len(heads)


def test_the_changes_come_first(client, example):
    blocks = send(client, "comparison", example("comparison"), working="true")["working"]
    after = next(block for block in blocks if block.get("when") == "after")
    told = [step["quantity"] for step in after["steps"]]
    assert told[0] == "empty weight after the changes"
    for words in ("rated power of the new engine", "parasite area after the changes"):
        assert words in told
    assert any(words.startswith("gain of the greatest lift coefficient after the changes") for words in told)
    parts = after["steps"][0]["with_numbers"]
    assert parts == "322 kg + (-92 kg) + 84 kg + (-11.5 kg) + 7.5 kg + 7 kg + (-6.4 kg) + 2.7 kg"


def test_the_steps_of_an_aeroplane_alone_make_one_list(client, example):
    body = example("performance")
    body["conditions"] = body["conditions"][:1]
    (block,) = send(client, "performance", body, working="true")["working"]
    assert (block["loading"], block["condition"]) == ("two-up", "density altitude 8,900 ft")


def test_each_symbol_is_explained_or_computed_before_it_is_used(client, example):
    body = example("performance")
    body["conditions"] = body["conditions"][:1]
    (block,) = send(client, "performance", body, working="true")["working"]
    known = set()
    for step in block["steps"]:
        known |= step.get("where", {}).keys()
        symbol, equals, formula = step["formula"].partition(" = ")
        words = set(_words(formula)) if equals else set()
        assert words <= known, (step, words - known)
        known.add(symbol.partition(":")[0])


def _words(formula):
    return [word for word in SYMBOL.findall(formula) if word not in FUNCTIONS]


def test_a_get_with_its_tag(client):
    path = "/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C"
    plain, worked = client.get(path), client.get(f"{path}&working=true")
    assert worked.json["working"]
    assert "working" not in plain.json
    assert plain.headers["ETag"] != worked.headers["ETag"]
    again = client.get(f"{path}&working=true", headers={"If-None-Match": worked.headers["ETag"]})
    assert again.status_code == 304
    assert "working" in ask(client, "stall-speed", {"reference_speed": "39 kt", "reference_weight": "480 kg",
                                                    "weight": "500 kg"}, working="true")  # fmt: skip


@pytest.mark.parametrize("word", ["", "yes", "True", "1", "on"])
def test_a_wrong_word_is_refused(client, example, word):
    for response in (
        client.get("/v1/atmosphere", query_string={"altitude": "6000 ft", "working": word}),
        client.post("/v1/atmosphere", json=example("atmosphere"), query_string={"working": word}),
    ):
        document = refused(response, 422)
        assert document["errors"] == [{"pointer": "/working", "detail": "must be true or false"}]


@pytest.mark.parametrize("query", [{"format": "csv"}, {"pick": "density"}])
def test_what_has_no_room_for_it_is_refused(client, example, query):
    response = client.post("/v1/atmosphere", json=example("atmosphere"), query_string=query | {"working": "true"})
    document = refused(response, 422)
    assert [error["pointer"] for error in document["errors"]] == ["/working"]
    assert "room" in document["detail"]
    query |= {"working": "false"}
    assert client.post("/v1/atmosphere", json=example("atmosphere"), query_string=query).status_code == 200


def test_csv_by_accept_is_refused_too(client):
    response = client.get("/v1/atmosphere?altitude=6000ft&working=true", headers={"Accept": "text/csv"})
    assert "working" in refused(response, 422)["errors"][0]["pointer"]


def test_a_list_is_refused(client):
    body = {"altitude": {"value": [1000, 2000], "unit": "ft"}}
    document = refused(client.post("/v1/atmosphere?working=true", json=body), 422)
    assert document["errors"][0]["pointer"] == "/altitude"
    assert "one calculation" in document["detail"]


@pytest.mark.parametrize("operation", WORKED)
def test_as_text_after_the_answer(client, example, operation):
    response = client.post(
        f"/v1/{operation}", json=example(operation), query_string={"working": "true", "format": "text"}
    )
    assert response.status_code == 200
    answer, _, working = response.text.partition("\nWorking\n")
    plain = client.post(f"/v1/{operation}", json=example(operation), query_string={"format": "text"}).text
    assert answer.strip() == plain.strip()
    assert working
    assert max(map(len, working.splitlines())) <= 78
    assert "\x00" not in working


def test_a_line_with_numbers_is_never_broken_inside_a_quantity(client, example):
    text = client.post("/v1/density-altitude?working=true&format=text", json=example("density-altitude")).text
    lines = text.partition("\nWorking\n")[2].splitlines()
    units = {unit.split()[0] for unit in UNITS}
    for line in lines:
        assert not line.startswith("         ") or line.split()[0].rstrip(")*+-/^,") not in units, line


def test_numbers_are_also_the_readers(client):
    body = {"elevation": "6150 ft", "qnh": "1016 hPa", "oat": "33 C"}
    for units, unit in (("aviation", "ft"), ("metric", None), ("us", "ft")):
        steps = steps_of(send(client, "density-altitude", body, working="true", units=units))
        (last,) = (step for step in steps if step["quantity"] == "density altitude")
        assert last.get("reader", "").partition(" ")[2] == (unit or "")


def test_a_calibration_ends_in_what_it_reduced(client, example):
    answer = send(client, "calibration", example("calibration"), working="true", units="si")
    blocks = {block.get("observation"): block["steps"] for block in answer["working"]}
    assert list(blocks) == [*(one["name"] for one in answer["observations"]), None]
    for one in answer["observations"]:
        shown = [_si_result(step) for step in blocks[one["name"]]]
        for leaf in (*one["reduced"].values(), one["standard_deviations"]):
            assert any(abs(x - leaf["value"]) <= 6e-5 * abs(leaf["value"]) for x in shown), (one["name"], leaf)
    shown = [_si_result(step) for step in blocks[None]]
    for learned in answer["numbers"]:
        value = learned["after"]["value"]
        assert any(abs(x - value) <= 6e-5 * abs(value) for x in shown), learned


@pytest.mark.parametrize("reading", ["indicated", "calibrated", "true"])
@pytest.mark.parametrize("table", [False, True])
def test_every_way_to_state_an_airspeed_is_reduced(client, example, reading, table):
    body = example("calibration")
    if table:
        body["aircraft"]["airspeed_correction"] = [
            {"indicated": "30 kt", "calibrated": "33 kt"}, {"indicated": "100 kt", "calibrated": "97 kt"}
        ]  # fmt: skip
    for one in body["observations"]:
        for name in ("indicated", "speed"):
            if name in one and one["kind"] in ("climb", "glide"):
                one[reading] = one.pop(name)
    body["observations"][0]["condition"]["dew_point"] = "5 C"
    answer = send(client, "calibration", body, working="true", units="si")
    follow(answer)
    for one, block in zip(answer["observations"], answer["working"], strict=False):
        shown = [_si_result(step) for step in block["steps"]]
        one["reduced"].pop("read", None)  # as it was sent
        for leaf in (*one["reduced"].values(), one["standard_deviations"]):
            assert any(abs(x - leaf["value"]) <= 6e-5 * abs(leaf["value"]) + 1e-9 for x in shown), (one["name"], leaf)


def test_where_nothing_kinks_each_number_is_a_sum_of_pulls(client, example):
    body = example("calibration")
    body["observations"] = [one for one in body["observations"] if one["kind"] in ("stall", "climb", "glide")]
    steps = send(client, "calibration", body, working="true", units="si")["working"][-1]["steps"]
    summed = [step for step in steps if "k_1*r_1" in step["formula"]]
    assert len(summed) > 0.7 * (len(steps) - 1)


def test_a_plan_ends_in_what_each_flight_leaves(client, example):
    answer = send(client, "test-plan", example("test-plan"), working="true", units="si")
    assert answer["flights"]
    for flight, block in zip(answer["flights"], answer["working"], strict=True):
        assert block["flight"] == flight["name"]
        assert _si_result(block["steps"][-1]) == pytest.approx(flight["spread_left"]["value"], rel=6e-5)


SOURCE = Path(working.__file__).parent
DYNAMIC = {  # keys that are put together from parts
    "leg-{axis}": ("leg-e", "leg-n"),
    "heading-{axis}": ("heading-e", "heading-n"),
    "mean-{axis}": ("mean-e", "mean-n"),
    "wind-{axis}": ("wind-E", "wind-N"),
    "pilot-{end}": ("pilot-least", "pilot-greatest"),
    "lighter-{what}": ("lighter-half", "lighter-all"),
    "{letter}-ceiling-ratio": ("a-ceiling-ratio", "v-ceiling-ratio"),
    "way-wind-{way}": ("way-wind-1", "way-wind-2"),
    "way-slope-{way}": ("way-slope-1", "way-slope-2"),
}


def test_a_ratio_may_be_read_as_a_percentage(client, example):
    steps = steps_of(send(client, "density-altitude", example("density-altitude"), working="true", units="ratio:%"))
    (step,) = [step for step in steps if step["formula"].startswith("sigma = ")]
    percentage, _, unit = step["reader"].partition(" ")
    assert unit == "%"
    assert float(percentage) == pytest.approx(100.0 * float(step["result"]), abs=0.05)  # half of its last digit


def test_every_code_has_its_words_and_every_word_its_code():
    text = "".join(path.read_text("utf-8") for path in SOURCE.glob("*.py"))
    keys = set(re.findall(r"(?:\.step|\.found|\.rate)\(\s*f?\"([^\"]+)\"", text))
    keys = {key for found in keys for key in DYNAMIC.get(found, (found,))}
    assert keys <= working_words.STEPS.keys()
    for table in (working_words.STEPS, working_words.SOURCES, working_words.GIVENS):
        unused = {word for word in table if f'"{word}"' not in text and word not in keys}
        assert {
            word
            for word in unused
            if not word.startswith(("stated-", "simpson-", "air-", "tank-", "leg-", "service-", "forward-", "aft-"))
        } <= {f"{part}-{what}" for part in ("load", "item", "change") for what in ("weight", "arm")}


def test_units_are_those_of_the_si():
    assert {*working_words.SI.values()} - {""} <= set(UNITS)


BALANCES = {
    "plain limits": {
        "load": ["318kg@0.33m", "pilot:82kg@0.46m", "fuel:60L*0.72kg/L@0.61m"],
        "forward": "0.36 m",
        "aft": "0.49 m",
        "maximum_weight": "560 kg",
        "ballast_arm": "-0.9 m",
    },
    "below its envelope": {
        "empty": {"weight": "250 kg", "arm": "0.33 m"},
        "envelope": [
            {"weight": "330 kg", "arm": "0.27 m"},
            {"weight": "560 kg", "arm": "0.33 m"},
            {"weight": "560 kg", "arm": "0.49 m"},
            {"weight": "330 kg", "arm": "0.49 m"},
        ],
    },
    "tapered wing": {
        "empty": {"weight": "318 kg", "arm": "0.5 m"},
        "span": "9.6 m",
        "root_chord": "1.6 m",
        "tip_chord": "1.0 m",
        "leading_edge_sweep": "5 deg",
        "root_leading_edge_arm": "0.2 m",
        "forward": "0.3 m",
    },
}


@pytest.mark.parametrize("name", BALANCES)
def test_balances_end_in_their_fields(client, name):
    answer = send(client, "balance", BALANCES[name], working="true", units="si")
    shown = [_si_result(step) for step in follow(answer)]
    for field in ("weight", "cg_arm", "moment", "cg_chord_fraction", "cg_margin", "weight_margin", "envelope_distance"):
        value = answer[field]["value"]
        assert value is None or any(abs(x - value) <= 6e-5 * abs(value) + 1e-9 for x in shown), field


def test_the_documented_balance_is_worked_to_the_last_list(client, example):
    answer = send(client, "balance", example("balance"), working="true", units="si")
    shown = [_si_result(step) for step in follow(answer)]
    places = [
        *(leaf["cg_arm"] for leaf in answer["fuel_burn"]),
        answer["worst_forward"]["cg_arm"],
        answer["worst_aft"]["cg_margin"],
        *(entry["running_arm"] for entry in answer["empty_weight_record"]),
        *(wheel["load"] for wheel in answer["wheel_loads"]),
        *(seat["greatest"] for seat in answer["pilot_weights"]),
    ]
    assert len(places) > 8
    for leaf in places:
        assert any(abs(x - leaf["value"]) <= 6e-5 * abs(leaf["value"]) for x in shown), leaf


def test_the_worst_loadings_margins_are_to_the_limits_that_were_sent(client):
    body = {
        "empty": {"weight": "318 kg", "arm": "0.33 m"},
        "forward": "0.3 m",
        "aft": "0.41 m",
        "stations": [
            {"name": "seats", "arm": "0.46 m", "minimum": "60 kg", "capacity": "180 kg"},
            {"name": "nose bay", "arm": "-0.2 m", "capacity": "15 kg"},
        ],
        "loading": {"seats": "82 kg"},
    }
    answer = send(client, "balance", body, working="true", units="si")
    steps = follow(answer)
    shown = {step["formula"].split(" = ")[0]: _si_result(step) for step in steps}
    forward, aft = answer["worst_forward"], answer["worst_aft"]
    assert forward["cg_margin"]["value"] == pytest.approx(forward["cg_arm"]["value"] - 0.3, abs=1e-12)
    assert aft["cg_margin"]["value"] == pytest.approx(0.41 - aft["cg_arm"]["value"], abs=1e-12)
    assert shown["d_wf"] == pytest.approx(forward["cg_margin"]["value"], abs=1e-6)
    assert shown["d_wa"] == pytest.approx(aft["cg_margin"]["value"], abs=1e-6)


def test_a_searched_ceiling_is_checked_by_the_rate_that_is_left_there(client, example):
    """The step says that a check follows: the rate of climb at the service ceiling is 100 ft/min."""
    body = {name: example("performance")[name] for name in ("aircraft", "loadings", "conditions")}
    body["conditions"] = body["conditions"][:1]
    steps = follow(send(client, "performance", body, working="true", units="si"))
    left = [_si_result(step) for step in steps if step["quantity"] == "check: rate of climb left there"]
    assert left == pytest.approx([0.508] * len(body["loadings"]), abs=2e-5)


def test_both_ceilings_of_a_governed_propeller_are_checked(client):
    body = {
        "aircraft": aeroplane() | {"propeller": CONSTANT_SPEED},
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "3000 ft"}],
    }
    steps = follow(send(client, "performance", body, working="true", units="si"))
    left = sorted(_si_result(step) for step in steps if step["quantity"] == "check: rate of climb left there")
    assert left == pytest.approx([0.0, 0.508], abs=2e-4)
    assert not [step for step in steps if step["formula"] == "q_0 = q_0"]
