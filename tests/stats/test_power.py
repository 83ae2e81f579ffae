"""How many a side, against Fleiss' printed examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.stats.power import needed_a_side, shown_by


@pytest.mark.parametrize(
    ("p1", "p2", "plain", "corrected"),
    [(0.7, 0.9, 62, 72), (0.6, 0.8, 82, 91), (0.25, 0.40, 152, 165), (0.6, 0.7, 356, 376)],
)
def test_sample_sizes_against_fleiss(p1, p2, plain, corrected):
    """Fleiss, Statistical Methods for Rates and Proportions: two-sided 0.05, power 0.80; from memory, confirmed by
    recomputation."""
    assert plain == needed_a_side(p1, p2, correct=False)
    assert corrected == needed_a_side(p1, p2) == needed_a_side(p2, p1)


@given(st.integers(5, 400), st.floats(0.2, 1.0))
def test_the_difference_that_so_many_show_needs_no_more_than_so_many(n, p1):
    gap = shown_by(n, p1)
    if gap is None:
        assert needed_a_side(p1, 0.0) > n
    else:
        assert needed_a_side(p1, max(0.0, p1 - gap)) <= n
        assert gap < 0.02 or needed_a_side(p1, p1 - gap * 0.97) >= n


@pytest.mark.parametrize("wrong", [(0.5, 0.5), (-0.1, 0.5), (0.5, 1.2)])
def test_shares_that_cannot_be_are_refused(wrong):
    with pytest.raises(UsageProblem):
        needed_a_side(*wrong)
    with pytest.raises(UsageProblem):
        needed_a_side(0.5, 0.7, power=1.0)
    with pytest.raises(UsageProblem):
        shown_by(0, 0.5)
