"""A smooth chance with a band: against published fits and other libraries, and when it must not be drawn."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit

from graftbook.errors import UsageProblem
from graftbook.stats import curve as rules
from graftbook.stats import spline
from graftbook.stats.curve import Curve, CurveCount, NoCurve, curve

# Bliss, C. I. (1935), The calculation of the dosage-mortality curve, Annals of Applied Biology 22:134-167: beetles killed by
# a dose. The fitted numbers are those of the logistic line in Dobson, A. J. (1990), An Introduction to Generalized Linear
# Models, table 8.3; both from memory, confirmed with statsmodels below.
DOSE = (1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839)
BEETLES = (59, 60, 62, 56, 63, 59, 62, 60)
KILLED = (6, 13, 18, 28, 52, 53, 61, 60)
FITTED = (3.46, 9.84, 22.45, 33.90, 50.10, 53.29, 59.22, 58.74)


def days(shape, grafts=200, between=0.0, seed=5, span=61):
    """Grafts on so many days, with a chance that follows a shape from 0 to 1."""
    chance = np.random.default_rng(seed)
    logits = shape(np.arange(span) / (span - 1)) + between * chance.standard_normal(span)
    of = chance.multinomial(grafts, np.full(span, 1 / span))
    took = chance.binomial(of, expit(logits))
    return [CurveCount(float(day), int(k), int(n), day) for day, (k, n) in enumerate(zip(took, of, strict=True)) if n]


def flat(u):
    return np.full_like(u, 0.8)


def hump(u):
    return 2.2 - 4.5 * (2 * u - 1) ** 2


def rising(u):
    return -1.5 + 3.5 * u


def test_with_bends_at_a_great_price_the_line_is_the_logistic_one_of_the_textbook():
    """Dobson's fit of Bliss' beetles."""
    inside = (np.array(DOSE) - DOSE[0]) / (DOSE[-1] - DOSE[0])
    splines = spline.basis(inside)
    fit = spline.penalised_fit(
        spline.BinomialCounts(splines, np.array(KILLED, float), np.array(BEETLES, float)), 1e7 * spline.penalty_matrix()
    )
    assert [pytest.approx(number, abs=0.011) for number in FITTED] == list(
        np.array(BEETLES) * expit(splines @ fit.weights)
    )
    assert pytest.approx(2.0, abs=0.01) == fit.edf


def test_with_bends_at_a_great_price_the_errors_are_those_of_statsmodels():
    """statsmodels' logistic regression as referee, on the same beetles."""
    import statsmodels.api as sm

    inside = (np.array(DOSE) - DOSE[0]) / (DOSE[-1] - DOSE[0])
    splines = spline.basis(inside)
    fit = spline.penalised_fit(
        spline.BinomialCounts(splines, np.array(KILLED, float), np.array(BEETLES, float)), 1e7 * spline.penalty_matrix()
    )
    counts = np.column_stack([KILLED, np.array(BEETLES) - KILLED])
    theirs = sm.GLM(counts, sm.add_constant(inside), family=sm.families.Binomial()).fit()
    errors = np.sqrt(np.einsum("ij,jk,ik->i", splines, fit.covariance, splines))
    design = sm.add_constant(inside)
    assert pytest.approx(np.sqrt(np.einsum("ij,jk,ik->i", design, theirs.cov_params(), design)), rel=1e-3) == errors


def test_at_a_given_price_the_line_is_that_of_statsmodels_additive_model():
    """statsmodels' GLMGam with these splines and this charge as referee; its charge weighs twice what ours does."""
    import statsmodels.api as sm
    from statsmodels.gam.api import GLMGam
    from statsmodels.gam.smooth_basis import GenericSmoothers, UnivariateGenericSmoother

    places = days(hump)
    xs = np.array([place.x for place in places]) / 60
    took, of = (np.array([getattr(place, name) for place in places], float) for name in ("k", "n"))
    splines, price = spline.basis(xs), 3.0
    empty = np.zeros_like(splines)
    smoother = GenericSmoothers(
        xs[:, None], [UnivariateGenericSmoother(xs, splines, empty, empty, spline.penalty_matrix(), "x")]
    )
    counts = np.column_stack([took, of - took])
    theirs = GLMGam(counts, smoother=smoother, alpha=price / 2, family=sm.families.Binomial()).fit(method="newton")
    ours = spline.penalised_fit(spline.BinomialCounts(splines, took, of), price * spline.penalty_matrix())
    assert pytest.approx(theirs.fittedvalues, abs=1e-9) == expit(splines @ ours.weights)


def test_the_splines_add_up_to_one_everywhere():
    assert pytest.approx(np.ones(50)) == spline.basis(np.linspace(0, 1, 50)).sum(axis=1)


def test_the_reach_of_a_whole_line_is_that_of_one_point_when_the_line_is_level():
    """A line that can only move up and down walks no way at all: the normal quantile."""
    level = np.ones((50, 1))
    assert pytest.approx(1.959964, abs=1e-4) == rules.simultaneous_factor(level, np.array([[0.3]]), 0.95)


