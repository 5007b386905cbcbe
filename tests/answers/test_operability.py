"""A season counted: by hand where one can count, hour by hour where one cannot, and what must hold for any season."""

import math
import statistics
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from climbwright.air.condition import Condition
from climbwright.aircraft.description import Aircraft, Drag, Engine, Limits, Mass, Propeller, Stall, Station, Wing
from climbwright.aircraft.loading import Amount, Loading
from climbwright.answers.comparison import perform
from climbwright.answers.fleet import Faults
from climbwright.answers.flying import Climb, Flying, Landing, Strip, TakeOff
from climbwright.answers.operability import JUDGED, LEAST_RATE, MARGINS, operability
from climbwright.answers.season import DAY, YEAR, Season, condition_at, counted
from climbwright.arrays import Measured
from climbwright.refusal import Refusal

from ..invented_weather import year

RPM = np.pi / 30.0
KNOT, FOOT, ELEVATION = 1852.0 / 3600.0, 0.3048, 1875.0
# An invented two-seater of which every number is known
AEROPLANE = Aircraft(
    name="invented",
    wing=Wing(13.4, 9.9, height=1.7),
    empty=Mass(350.0, 0.4),
    limits=Limits(),
    stations=(Station("seats", 0.4),),
    engine=Engine(
        62e3, speed=2700.0 * RPM, reduction=1.0, aspiration="natural", lapse_constant=0.117, power_margin=0.95
    ),
    propeller=Propeller("fixed-pitch", diameter=1.75, best_efficiency=0.71, best_efficiency_speed=42.0),
    drag=Drag(0.6, 0.75, idle_propeller_area=0.08),
    stalls=(
        Stall("clean", speed=20.0, mass=480.0),
        Stall("flap", speed=18.0, mass=480.0, parasite_area_gain=0.11),
    ),
)
LOADING = Loading("two-up", {"seats": Amount(mass=160.0)})
SURE = Strip(length=800.0, slope=0.012, surface="hard-turf", obstacle_height=15.0, rolling_friction=0.06,
             braking_friction=0.3)  # fmt: skip
FLYING = Flying(
    takeoff=TakeOff("clean", rolling_lift_coefficient=0.4),
    landing=Landing("flap", rolling_lift_coefficient=0.4, approach_angle=0.05),
    strip=SURE,
)


def column(numbers):
    return np.array(numbers, dtype=float).reshape(-1, 1, 1)


def season(weather, wind=False):
    """The invented weather in SI, at an invented strip."""
    stamps = np.array(weather.time, dtype="datetime64[h]")
    air = Condition(
        elevation=ELEVATION,
        qnh=100.0 * column(weather.qnh),
        oat=273.15 + column(weather.temperature),
        dew_point=273.15 + column(weather.dew_point),
    )
    if wind:
        direction, speed = np.radians(column(weather.wind_direction)), KNOT * column(weather.wind_speed)
        air = replace(air, wind_direction=direction, wind_speed=speed)
    months = stamps.astype("datetime64[M]").astype(int) % 12 + 1
    hours = (stamps - stamps.astype("datetime64[D]")).astype(int)
    return Season(weather.time, months, hours, air, Faults(len(stamps)))


def scattered(count, seed=7):
    """Hours scattered over the year."""
    return np.sort(np.random.default_rng(seed).choice(8760, count, replace=False)).tolist()


def of(strip=None, aircraft=AEROPLANE, hours=None, flying=FLYING, **more):
    weather = year() if hours is None else year().at(hours)
    told = replace(flying, strip=replace(flying.strip, **strip)) if strip else flying
    return operability(aircraft, LOADING, season(weather), told, **more)


