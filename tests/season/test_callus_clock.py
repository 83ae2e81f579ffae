"""The callus clock: a band with its basis, dates only where the table has a heat sum to rest on, and cold that stops it."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from graftbook.season import callus_clock
from graftbook.season.weather_days import DailySeries, constant_series, joined
from graftbook.trade import callus

MADE = date(2027, 3, 1)


def on_day(number):
    return MADE + timedelta(days=number - 1)


def clock(kind, days, day):
    return callus_clock.clock(callus.about(kind), days, MADE, on_day(day))


def kept(low, high=None, days=200):
    return constant_series(MADE, on_day(days), low, low if high is None else high)


def test_an_apple_union_kept_as_nurseries_keep_it_is_within_its_band_in_ten_to_fourteen_days():
    """Common practice of bench grafting: 10 to 14 days at about 18 C before it is moved to the cold."""
    found = clock("apple", kept(18.3), 12)
    assert (on_day(10), on_day(14)) == (found.from_on, found.to_on)
    assert "within its band" == found.state
    assert "running" == clock("apple", kept(18.3), 9).state
    assert "past its band" == clock("apple", kept(18.3), 14).state
    assert not found.extrapolated


def test_an_apple_union_at_seven_degrees_takes_about_two_months():
    """Common practice: about two months at 7 to 10 C."""
    found = clock("apple", kept(7), 30)
    assert on_day(48) == found.from_on
    assert on_day(67) == found.to_on


def test_grape_canes_at_29_degrees_callus_within_the_days_of_the_trial():
    """Alley and Peterson, American Journal of Enology and Viticulture 28:1-7, 1977: 4 to 17 days at 29.5 C."""
    found = clock("grape", kept(29.5), 5)
    assert on_day(4) < found.from_on < found.to_on <= on_day(18)


@pytest.mark.parametrize("kind", ["pear", "plum", "walnut", "hazel"])
def test_kinds_without_a_sound_heat_sum_have_hours_and_no_dates(kind):
    found = clock(kind, kept(2, 30), 10)
    assert (None, None, None) == (found.from_on, found.to_on, found.degree_days)
    assert 240 == pytest.approx(found.below + found.inside + found.above)
    assert min(found.below, found.inside, found.above) > 0


def test_a_single_temperature_of_a_list_is_counted_as_a_band_about_it():
    assert (16, 16) == (callus.about("plum").best_min, callus.about("plum").best_max)
    assert (14, 18) == callus_clock.best_band(callus.about("plum"))
    assert 24 == clock("plum", kept(16.9), 1).inside


def test_cold_stops_the_clock_and_warmth_starts_it_again():
    days = joined(
        [
            constant_series(MADE, on_day(5), 18, 18),
            constant_series(on_day(6), on_day(20), 2, 2),
            constant_series(on_day(21), on_day(60), 18, 18),
        ]
    )
    assert ("paused by cold", 70) == (clock("apple", days, 15).state, clock("apple", days, 15).degree_days)
    warm_again = clock("apple", days, 24)
    assert ("running", 126) == (warm_again.state, warm_again.degree_days)
    assert on_day(26) == warm_again.from_on


def test_days_to_come_are_extrapolated_as_the_last_seven_where_they_are_not_known():
    found = clock("apple", kept(18, days=5), 5)
    assert (on_day(11), on_day(15), True) == (found.from_on, found.to_on, found.extrapolated)
    cold = clock("apple", kept(4, days=5), 5)
    assert (None, None, False) == (cold.from_on, cold.to_on, cold.extrapolated)


def test_a_forecast_goes_before_extrapolation():
    days = joined([constant_series(MADE, on_day(5), 18, 18), constant_series(on_day(6), on_day(15), 4, 4)])
    assert on_day(21) == clock("apple", days, 5).from_on


def test_hot_and_cold_days_gone_and_to_come_are_warned_of():
    low, high = np.full(12, 12.0), np.full(12, 17.0)
    high[[2, 9]], high[[4, 10, 11]] = 35.0, 12.5
    found = callus_clock.clock(callus.about("apple"), DailySeries(MADE, low, high), MADE, on_day(6))
    assert (
        "2027-03-03 went above 32 C, where harm is said to begin.",
        "2027-03-10 will go above 32 C, where harm is said to begin.",
        "2027-03-05 stayed below the best band, 13 C, all day.",
        "2 days from 2027-03-11 to 2027-03-12 will stay below the best band, 13 C, all day.",
    ) == found.warnings


def test_days_without_a_temperature_count_for_nothing_and_are_told():
    days = DailySeries(MADE, np.array([18.0, np.nan, 18.0]), np.array([18.0, np.nan, 18.0]))
    found = callus_clock.clock(callus.about("apple"), days, MADE, on_day(4))
    assert (28, 2, 2) == (found.degree_days, found.known, found.missing)
    assert ((on_day(2), on_day(2)), (on_day(4), on_day(4))) == found.gaps
    nothing = callus_clock.clock(callus.about("apple"), DailySeries(MADE, np.empty(0), np.empty(0)), MADE, on_day(4))
    assert "no temperatures" == nothing.state
