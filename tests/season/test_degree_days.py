"""Degree-days and hours in a band: held against sums over a fine wave, and against each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.season import degree_days

temperatures = st.integers(-300, 450).map(lambda tenths: tenths / 10)
days = st.tuples(temperatures, temperatures).map(sorted)
WAVE = np.sin((np.arange(20_000) + 0.5) / 20_000 * 2 * np.pi)


@given(days, temperatures, st.none() | st.integers(1, 300).map(lambda tenths: tenths / 10))
def test_single_sine_is_the_area_under_a_sine_between_base_and_upper(day, base, more):
    low, high = day
    upper = None if more is None else base + more
    hourly = (low + high) / 2 + (high - low) / 2 * WAVE
    area = float(np.mean(np.clip(hourly, base, upper) - base))
    assert area == pytest.approx(float(degree_days.daily([low], [high], base, upper)[0]), abs=2e-3)


@given(days, temperatures, st.none() | st.integers(1, 300).map(lambda tenths: tenths / 10))
def test_single_triangle_is_the_area_under_a_straight_rise_and_fall(day, base, more):
    low, high = day
    upper = None if more is None else base + more
    hourly = low + (high - low) * (np.arange(20_000) + 0.5) / 20_000
    area = float(np.mean(np.clip(hourly, base, upper) - base))
    assert area == pytest.approx(float(degree_days.daily([low], [high], base, upper, "triangle")[0]), abs=2e-3)


@given(days, temperatures)
def test_the_average_never_counts_more_than_the_sine(day, base):
    low, high = day
    sine = float(degree_days.daily([low], [high], base)[0])
    assert float(degree_days.daily([low], [high], base, None, "average")[0]) <= sine + 1e-9
    assert sine >= -1e-12


@given(days, temperatures, st.integers(0, 300).map(lambda tenths: tenths / 10))
def test_hours_below_inside_and_above_a_band_are_a_day(day, bottom, more):
    low, high = day
    inside = float(degree_days.hours_inside([low], [high], bottom, bottom + more)[0])
    below = 24 - float(degree_days.hours_from([low], [high], bottom)[0])
    above = float(degree_days.hours_over([low], [high], bottom + more)[0])
    assert 24 == pytest.approx(inside + below + above)
    assert min(inside, below, above) > -1e-9


def test_half_the_day_of_a_wave_is_above_its_mean():
    assert [12, 12] == pytest.approx(degree_days.hours_over([5, -10], [15, 30], 10).tolist())
    assert 24 == float(degree_days.hours_inside([13.0], [18.0], 13, 18)[0])
    assert 24 == float(degree_days.hours_inside([18.0], [18.0], 13, 18)[0])


@pytest.mark.parametrize("method", degree_days.METHODS)
def test_a_gap_is_a_gap_in_every_way_of_counting(method):
    found = degree_days.daily([np.nan, 5.0, np.nan], [10.0, np.nan, np.nan], 5.0, 30.0, method)
    assert np.isnan(found).all()


def test_a_band_has_no_hours_on_a_day_that_is_missing():
    assert np.isnan(degree_days.hours_inside([np.nan, 3], [4, np.nan], 0, 10)).all()


@pytest.mark.parametrize(
    ("base", "upper", "method", "said"),
    [(5, None, "cosine", "'cosine'"), (5, 5, "sine", "above the base of 5"), (5, 4, "sine", "found 4")],
)
def test_what_cannot_be_counted_is_refused(base, upper, method, said):
    with pytest.raises(UsageProblem, match=said):
        degree_days.daily([1.0], [2.0], base, upper, method)
