"""How many a side, against Fleiss' printed examples."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.stats.power import detectable_difference, fisher_power, needed_per_group


@pytest.mark.parametrize(
    ("p1", "p2", "plain", "corrected"),
    [(0.7, 0.9, 62, 72), (0.6, 0.8, 82, 91), (0.25, 0.40, 152, 165), (0.6, 0.7, 356, 376)],
)
def test_sample_sizes_against_fleiss(p1, p2, plain, corrected):
    """Fleiss, Statistical Methods for Rates and Proportions: two-sided 0.05, power 0.80; from memory, confirmed by
    recomputation."""
    assert plain == needed_per_group(p1, p2, correct=False)
    assert corrected == needed_per_group(p1, p2) == needed_per_group(p2, p1)


@given(st.integers(5, 400), st.floats(0.2, 1.0))
def test_the_difference_that_so_many_show_needs_no_more_than_so_many(n, p1):
    gap = detectable_difference(n, p1)
    if gap is None:
        assert needed_per_group(p1, 0.0) > n
    else:
        assert needed_per_group(p1, max(0.0, p1 - gap)) <= n
        assert gap < 0.02 or needed_per_group(p1, p1 - gap * 0.97) >= n


@pytest.mark.parametrize("wrong", [(0.5, 0.5), (-0.1, 0.5), (0.5, 1.2)])
def test_shares_that_cannot_be_are_refused(wrong):
    with pytest.raises(UsageProblem):
        needed_per_group(*wrong)
    with pytest.raises(UsageProblem):
        needed_per_group(0.5, 0.7, power=1.0)
    with pytest.raises(UsageProblem):
        detectable_difference(0, 0.5)


@pytest.mark.parametrize(
    ("p1", "p2", "chances"),
    [(0.9, 0.6, (0.1516, 0.4920, 0.7051)), (0.8, 0.4, (0.2527, 0.6502, 0.8508))],
)
def test_the_chance_that_fishers_test_shows_a_difference(p1, p2, chances):
    """10, 20 and 30 a side; by full enumeration elsewhere, not published."""
    assert chances == pytest.approx([fisher_power(n, p1, p2) for n in (10, 20, 30)], abs=5e-5)


@settings(max_examples=25)
@given(st.integers(1, 8), st.integers(0, 20), st.integers(0, 20))
def test_the_chance_of_showing_is_fishers_by_scipy(n, first, second):
    from scipy.stats import binom, fisher_exact

    p1, p2 = first / 20, second / 20
    ours = fisher_power(n, p1, p2)
    theirs = sum(
        binom.pmf(a, n, p1) * binom.pmf(b, n, p2)
        for a in range(n + 1) for b in range(n + 1) if fisher_exact([[a, n - a], [b, n - b]]).pvalue <= 0.05
    )  # fmt: skip
    assert theirs == pytest.approx(ours, abs=1e-9)


def test_a_chance_of_showing_wants_shares_and_a_number():
    for wrong in ((0, 0.5, 0.7), (5, -0.1, 0.7), (5, 0.5, 1.1)):
        with pytest.raises(UsageProblem):
            fisher_power(*wrong)
