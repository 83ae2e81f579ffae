"""Hourly curves and chill: curves keep the day's extremes, gaps stay gaps, and daylength is that of the almanac."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.season import chill, hourly
from graftbook.season.weather_days import DailySeries, constant_series

NEW_YEAR = date(2027, 1, 1)


def test_the_length_of_day_is_that_of_the_almanac():
    """Sunrise to sunset at 40 N: 15 h 1 min at midsummer, 9 h 20 min at midwinter; at the equator 12 h 7 min (from memory of
    the United States Naval Observatory's tables)."""
    assert [15.02, 9.33] == pytest.approx(hourly.daylength(40, np.array([172, 355])).tolist(), abs=0.03)
    assert 12.11 == pytest.approx(float(hourly.daylength(0, np.array([80]))[0]), abs=0.02)


def test_north_and_south_have_their_long_days_half_a_year_apart():
    north, south = (hourly.daylength(at, np.array([172, 355])) for at in (50, -50))
    assert north[0] == pytest.approx(south[1], abs=0.1)
    assert north[0] > 16 > 8.5 > north[1]


def test_beyond_the_polar_circle_the_sun_does_not_set_or_does_not_rise():
    assert [24, 0] == hourly.daylength(80, np.array([172, 355])).tolist()
    with pytest.raises(UsageProblem, match="latitude"):
        hourly.daylength(91, np.array([1]))


@given(st.lists(st.tuples(st.integers(-20, 15), st.integers(0, 20)), min_size=3, max_size=8), st.integers(-89, 89))
def test_the_hours_of_a_day_stay_within_its_extremes_and_those_beside_it(days, latitude):
    low = np.array([float(day[0]) for day in days])
    high = low + np.array([float(day[1]) for day in days])
    hours = hourly.hourly_temperatures(DailySeries(NEW_YEAR, low, high), latitude)
    assert 24 * len(days) == len(hours)
    assert not np.isnan(hours).any()
    assert low.min() - 1e-9 <= hours.min() <= hours.max() <= high.max() + 1e-9


def test_the_curve_is_coldest_at_sunrise_and_warmest_after_noon():
    hours = hourly.hourly_temperatures(DailySeries(NEW_YEAR, np.array([2.0] * 3), np.array([12.0] * 3)), 50).reshape(
        3, 24
    )[1]
    assert int(hours.argmin()) in (7, 8)
    assert 14 == int(hours.argmax())
    assert (2, 12) == pytest.approx((hours.min(), hours.max()), abs=0.25)


def test_a_missing_day_is_missing_in_every_hour_and_its_neighbours_are_whole():
    days = DailySeries(NEW_YEAR, np.array([1.0, np.nan, 3.0]), np.array([9.0, 8.0, 5.0]))
    hours = hourly.hourly_temperatures(days, 52).reshape(3, 24)
    assert [0, 24, 0] == np.isnan(hours).sum(axis=1).tolist()
    assert 0 == len(hourly.hourly_temperatures(DailySeries(NEW_YEAR, np.empty(0), np.empty(0)), 52))


def test_a_place_kept_at_one_temperature_has_it_every_hour():
    hours = hourly.hourly_temperatures(constant_series(NEW_YEAR, NEW_YEAR + timedelta(days=9), 4, 4), 52)
    assert {4.0} == set(hours.tolist())
    assert 240 == int(chill.chilling_hours(hours).sum())


def test_gaps_add_no_chill_and_the_dynamic_model_goes_on_where_it_stood():
    hours = np.full(200, 6.0)
    broken = np.concatenate((hours[:100], np.full(50, np.nan), hours[100:]))
    for counted in (chill.chilling_hours, chill.utah_units, chill.chill_portions, chill.growing_degree_hours):
        assert np.nansum(counted(hours)) == pytest.approx(np.nansum(counted(broken)))
        assert 50 == int(np.isnan(counted(broken)).sum())


def test_warm_hours_undo_what_the_dynamic_model_has_not_fixed_yet():
    cold = np.full(20, 6.0)
    kept = np.nansum(chill.chill_portions(np.tile(cold, 10)))
    broken = np.nansum(chill.chill_portions(np.tile(np.concatenate((cold, np.full(8, 24.0))), 10)))
    assert broken < kept * 0.6
    assert 0 == chill.chill_portions(np.full(25, 6.0)).sum()


def test_the_two_counts_of_chilling_hours_differ_in_frost():
    hours = np.array([-5.0, 0.0, 7.1, 7.2, 8.0])
    assert [0, 1, 1, 1, 0] == chill.chilling_hours(hours).tolist()
    assert [1, 1, 1, 0, 0] == chill.chilling_hours(hours, "below-7.2").tolist()
    with pytest.raises(UsageProblem, match="0-7.2, below-7.2"):
        chill.chilling_hours(hours, "45F")
    with pytest.raises(UsageProblem, match="C, F"):
        chill.utah_units(hours, "K")