def test_counting_by_hand():
    # five hours: two of one place, of which one is not known
    faults = Faults(5)
    faults.add([1], "/weather/temperature", "missing")
    when = np.array([1, 1, 1, 7, 12]), np.array([0, 0, 23, 14, 23])
    one = Season([str(i) for i in range(5)], *when, Condition(), faults)
    good = np.array([[1, 1, 0, 1, 0]], dtype=bool)
    worse, better = np.array([[0, 1, 0, 1, 0]], dtype=bool), np.array([[1, 1, 1, 1, 0]], dtype=bool)
    tally = counted(one, good, worse, better)
    assert tally.hours.shape == tally.known.shape == (YEAR, DAY)
    assert (tally.hours[0, 0], tally.known[0, 0], tally.good[0, 0, 0]) == (2, 1, 1)
    assert tally.hours.sum() == 5
    assert tally.known.sum() == 4
    whole = tally.summed(-2, -1)
    assert whole.share.tolist() == [2 / 4]
    assert [end.tolist() for end in whole.ends] == [[1 / 4], [3 / 4]]
    assert whole.spread.tolist() == [(3 - 1) / 2 / 4]
    months, of_day = tally.summed(-1), tally.summed(-2)
    assert months.good[0].tolist() == [1, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0]
    assert of_day.known[[0, 14, 23]].tolist() == [1, 1, 2]
    assert np.isnan(months.share[0, 1])


def test_hour_by_hour():
    # each hour of a sample asked on its own, as one aeroplane, and judged here
    hours = scattered(60)
    found, one = of(hours=hours), season(year().at(hours))
    counts, narrowest, worst = dict.fromkeys(JUDGED, 0), dict.fromkeys(MARGINS, 0), []
    for i, time in enumerate(one.times):
        answer = perform(AEROPLANE, [LOADING], [condition_at(one, i, time)], FLYING, draws=0)
        at = {name: float(answer.values.value[k, 0, 0, 0]) for k, name in enumerate(answer.names)}
        takeoff = max(at["takeoff_margin"], at["takeoff_margin_reversed"])
        landing = max(at["landing_margin"], at["landing_margin_reversed"])
        holds = {
            "climb": at["best_climb_rate"] >= 300.0 * FOOT / 60.0,
            "takeoff": takeoff >= 0,
            "landing": landing >= 0,
        }
        for name in (*(name for name in MARGINS if holds[name]), *(["all"] if all(holds.values()) else [])):
            counts[name] += 1
        over = {
            "climb": (at["best_climb_rate"] - LEAST_RATE) / LEAST_RATE,
            "takeoff": takeoff / (SURE.length - takeoff),
            "landing": landing / (SURE.length - landing),
        }
        narrowest[min(over, key=over.get)] += 1
        worst.append((min(over.values()), time))
    whole = found.tally.summed(-2, -1)
    assert dict(zip(JUDGED, whole.good.tolist(), strict=True)) == counts
    assert 0 < counts["all"] < 60  # the sample has both
    assert dict(zip(MARGINS, found.narrowest.tolist(), strict=True)) == narrowest
    worst.sort()
    assert [one.time for one in found.limiting] == [time for _, time in worst[:24]]
    for hour, (margin, _) in zip(found.limiting, worst, strict=False):
        assert hour.margin == pytest.approx(margin, rel=1e-9, abs=1e-12)
        assert hour.holds == (margin >= 0.0)


def test_a_year_is_its_months_and_its_hours():
    tally = of(climb_rate=2.6).tally
    whole = tally.summed(-2, -1)
    assert whole.hours == 8760
    for parts in (tally.summed(-1), tally.summed(-2)):
        for i in range(len(JUDGED)):
            weighted = (parts.share[i] * parts.known).sum() / parts.known.sum()
            assert weighted == pytest.approx(whole.share[i], rel=1e-12)
    days = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    assert (tally.hours == days[:, None]).all()
    assert 0.0 < whole.share[-1] < whole.share[:3].min() + 1e-12


@pytest.mark.parametrize("way", [{}, {"one_way": True}], ids=["two ways", "one way"])
def test_a_longer_strip_and_a_stronger_engine_never_lower_a_share(way):
    hours = scattered(700, 11)
    lengths = [of({"length": length, **way}, hours=hours).tally for length in (450.0, 700.0, 800.0, 900.0, 1200.0)]
    for shorter, longer in pairwise(lengths):
        assert (longer.good[1:3] >= shorter.good[1:3]).all()
        assert (longer.good[0] == shorter.good[0]).all()
    assert lengths[0].good[1].sum() < lengths[-1].good[1].sum()
    engines = [
        of(way, replace(AEROPLANE, engine=replace(AEROPLANE.engine, power=power)), hours, climb_rate=3.0).tally
        for power in (50e3, 58e3, 62e3, 66e3, 90e3)
    ]
    for weaker, stronger in pairwise(engines):
        assert (stronger.good[0] >= weaker.good[0]).all()
        assert (stronger.good[1] >= weaker.good[1]).all()
    assert engines[0].good[0].sum() < engines[-1].good[0].sum()
    rates = [of(way, hours=hours, climb_rate=rate).tally.good[0].sum() for rate in (0.1, 2.5, 3.0, 3.5, 30.0)]
    assert rates == sorted(rates, reverse=True)
    assert rates[0] > rates[-1] == 0


