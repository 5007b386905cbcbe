"""The rate as arithmetic, against a bucket that is filled and emptied step by step."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from climbwright.web.guard.counts import Counts
from climbwright.web.guard.rates import SECOND, Kept, Rate, charge, read_rate

RATES = st.builds(Rate, st.integers(1, 50), st.integers(1, 100))
STEPS = st.lists(st.tuples(st.integers(0, 40 * SECOND), st.integers(1, 50)), min_size=1, max_size=60)


class Bucket:
    """Holds a quota; what is taken trickles back evenly. An independent way to count the same."""

    def __init__(self, quota, interval):
        self.quota, self.interval, self.level, self.at = quota, interval, Fraction(quota), 0

    def take(self, cost, now):
        self.level = min(Fraction(self.quota), self.level + Fraction(now - self.at, self.interval))
        self.at = now
        if self.level < cost:
            return False
        self.level -= cost
        return True

    def wait(self, cost):
        return (cost - self.level) * self.interval


@given(RATES, STEPS)
def test_a_bucket_lets_in_the_same(rate, steps):
    bucket, counts, now = Bucket(rate.quota, rate.interval), Counts(rate, buckets=1), 1
    bucket.at = now
    for pause, cost in steps:
        now, cost = now + pause, min(cost, rate.quota)
        verdict = counts.take("anybody", cost, now=now)
        assert verdict.admitted == bucket.take(cost, now)
        assert verdict.left == int(bucket.level)
        assert verdict.whole == (rate.quota - bucket.level) * rate.interval
        if not verdict.admitted:
            assert verdict.wait == bucket.wait(cost)
            assert verdict.retry_after * SECOND >= verdict.wait


@given(RATES, STEPS)
def test_who_waits_as_told_is_let_in(rate, steps):
    counts, now = Counts(rate, buckets=1), 0
    for pause, cost in steps:
        now, cost = now + pause // 20, min(cost, rate.quota)
        verdict = counts.take("anybody", cost, now=now)
        if not verdict.admitted:
            assert counts.take("anybody", cost, now=now + verdict.wait - 1).admitted is False
            now += verdict.wait
            assert counts.take("anybody", cost, now=now).admitted


@given(RATES, st.integers(0, 10**15), st.integers(0, 10**15))
def test_a_clock_that_steps_holds_nobody_longer_than_a_window(rate, before, after):
    kept = Kept()
    for _ in range(rate.quota):
        kept, verdict = charge(rate, kept, 1, before)
        assert verdict.admitted
    kept, verdict = charge(rate, kept, 1, after)
    assert verdict.wait <= rate.interval
    assert verdict.whole <= rate.span
    assert charge(rate, kept, rate.quota, after + rate.span)[1].admitted


def test_the_quota_is_there_at_once_and_comes_back_evenly():
    counts = Counts(read_rate("600/minute"), buckets=1)
    assert [counts.take("anybody", 1, now=0).admitted for _ in range(601)] == [True] * 600 + [False]
    assert sum(counts.take("anybody", 1, now=now).admitted for now in range(0, SECOND + 1, 1000)) == 10


@pytest.mark.parametrize("quota", [7, 11, 13, 59, 997, 9999])
def test_a_quota_that_does_not_divide_its_window_is_there_whole(quota):
    counts = Counts(Rate(quota, 60), buckets=1)
    assert sum(counts.take("anybody", 1, now=0).admitted for _ in range(quota + 5)) == quota


def test_a_head_pays_for_the_get_that_follows():
    counts = Counts(Rate(3, 60), buckets=1)

    def cell(question):
        return [counts.take("cell", 1, question, ahead, now=0) for ahead in (True, False)]

    assert [verdict.left for question in (5, 6, 7) for verdict in cell(question)] == [2, 2, 1, 1, 0, 0]
    assert not any(verdict.admitted for verdict in cell(8))


def test_a_head_pays_for_one_get_only_and_for_no_other_question():
    counts = Counts(Rate(10, 60), buckets=1)
    asked = [(5, True), (5, False), (5, False), (6, True), (7, False), (6, False), (6, True), (6, True), (0, False)]
    left = [counts.take("anybody", 1, question, ahead, now=0).left for question, ahead in asked]
    assert left == [9, 9, 8, 7, 6, 6, 5, 4, 3]


@pytest.mark.parametrize(
    ("value", "rate"),
    [
        ("600/minute", Rate(600, 60)),
        ("1/second", Rate(1, 1)),
        ("50/5seconds", Rate(50, 5)),
        ("5000/hour", Rate(5000, 3600)),
        ("100000/day", Rate(100000, 86400)),
    ],
)
def test_a_rate_is_read(value, rate):
    assert read_rate(value) == rate


@pytest.mark.parametrize(
    "value",
    ["600", "0/minute", "-1/minute", "1.5/second", "600/fortnight", "600 / minute", "1/0minutes", "99999/second"],
)
def test_what_is_no_rate_is_refused(value):
    with pytest.raises(ValueError, match=r"must be .*second"):
        read_rate(value)