def test_the_reach_of_a_whole_line_holds_it_as_often_as_it_says():
    """Seeded simulation: lines drawn from the covariance lie within the reach 95 times in 100, or a little oftener."""
    places = days(hump)
    xs = np.array([place.x for place in places]) / 60
    took, of = (np.array([getattr(place, name) for place in places], float) for name in ("k", "n"))
    line = spline.smooth(xs, took, of)
    splines = spline.basis(np.linspace(0, 1, 101))
    reach = rules.simultaneous_factor(splines, line.covariance, 0.95)
    drawn = np.random.default_rng(8).multivariate_normal(np.zeros(13), line.covariance, 4000)
    errors = np.sqrt(np.einsum("ij,jk,ik->i", splines, line.covariance, splines))
    held = (np.abs(drawn @ splines.T / errors).max(axis=1) <= reach).mean()
    assert 0.945 <= held <= 0.975


def test_a_best_window_is_found_where_there_is_one():
    found = curve(days(hump, 400))
    assert isinstance(found, Curve)
    assert (False, None) == (found.level_fits, found.no_window)
    window = found.window
    assert 10 < window.first < 30 < window.last < 50
    assert (False, False) == (window.open_before, window.open_after)
    assert (found.k, found.n) == (window.k + window.k_rest, window.n + window.n_rest)
    assert window.k / window.n > window.k_rest / window.n_rest


def test_no_window_where_the_chance_is_the_same_everywhere():
    found = curve(days(flat, 400))
    assert (True, None, "level") == (found.level_fits, found.window, found.no_window)


def test_a_chance_that_rises_has_a_window_open_at_the_end():
    window = curve(days(rising, 400)).window
    assert (False, True, 60.0) == (window.open_before, window.open_after, window.last)


def test_best_at_both_ends_is_no_window():
    found = curve(days(lambda u: -hump(u), 2000))
    assert (False, None, "unclear") == (found.level_fits, found.window, found.no_window)


def test_days_that_differ_beyond_luck_widen_the_band():
    places = days(flat, 2000, between=1.0)
    with_days, without_days = curve(places), curve([CurveCount(one.x, one.k, one.n) for one in places])
    assert with_days.dispersion > 1.5
    assert without_days.dispersion is None
    widths = [sum(point.high - point.low for point in one.points) for one in (with_days, without_days)]
    assert widths[0] > widths[1]


def test_the_line_is_not_drawn_far_from_what_was_counted():
    """Nothing between day 20 and day 60: the middle of the gap is marked."""
    places = [one for one in days(flat, 600, span=81) if not 20 < one.x < 60]
    marked = [point.x for point in curve(places).points if not point.counted]
    assert (28, 52) == (pytest.approx(min(marked), abs=0.5), pytest.approx(max(marked), abs=0.5))


def test_the_bands_lie_around_the_line_and_within_nought_and_one():
    for point in curve(days(hump)).points:
        assert 0 <= point.low_whole <= point.low <= point.chance <= point.high <= point.high_whole <= 1


def test_the_same_counts_give_the_same_line():
    assert curve(days(hump)) == curve(list(reversed(days(hump))))


def spread_out(pattern):
    """A take (1) or a failure (0) on each day."""
    return [CurveCount(float(day), took, 1) for day, took in enumerate(pattern)]


@pytest.mark.parametrize(
    ("places", "why"),
    [
        ([], "few"), (spread_out([1, 0] * 9), "few"), (spread_out([1] * 30), "all"), (spread_out([0] * 30), "none"),
        (spread_out([1, 0, 0, 0, 0, 0, 0] * 4), "few-each"), ([CurveCount(float(day), 5, 10) for day in range(4)], "same"),
        (spread_out([1] * 15 + [0] * 15), "parted"), (spread_out([0] * 15 + [1] * 15), "parted"),
    ],
)  # fmt: skip
def test_what_carries_no_line_says_why(places, why):
    found = curve(places)
    assert isinstance(found, NoCurve)
    assert (why, sum(one.k for one in places), sum(one.n for one in places)) == (found.why, found.k, found.n)


def test_the_place_that_parts_takes_from_failures_is_named():
    before, after = curve(spread_out([1] * 15 + [0] * 15)), curve(spread_out([0] * 15 + [1] * 15))
    assert (15.0, "before") == (before.at, before.better)
    assert (14.0, "after") == (after.at, after.better)


def test_what_is_no_count_or_no_level_is_refused():
    with pytest.raises(UsageProblem, match="no more taken than counted"):
        curve([CurveCount(1.0, 3, 2)])
    with pytest.raises(UsageProblem, match="an x that is a number"):
        curve([CurveCount(float("inf"), 1, 2)])
    for level in (0, 1, True):
        with pytest.raises(UsageProblem, match="a level between 0 and 1"):
            curve([], level)


def test_a_higher_level_gives_a_wider_band():
    narrow, wide = (curve(days(hump), level) for level in (0.8, 0.99))
    assert all(a.low >= b.low and a.high <= b.high for a, b in zip(narrow.points, wide.points, strict=True))