def test_two_ways_are_as_good_as_the_better_of_them():
    hours = scattered(500, 3)
    both = operability(AEROPLANE, LOADING, season(year().at(hours), wind=True), steep(heading=np.radians(200.0)))
    whole = both.tally.summed(-2, -1)
    for i in range(2):  # take-off and landing
        assert whole.good[1 + i] >= both.ways[:, i].max()
    assert whole.good[1] > both.ways[:, 0].max()  # the wind makes one way the better today and the other tomorrow
    one_way = operability(
        AEROPLANE, LOADING, season(year().at(hours), wind=True), steep(heading=np.radians(200.0), one_way=True)
    )
    # a one-way strip is left as stated and landed on against that
    alone = one_way.tally.summed(-2, -1).good
    assert one_way.ways is None
    assert alone[1] == both.ways[0, 0]
    assert alone[2] == both.ways[1, 1]


def steep(**strip):
    return replace(FLYING, strip=replace(SURE, length=790.0, slope=-0.01, **strip))


def test_turning_the_strip_round_changes_nothing():
    hours = scattered(300, 5)
    one = operability(AEROPLANE, LOADING, season(year().at(hours), wind=True), steep(heading=np.radians(20.0)))
    other = replace(FLYING, strip=replace(steep().strip, slope=0.01, heading=np.radians(200.0)))
    turned = operability(AEROPLANE, LOADING, season(year().at(hours), wind=True), other)
    assert (one.tally.good == turned.tally.good).all()
    assert (one.ways == turned.ways[::-1]).all()
    assert [hour.time for hour in one.limiting] == [hour.time for hour in turned.limiting]


def test_hours_in_another_order_count_the_same():
    hours = scattered(200, 9)
    one, other = of(hours=hours), of(hours=hours[::-1])
    assert (one.tally.good == other.tally.good).all()
    assert (one.narrowest == other.narrowest).all()
    assert {hour.time for hour in one.limiting} == {hour.time for hour in other.limiting}


def test_the_spread_is_that_of_an_aeroplane_a_little_weaker_and_stronger():
    # the power alone is uncertain: the season of the aeroplane with so much less, and more, of it
    engine = AEROPLANE.engine

    def with_margin(margin):
        return of(aircraft=replace(AEROPLANE, engine=replace(engine, power_margin=margin)), climb_rate=2.9)

    unsure = with_margin(Measured(0.95, 0.02)).tally.summed(-2, -1)
    weak, strong = (with_margin(0.95 + step).tally.summed(-2, -1) for step in (-0.02, 0.02))
    sure = with_margin(0.95).tally.summed(-2, -1)
    assert (unsure.good == sure.good).all()
    assert (sure.spread == 0.0).all()
    for i in (0, 1, 3):
        assert unsure.ends[0][i] == pytest.approx(weak.share[i], abs=0.01)  # what a straight line leaves out
        assert unsure.ends[1][i] == pytest.approx(strong.share[i], abs=0.01)
        assert unsure.spread[i] == pytest.approx(0.5 * (strong.share[i] - weak.share[i]), abs=0.01)
    assert unsure.spread[0] > 0.05


def test_an_aeroplane_that_cannot_leave():
    weak = replace(AEROPLANE, engine=replace(AEROPLANE.engine, power=9e3))
    found = of(aircraft=weak, hours=scattered(50))
    whole = found.tally.summed(-2, -1)
    assert whole.known == 50
    assert whole.good[[0, 1, 3]].tolist() == [0, 0, 0]
    assert whole.good[2] > 0
    first = found.limiting[0]
    assert np.isnan(first.values[1])
    assert first.margin <= -1.0
    assert {"does-not-move", "no-climb"} <= {caution.code for caution in found.cautions} | {"does-not-lift-off"}


