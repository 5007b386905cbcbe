"""The textbook propeller aeroplane and the climb conversions through HTTP."""

import math

import pytest

from ..asking import COMPANIONS, ask, near, rows, send

# Anderson, Introduction to Flight, ch. 6 (inputs seen): span 35.8 ft, 174 ft2, 2950 lb, 230 hp, CD0 0.025, e 0.8,
# efficiency 0.8. The textbook knows no floor of the climb speed at 1.2 stall speeds, so a stall speed low enough
# not to bind is given: 20 kt, whose 1.2 times is 24 kt and every speed below is above 65 kt.
BOOK = "Anderson, Introduction to Flight, ch. 6"
PROPORTIONAL, FORM_2 = "0", "0.117"
AEROPLANE = {
    "name": "the textbook's propeller aeroplane",
    "wing": {"area": "174 ft2", "span": "35.8 ft"},
    "empty": {"weight": "2950 lb", "arm": "0 m"},
    "propeller": {"kind": "constant-efficiency", "efficiency": 0.8},
    "drag": {"parasite_area": {"value": 174 * 0.025, "unit": "ft2"}, "span_efficiency": 0.8},
    "stalls": [{"configuration": "low enough not to bind", "speed": "20 kt", "weight": "2950 lb"}],
}
UNITS = "us,speed:ft/s"


def performance(client, lapse, *altitudes, **more):
    body = {
        "aircraft": AEROPLANE | {"engine": {"power": "230 hp", "lapse_constant": lapse, "power_margin": 1}},
        "loadings": [{"name": "as it is", "stations": {}}],
        "conditions": [{"name": f"{ft} ft", "density_altitude": f"{ft} ft"} for ft in altitudes],
    } | more
    answer = send(client, "performance", body, units=UNITS)
    return [result["measures"] for result in answer["results"]]


# id, lapse, altitude [ft], measure, expected, tolerance, source, seen or memory
CASES = [
    ("TXT-06", PROPORTIONAL, 0, "best_climb_speed_calibrated", 110.0, 0.1, "closed form: speed of least power",
     "derived"),
    ("TXT-07", PROPORTIONAL, 0, "greatest_level_speed_true", 261.6, 0.1, f"{BOOK}, exact; its graph reads 265",
     "derived"),
    ("TXT-08", PROPORTIONAL, 0, "best_climb_rate", 1494, 5, BOOK, "memory"),
    ("TXT-08", FORM_2, 0, "best_climb_rate", 1498, 5, f"{BOOK}, exact", "derived"),
    ("TXT-09", PROPORTIONAL, 5000, "best_climb_rate", 1170, 1, "closed form on ISA", "derived"),
    ("TXT-09", PROPORTIONAL, 10_000, "best_climb_rate", 868, 1, "closed form on ISA", "derived"),
    ("TXT-09", PROPORTIONAL, 20_000, "best_climb_rate", 329, 1, "closed form on ISA", "derived"),
    ("TXT-09", FORM_2, 5000, "best_climb_rate", 1132, 1, "closed form on ISA", "derived"),
    ("TXT-09", FORM_2, 10_000, "best_climb_rate", 797, 1, "closed form on ISA", "derived"),
    ("TXT-09", FORM_2, 20_000, "best_climb_rate", 202, 1, "closed form on ISA", "derived"),
    ("TXT-10", PROPORTIONAL, 0, "absolute_ceiling", 26_820, 20, f"{BOOK}, exact", "derived"),
    ("TXT-10", PROPORTIONAL, 0, "service_ceiling", 24_690, 20, f"{BOOK}, exact", "derived"),
    ("TXT-10", PROPORTIONAL, 0, "absolute_ceiling", 27_000, 350, BOOK, "memory"),
    ("TXT-10", PROPORTIONAL, 0, "service_ceiling", 25_000, 350, BOOK, "memory"),
    ("TXT-10", FORM_2, 0, "absolute_ceiling", 23_750, 20, f"{BOOK}, exact", "derived"),
    ("TXT-10", FORM_2, 0, "service_ceiling", 21_870, 20, f"{BOOK}, exact", "derived"),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=[f"{i}-{case[0]}-{case[3]}" for i, case in enumerate(CASES)])
def test_textbook_aeroplane(client, case):
    _, lapse, altitude, measure, expected, tolerance, source, _ = case
    (measures,) = performance(client, lapse, altitude)
    assert near(measures[measure]["value"], expected, tolerance), (measures[measure], source)


CLIMB = rows(COMPANIONS / "textbook_prop_climb.csv")


@pytest.mark.parametrize("row", CLIMB, ids=[f"{row['H_ft']}ft" for row in CLIMB])
@pytest.mark.parametrize(
    ("lapse", "column"), [(PROPORTIONAL, "ROC_fpm_power_prop_sigma"), (FORM_2, "ROC_fpm_power_gagg_farrar")]
)
def test_textbook_climb_table(client, row, lapse, column):
    # Companion table of TXT-09 (closed form on ISA, derived): 1 ft/min, and 0.1 ft/s for the true speed of TXT-06
    (measures,) = performance(client, lapse, row["H_ft"])
    assert near(measures["best_climb_rate"]["value"], float(row[column]), 1.0)
    query = {
        "calibrated": f"{measures['best_climb_speed_calibrated']['value']!r} ft/s",
        "density_altitude": f"{row['H_ft']} ft",
    }
    true = ask(client, "airspeed", query, units=UNITS)["true"]["value"]
    assert near(true, float(row["Vy_ft_s_TAS"]), 0.1)


