"""Tries with a chance each: against counting out every outcome, the binomial law, and scipy."""

from itertools import product
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import poisson_binom

from graftbook.errors import UsageProblem
from graftbook.stats import binomial
from graftbook.stats.binomial import at_least, chances, table

some = st.lists(st.floats(0, 1), max_size=9)


def counted(each):
    """Every outcome written out and added up."""
    found = [0.0] * (len(each) + 1)
    for outcome in product((0, 1), repeat=len(each)):
        weight = 1.0
        for comes_off, chance in zip(outcome, each, strict=True):
            weight *= chance if comes_off else 1 - chance
        found[sum(outcome)] += weight
    return found


@given(some)
def test_the_law_is_what_counting_out_every_outcome_gives(each):
    assert counted(each) == pytest.approx(list(chances(each)), abs=1e-12)
    for count in range(-1, len(each) + 2):
        assert sum(counted(each)[max(count, 0) :]) == pytest.approx(at_least(count, each), abs=1e-12)


@given(st.lists(st.floats(0.01, 0.99), min_size=1, max_size=400), st.integers(0, 400))
def test_the_law_against_scipy(each, count):
    """scipy.stats.poisson_binom, which goes by the fast Fourier transform."""
    law = poisson_binom(each)
    assert law.pmf(np.arange(len(each) + 1)) == pytest.approx(np.array(chances(each)), abs=1e-9)
    assert float(law.sf(count - 1)) == pytest.approx(at_least(count, each), abs=1e-9)


@pytest.mark.parametrize("many", [1, 7, 199, 200, 640])
def test_equal_chances_are_the_binomial_law(many):
    expected = [comb(many, k) * 0.3**k * 0.7 ** (many - k) for k in range(many + 1)]
    assert expected == pytest.approx(list(chances([0.3] * many)), rel=1e-9, abs=1e-250)


def test_a_small_tail_keeps_its_digits():
    assert 0.001**12 == pytest.approx(at_least(12, [0.001] * 12), rel=1e-12)


@given(st.lists(st.tuples(st.floats(0, 1), st.integers(0, 4)), min_size=1, max_size=3), st.integers(0, 7))
def test_the_table_of_mixes_agrees_with_each_mix_computed_alone(kinds, count):
    each, most = [chance for chance, _ in kinds], [top for _, top in kinds]
    found = table(count, each, most)
    assert tuple(top + 1 for top in most) == found.shape
    for mix in product(*(range(top + 1) for top in most)):
        tries = [chance for chance, number in zip(each, mix, strict=True) for _ in range(number)]
        assert at_least(count, tries) == pytest.approx(found[mix], abs=1e-12)


@given(some, st.integers(1, 9))
def test_a_further_try_never_hurts(each, count):
    assert at_least(count, each) <= at_least(count, [*each, 0.4]) + 1e-12


def test_no_tries_at_all_is_a_law_too():
    assert (1.0,) == chances([])
    assert (1.0, 0.0) == (at_least(0, []), at_least(1, []))


def test_chances_that_cannot_be_are_refused():
    for call in (lambda: chances([0.5, 1.2]), lambda: at_least(1, [-0.1]), lambda: table(1, [2.0], [1]),
                 lambda: table(1, [0.5], [-1]), lambda: binomial.table(1, [0.5], [1, 2])):  # fmt: skip
        with pytest.raises(UsageProblem):
            call()