def test_hours_that_cannot_be_done_are_told_by_the_thinnest_air():
    # in deep sand no hour can be flown, and all are as far from it: take-off -1, whatever the hour
    stuck = of({"rolling_friction": 0.45, "length": 3000.0}, hours=scattered(80), climb_rate=0.05)
    assert all(np.isnan(hour.values[1]) and hour.margin == -1.0 for hour in stuck.limiting)
    altitudes = [hour.density_altitude for hour in stuck.limiting]
    assert altitudes == sorted(altitudes, reverse=True)


def test_a_climb_as_asked_is_judged_in_place_of_the_best():
    hours = scattered(40)
    speed = 31.0
    found = of(hours=hours, flying=replace(FLYING, climb=Climb(speed=speed, configuration="flap")), climb_rate=2.0)
    one, count = season(year().at(hours)), 0
    flown = replace(FLYING, climb=Climb(speed=speed, configuration="flap"))
    for i in range(40):
        answer = perform(AEROPLANE, [LOADING], [condition_at(one, i, "x")], flown, ["climb_rate_at_speed"], draws=0)
        count += float(answer.values.value[answer.names.index("climb_rate_at_speed"), 0, 0, 0]) >= 2.0
    assert found.tally.summed(-2, -1).good[0] == count
    assert 0 < count < 40


def test_unknown_hours_are_neither_good_nor_bad():
    hours = scattered(100)
    one = season(year().at(hours))
    one.faults.add([3, 4], "/weather/qnh", "missing")
    one.air.qnh[[3, 4]] = np.nan
    damp = one.air.dew_point
    damp[[7, 4]] = one.air.oat[[7, 4]] + 0.1
    found = operability(AEROPLANE, LOADING, one, FLYING)
    rest = of(hours=[hour for i, hour in enumerate(hours) if i not in (3, 4, 7)])
    whole, other = (answer.tally.summed(-2, -1) for answer in (found, rest))
    assert (whole.hours, whole.known, other.known) == (100, 97, 97)
    assert (whole.good == other.good).all()
    assert (found.tally.known == rest.tally.known).all()
    assert found.narrowest.tolist() == rest.narrowest.tolist()
    assert found.ways.tolist() == rest.ways.tolist()
    assert found.ways.min() > 0
    assert [hour.time for hour in found.limiting] == [hour.time for hour in rest.limiting]
    np.testing.assert_array_equal(found.density_altitude, rest.density_altitude)
    told = {(reason.where, reason.hours, reason.first) for reason in found.unknown}
    assert told == {("/weather/qnh", 2, one.times[3]), ("/weather/dew_point", 1, one.times[7])}


def test_many_faults_are_told_together():
    hours = scattered(60)
    one = season(year().at(hours))
    for i in range(30):
        one.faults.add([i], "/weather/qnh", f"fault {i}")
    found = operability(AEROPLANE, LOADING, one, FLYING)
    assert sum(reason.hours for reason in found.unknown) == 30
    assert len(found.unknown) == 21
    assert found.unknown[-1].message == "10 other faults"
    assert found.tally.summed(-2, -1).known == 30


def test_nothing_known_is_refused_by_what_is_wrong():
    one = season(year().at(scattered(10)))
    one.air.dew_point[...] = one.air.oat + 2.0
    with pytest.raises(Refusal, match="no hour of the season can be answered: the dew point is above") as refusal:
        operability(AEROPLANE, LOADING, one, FLYING)
    assert refusal.value.where == "/weather/dew_point"


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"loading": Loading("x", {"float": Amount(mass=1.0)})}, "/loading/stations/float"),
        ({"aircraft": replace(AEROPLANE, empty=Mass(-900.0, 0.4))}, "/aircraft/empty/weight"),
        ({"flying": replace(FLYING, takeoff=TakeOff("drooped"))}, "/takeoff/configuration"),
    ],
)
def test_a_refusal_points_into_the_request(change, where):
    asked = {"aircraft": AEROPLANE, "loading": LOADING, "flying": FLYING} | change
    with pytest.raises(Refusal) as refusal:
        operability(asked["aircraft"], asked["loading"], season(year().at([0, 1])), asked["flying"])
    assert refusal.value.where == where


