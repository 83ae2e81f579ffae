"""What a trial could show: against Fleiss, against scipy's exact test gone through by hand, and the laws that must hold."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom, fisher_exact

from graftbook.errors import UsageProblem
from graftbook.stats.power import fisher_power, needed_per_group, trial_power


@pytest.mark.parametrize(("plain", "corrected", "p1", "p2"), [(355.94, 376, 0.6, 0.7)])
def test_the_number_a_side_against_fleiss(plain, corrected, p1, p2):
    """Fleiss, Statistical Methods for Rates and Proportions, Table A.3: 376 a side for .60 v .70 at .05 and 80 % (from
    memory); the formula of Fleiss, Tytun and Ury (1980)."""
    assert 356 == needed_per_group(p1, p2, correct=False) == pytest.approx(plain, abs=0.1)
    assert corrected == needed_per_group(p1, p2) == trial_power([50, 50], p2, p2 - p1).needed


@pytest.mark.parametrize("side", [1, 2, 5, 10])
@pytest.mark.parametrize(("p1", "p2"), [(0.9, 0.6), (0.8, 0.4), (0.5, 0.5)])
def test_the_exact_chance_against_scipy_gone_through_outcome_by_outcome(side, p1, p2):
    expected = sum(
        binom.pmf(a, side, p1) * binom.pmf(b, side, p2)
        for a in range(side + 1)
        for b in range(side + 1)
        if fisher_exact([[a, side - a], [b, side - b]]).pvalue <= 0.05
    )
    assert expected == pytest.approx(fisher_power(side, p1, p2), abs=1e-9)


@settings(max_examples=40)
@given(st.integers(2, 60), st.floats(0.3, 1.0), st.integers(2, 3))
def test_the_rates_told_would_be_shown_by_so_many_and_more_grafts_show_more(side, rate, ways):
    found, more = trial_power([side] * ways, rate), trial_power([side * 2] * ways, rate)
    if found.down_to is not None:
        assert needed_per_group(rate, max(0.0, found.down_to), 0.8, found.alpha) <= side
        assert more.down_to is not None and more.down_to >= found.down_to
    if found.up_to is not None and rate < 1:
        assert needed_per_group(rate, min(1.0, found.up_to), 0.8, found.alpha) <= side
    assert 0 <= found.chance <= more.chance + 0.05 <= 1.05
    assert (found.alpha == 0.05) == (ways == 2)


def test_large_sides_go_by_the_formula_and_meet_the_exact_sum():
    side = 82
    assert 0.80 == pytest.approx(trial_power([91, 91], 0.8).chance, abs=0.01)
    assert fisher_power(side, 0.8, 0.6) == pytest.approx(trial_power([side, side], 0.8).chance, abs=0.03)


def test_trials_that_cannot_be_are_refused():
    for counts, rate, gap in (([5], 0.8, 0.2), ([5, 0], 0.8, 0.2), ([5, 5], 0.0, 0.2), ([5, 5], 0.8, 0.0)):
        with pytest.raises(UsageProblem):
            trial_power(counts, rate, gap)
