"""More than two ways, and trend: against scipy and statsmodels, by every table with the same margins, and published trials."""

from itertools import product
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2_contingency
from statsmodels.stats.contingency_tables import StratifiedTable, Table

from graftbook.errors import UsageProblem
from graftbook.stats.score_test import Group, exact_ways, score_test, ways

counted = st.tuples(st.integers(1, 12), st.floats(0, 1)).map(lambda pair: (round(pair[0] * pair[1]), pair[0]))
several = st.lists(counted, min_size=2, max_size=5)


def varied(counts):
    return 0 < sum(k for k, _n in counts) < sum(n for _k, n in counts)


@given(several.filter(varied))
def test_ways_in_one_stratum_are_pearsons_chi_square_of_scipy(counts):
    """(N - 1) / N times Pearson's, which scipy computes."""
    table = np.array([[k, n - k] for k, n in counts])
    theirs = chi2_contingency(table, correction=False)
    found = ways([counts])
    n = table.sum()
    assert found.statistic == pytest.approx(theirs.statistic * (n - 1) / n, rel=1e-6, abs=1e-9)
    assert found.df == theirs.dof


@given(st.lists(st.tuples(counted, counted), min_size=1, max_size=4).filter(lambda strata: any(map(varied, strata))))
def test_two_ways_in_strata_are_the_test_of_cochran_mantel_and_haenszel(strata):
    """statsmodels as referee, on strata that hold something."""
    used = [pair for pair in strata if varied(pair)]
    theirs = StratifiedTable([np.array([[k, n - k] for k, n in pair]) for pair in used]).test_null_odds()
    assert ways(strata).p == pytest.approx(theirs.pvalue, rel=1e-6)


@given(several.filter(varied))
def test_one_score_is_the_test_for_trend(counts):
    """statsmodels' linear-by-linear test; its statistic is a normal deviate for the same table."""
    table = np.array([[k, n - k] for k, n in counts])
    theirs = Table(table, shift_zeros=False).test_ordinal_association(np.arange(len(counts)), np.array([1, 0]))
    found = score_test([[Group(k, n, (float(place),)) for place, (k, n) in enumerate(counts)]])
    assert found.p == pytest.approx(theirs.pvalue, abs=1e-6)


@given(st.lists(counted, min_size=2, max_size=4).filter(varied))
def test_the_exact_chance_is_that_of_every_table_with_the_same_margins(counts):
    sizes, took = [n for _k, n in counts], sum(k for k, _n in counts)

    def many(ks):
        return np.prod([comb(n, k) for k, n in zip(ks, sizes, strict=True)], dtype=object)

    tables = [ks for ks in product(*(range(n + 1) for n in sizes)) if sum(ks) == took]
    seen = many([k for k, _n in counts])
    assert exact_ways(counts) == pytest.approx(
        float(sum(m for ks in tables if (m := many(ks)) <= seen) / comb(sum(sizes), took))
    )


def test_four_methods_on_one_fruit_differ_as_the_trial_says():
    """Asaah and others (2010), New Forests, abstract: 32, 21, 22 and 20 of 40 (counts inferred from the printed percentages and
    standard errors); side tongue is said to be significantly better than the other three."""
    counts = [(32, 40), (21, 40), (22, 40), (20, 40)]
    assert ways([counts]).p < 0.05
    assert ways([counts[1:]]).p > 0.5
    assert ways([counts]).p == pytest.approx(
        chi2_contingency([[k, n - k] for k, n in counts], correction=False).pvalue, abs=2e-3
    )


def test_four_methods_on_pawpaw_differ_as_the_trial_says():
    """Conference abstract, American Society for Horticultural Science (2019): 23, 16, 12 and 6 of 24 (counts inferred from the
    printed percentages); methods are said to differ."""
    counts = [(23, 24), (16, 24), (12, 24), (6, 24)]
    assert ways([counts]).p < 0.001
    assert exact_ways(counts) < 0.001


def test_a_best_place_between_shows_in_two_scores_and_not_in_one():
    counts = [(2, 10), (5, 10), (9, 10), (5, 10), (2, 10)]
    places = range(-2, 3)
    both = score_test([[Group(k, n, (x, x * x)) for x, (k, n) in zip(places, counts, strict=True)]])
    one = score_test([[Group(k, n, (x,)) for x, (k, n) in zip(places, counts, strict=True)]])
    assert (2, True, 1, pytest.approx(1)) == (both.df, both.p < 0.01, one.df, one.p)


def test_what_can_show_nothing_has_no_test():
    assert ways([[(3, 3), (4, 4)]]) is None
    assert ways([[(1, 3)]]) is None
    assert exact_ways([(0, 3), (0, 4)]) is None
    assert score_test([[Group(1, 3, (5.0,)), Group(2, 3, (5.0,))]]) is None
    with pytest.raises(UsageProblem):
        score_test([[Group(4, 3, (1.0,))]])