def density_altitude(qnh, temperature, dew_point):
    """By hand: ISO 2533 below 11 km solved for the altitude, vapour by WMO-No. 8, annex 4.B (17.62 and 243.12)."""
    g, r, lapse, t0, p0 = 9.80665, 287.05287, 0.0065, 288.15, 101325.0
    steps = g / (r * lapse)
    pressure = p0 * ((100.0 * qnh / p0) ** (1.0 / steps) - lapse * ELEVATION / t0) ** steps
    vapour = 611.2 * math.exp(17.62 * dew_point / (243.12 + dew_point))
    kelvin = 273.15 + temperature
    density = (pressure - vapour) / (r * kelvin) + vapour / (461.52 * kelvin)
    return t0 / lapse * (1.0 - (density * r * t0 / p0) ** (1.0 / (steps - 1.0)))


def test_density_altitude_of_each_month():
    found, weather = of(), year()
    hours = zip(weather.time, weather.qnh, weather.temperature, weather.dew_point, strict=True)
    by_month = {}
    for time, *air in hours:
        by_month.setdefault(int(time[5:7]), []).append(density_altitude(*air))
    for month, altitudes in by_month.items():
        told = statistics.median(altitudes), max(altitudes)
        assert found.density_altitude[:, month - 1] == pytest.approx(told, abs=1.0)  # WMO's own digits of the vapour
    july = operability(AEROPLANE, LOADING, season(weather.at(range(4344, 5088))), FLYING)
    assert np.isnan(july.density_altitude[:, [0, 5, 7, 11]]).all()
    assert july.density_altitude[:, 6] == pytest.approx(found.density_altitude[:, 6], rel=1e-12)


def test_what_is_assumed_and_cautioned():
    found = of(hours=scattered(400))
    codes = [caution.code for caution in found.cautions]
    assert len(set(codes)) == len(codes)
    assert {"estimate", "stall-power-off", "runway-estimate", "season-as-sent"} <= set(codes)
    assert all(not caution.where.startswith(("/conditions", "/loadings")) for caution in found.cautions)
    places = {item.where: item for item in found.assumed}
    assert places["/climb_rate"].value == LEAST_RATE == pytest.approx(300.0 * FOOT / 60.0)
    assert "/strip/one_way" in places
    assert "/weather/headwind" in places
    assert "/climb_rate" not in {item.where for item in of(hours=[0], climb_rate=2.0).assumed}
    assert "/strip/one_way" not in {item.where for item in of({"one_way": True}, hours=[0]).assumed}


def test_an_hours_own_cautions_are_told_once_with_their_number():
    hours = scattered(400)
    found, weather = of(hours=hours), year().at(hours)
    (hot,) = [caution for caution in found.cautions if caution.code == "fuel-vapour"]  # 30 C and warmer
    warm = [t for t in weather.temperature if t >= 30.0]
    assert hot.values["value"] == (pytest.approx(max(warm) + 273.15), "temperature")
    assert hot.values["condition"].endswith(f"(the worst of {len(warm)} such hours)")
    assert hot.where == "/weather"


def test_a_strong_crosswind_is_told():
    hours = scattered(400)
    weather = year().at(hours)
    heading = np.radians(90.0)
    found = operability(AEROPLANE, LOADING, season(weather, wind=True), steep(heading=heading))
    across = [
        abs(speed * np.sin(np.radians(direction) - heading))
        for speed, direction in zip(weather.wind_speed, weather.wind_direction, strict=True)
    ]
    strong = [one for one in across if one * KNOT > 0.2 * 20.0 * np.sqrt(510.0 / 480.0)]  # a fifth of the stall speed
    (told,) = [caution for caution in found.cautions if caution.code == "crosswind-strong"]
    assert told.values["value"] == (pytest.approx(max(strong) * KNOT), "speed")
    assert f"(the worst of {len(strong)} such hours)" in told.values["condition"]


def test_the_working_is_that_of_the_hour_that_limits_most():
    hours = scattered(30)
    found = of(hours=hours, working=True)
    assert found.full.conditions == [found.limiting[0].time]
    assert found.full.working
    margins = {name: found.full.values.value[k, 0, 0, 0] for k, name in enumerate(found.full.names)}
    assert max(margins["takeoff_margin"], margins["takeoff_margin_reversed"]) == pytest.approx(
        found.limiting[0].values[1], rel=1e-9
    )
    assert of(hours=hours).full.working is None
