"""Enough tries: the binomial tail against the law added up and scipy, and the fewest tries against trying one by one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from graftbook.errors import UsageProblem
from graftbook.stats.binomial import at_least, binomial_at_least, fewest_trials


@given(st.integers(-1, 130), st.integers(0, 120), st.floats(0, 1))
def test_the_tail_is_that_of_tries_with_one_chance_each(count, tries, chance):
    assert at_least(count, [chance] * tries) == pytest.approx(binomial_at_least(count, tries, chance), abs=1e-12)


def test_a_tail_of_nursery_size_against_scipy():
    for count, tries in ((2500, 3331), (2500, 3390), (90_000, 120_000)):
        assert float(binom.sf(count - 1, tries, 0.75072)) == pytest.approx(
            binomial_at_least(count, tries, 0.75072), abs=1e-9
        )


@given(st.integers(0, 60), st.floats(0.05, 1), st.floats(0.05, 0.99))
def test_the_fewest_tries_are_enough_and_one_less_is_not(count, chance, sureness):
    tries = fewest_trials(count, chance, sureness)
    assert at_least(count, [chance] * tries) >= sureness - 1e-9
    assert tries == count or at_least(count, [chance] * (tries - 1)) < sureness + 1e-9


def test_numbers_that_cannot_be_are_refused():
    for call in (lambda: binomial_at_least(1, -1, 0.5), lambda: binomial_at_least(1, 1, 1.5), lambda: fewest_trials(-1, 0.5, 0.9),
                 lambda: fewest_trials(1, 0.0, 0.9), lambda: fewest_trials(1, 0.5, 1.0)):  # fmt: skip
        with pytest.raises(UsageProblem):
            call()
