"""Days in a row with their gaps: cut, joined and summed, and never filled."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.season import warmth, weather_days
from graftbook.season.weather_days import DailySeries

START = date(2027, 3, 1)
values = st.lists(st.none() | st.integers(0, 200).map(lambda tenths: tenths / 10), min_size=1, max_size=60)


def days_of(lows, highs=None, first=START):
    held = [np.array([np.nan if value is None else value for value in side], float) for side in (lows, highs or lows)]
    return DailySeries(first, *held)


def test_days_outside_what_is_held_are_gaps():
    part = days_of([1, 2, 3]).between(START - timedelta(days=2), START + timedelta(days=4))
    assert [False, False, True, True, True, False, False] == part.known().tolist()
    gaps = ((date(2027, 2, 27), date(2027, 2, 28)), (date(2027, 3, 4), date(2027, 3, 5)))
    assert gaps == part.gaps()


def test_a_day_with_one_of_its_two_temperatures_is_a_gap():
    days = DailySeries(START, np.array([1.0, np.nan, 3.0]), np.array([np.nan, 9.0, 9.0]))
    assert ((START, START + timedelta(days=1)),) == days.gaps()
    assert (START + timedelta(days=2), 1) == (days.trimmed().first, len(days.trimmed()))


def test_an_end_before_the_beginning_has_no_days():
    assert 0 == len(days_of([1, 2]).between(START, START - timedelta(days=5)))
    assert 0 == len(days_of([None, None]).trimmed())


def test_joined_parts_leave_gaps_between_and_the_later_part_stands():
    found = weather_days.joined(
        [
            days_of([1, 1, 1]),
            days_of([5, 5], first=START + timedelta(days=2)),
            days_of([9], first=START + timedelta(days=6)),
        ]
    )
    assert [1, 1, 5, 5, None, None, 9] == [None if value != value else value for value in found.low.tolist()]
    with pytest.raises(ValueError, match="no days"):
        weather_days.joined([])


@given(values, st.integers(-5, 65), st.integers(-5, 65))
def test_running_sums_are_the_plain_sum_of_any_stretch_with_its_gaps(lows, begin, length):
    days, since = days_of(lows), START + timedelta(days=begin)
    until = since + timedelta(days=length)
    inside = [lows[at] if 0 <= at < len(lows) else None for at in range(begin, begin + length + 1)]
    sums = weather_days.running_sums(days.first, days.low)
    total, missing = sums.many([since.toordinal()], [until.toordinal()])[0]
    assert sum(value for value in inside if value is not None) == pytest.approx(total)
    assert sum(value is None for value in inside) == missing


@given(values, st.integers(0, 59), st.integers(1, 300))
def test_a_sum_is_reached_on_the_first_day_that_completes_it(lows, begin, amount):
    since = START + timedelta(days=min(begin, len(lows) - 1))
    sums = weather_days.running_sums(START, days_of(lows).low)
    found = sums.reached(since, amount)
    running, expected = 0.0, None
    for at in range((since - START).days, len(lows)):
        running += lows[at] or 0.0
        if running >= amount - 1e-9:
            expected = START + timedelta(days=at)
            break
    assert expected == found


def test_a_missing_month_stands_beside_the_sum():
    lows = [10.0] * 31 + [None] * 30 + [10.0] * 31
    found = warmth.warmth(days_of(lows), START, date(2027, 5, 31), 5.0)
    assert (62 * 5.0, 62, 30) == (found.degree_days, found.known, found.missing)
    assert ((date(2027, 4, 1), date(2027, 4, 30)),) == found.gaps


def test_a_leap_day_is_a_day_like_another():
    year = weather_days.year_series(2028, " ".join(["10"] * 366), " ".join(["10"] * 366))
    assert 366 * 5.0 == warmth.warmth(year, date(2028, 1, 1), date(2028, 12, 31), 5.0).degree_days
    assert 2 * 5.0 == warmth.warmth(year, date(2028, 2, 28), date(2028, 2, 29), 5.0).degree_days


def test_the_days_on_which_clocks_change_have_twenty_four_hours():
    days = weather_days.constant_series(date(2027, 3, 27), date(2027, 3, 29), 15, 15)
    assert 72 == warmth.band_hours(days, date(2027, 3, 27), date(2027, 3, 29), 13, 18).inside


def test_hours_below_inside_and_above_are_those_of_the_known_days():
    days = days_of([0, None, 20], [10, None, 20])
    found = warmth.band_hours(days, START, START + timedelta(days=2), 5, 18)
    assert (12, 12, 24, 2, 1) == pytest.approx((found.below, found.inside, found.above, found.known, found.missing))


@given(st.lists(st.none() | st.integers(-9000, 6000).map(lambda part: part / 100), min_size=365, max_size=365))
def test_a_year_written_as_text_is_read_back_the_same(year):
    text = weather_days.series_text(year)
    found = weather_days.year_series(2027, text, text)
    assert year == [None if value != value else value for value in found.low.tolist()]
    assert len(text) <= 4000