def test_the_same_by_climb_estimate(client):
    # TXT-08 (memory; exact 1498) and TXT-09 with power proportional to density, 5 and 1 ft/min
    for altitude, expected, tolerance in (("0 ft", 1498, 5), ("10000 ft", 868, 1)):
        query = {
            "power": "230 hp",
            "weight": "2950 lb",
            "span": "35.8 ft",
            "wing_area": "174 ft2",
            "parasite_area": "4.35 ft2",
            "span_efficiency": "0.8",
            "efficiency": "0.8",
            "power_margin": "1",
            "lapse_constant": "0",
            "stall_speed": "20 kt",
            "density_altitude": altitude,
        }
        answer = ask(client, "climb-estimate", query, units=UNITS)
        assert near(answer["best_climb_rate"]["value"], expected, tolerance)


def _rate_of_excess(client, excess, weight, speed, units):
    """Climb gained by more thrust power: the drag at one speed is the same, so that only the excess is left."""
    rates = []
    for thrust_power in (excess, 2.0 * excess):
        body = {
            "aircraft": AEROPLANE
            | {
                "empty": {"weight": weight, "arm": "0 m"},
                "engine": {
                    "power": {"value": thrust_power / 0.8, "unit": "hp"},
                    "lapse_constant": 0,
                    "power_margin": 1,
                },
            },
            "loadings": [{"name": "as it is", "stations": {}}],
            "conditions": [{"name": "sea level", "density_altitude": "0 ft"}],
            "climb": {"speed": speed},
        }
        answer = send(client, "performance", body, units=units)
        rates.append(answer["results"][0]["measures"]["climb_rate_at_speed"]["value"])
    return rates[1] - rates[0]


@pytest.mark.parametrize(
    ("excess", "weight", "speed", "units", "expected", "tolerance"),
    [
        (120, "3000 lb", "85 kt", "si", 6.7, 0.05),  # CLB-01, university physics class exercise (seen)
        (120, "3000 lb", "85 kt", "us", 1320, 0.05 / 0.00508),  # the same
        (20, "1320 lb", "60 kt", "us", 500, 1e-6),  # CLB-02, ROC = 33 000 excess thp / W, definition (derived)
    ],
)
def test_rate_of_excess_power(client, excess, weight, speed, units, expected, tolerance):
    assert near(_rate_of_excess(client, excess, weight, speed, units), expected, tolerance)


def test_angle_and_gradient_of_a_climb(client):
    # CLB-01 and CLB-06 (definition): the sine of the angle is rate over true airspeed; 1320 ft/min at 85 kt is 8.8
    # degrees (0.05), 700 ft/min at 75 kt 5.29 (0.01). The answer's own angle must follow from its rate and speed so.
    assert near(math.degrees(math.asin(6.7056 / (85 * 1852 / 3600))), 8.8, 0.05)
    (measures,) = performance(client, FORM_2, 0)
    speed = measures["best_angle_speed_calibrated"]
    (asked,) = performance(client, FORM_2, 0, climb={"speed": speed})
    sine = asked["climb_rate_at_speed"]["value"] / 60.0 / speed["value"]
    assert near(measures["best_angle"]["value"], math.degrees(math.asin(sine)), 0.001)
    assert near(measures["climb_gradient"]["value"], math.tan(math.radians(measures["best_angle"]["value"])), 1e-6)


@pytest.mark.parametrize(
    ("arm", "percent"),
    # STL-08: wing a.c. at 25 %, chord 1.5 m, tail arm 4.5 m; CG at 15 % and 30 % (Perkins & Hage; Hurt; derived)
    [("0.225 m", 1.65), ("0.450 m", -0.84)],
)
def test_cg_moves_the_stall(client, arm, percent):
    body = {
        "aircraft": AEROPLANE
        | {
            "wing": {"area": "16 m2", "span": "10 m", "chord": "1.5 m", "leading_edge_arm": "0 m"},
            "empty": {"weight": "600 kg", "arm": arm},
            "engine": {"power": "100 hp", "lapse_constant": 0, "power_margin": 1},
            "stalls": [{"configuration": "clean", "speed": "40 kt", "weight": "600 kg", "arm": "0.375 m"}],
            "tail_arm": "4.5 m",
        },
        "loadings": [{"name": "as it is", "stations": {}}],
        "conditions": [{"name": "sea level", "density_altitude": "0 ft"}],
    }
    measures = send(client, "performance", body)["results"][0]["measures"]
    assert near(100.0 * (measures["stall_speed_calibrated"]["value"] / 40.0 - 1.0), percent, 0.02)
