"""Shrunk shares against a published analysis, and the laws they keep."""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from graftbook.errors import UsageProblem
from graftbook.stats.shrink import hyperparameters, shrink

LINES = (Path(__file__).parent / "data" / "rat_tumours_1982.csv").read_text(encoding="utf-8").splitlines()
RATS = [(int(row["successes"]), int(row["n"])) for row in csv.DictReader(line for line in LINES if line[0] != "#")]


@st.composite
def cells(draw):
    made = draw(st.lists(st.integers(0, 60), min_size=3, max_size=12))
    return [(draw(st.integers(0, n)), n) for n in made]


def test_the_seventy_one_groups_are_all_there():
    assert (71, 267, 1739) == (len(RATS), sum(k for k, _n in RATS), sum(n for _k, n in RATS))


def test_the_posterior_of_rat_tumours_is_the_published_one():
    """Gelman et al., Bayesian Data Analysis, 3rd ed., section 5.3: posterior means of alpha 2.4 and beta 14.3, the mode at
    (-1.79, 2.74); known from memory, confirmed by an independent grid."""
    wide = hyperparameters(RATS)
    assert (2.40, 14.3) == pytest.approx(wide.mean, abs=0.05)
    narrow = hyperparameters(RATS, ((-2.3, -1.3), (1.0, 5.0)), (201, 401))
    assert (2.40, 14.3) == pytest.approx(narrow.mean, abs=0.05)
    assert (-1.79, 2.74) == pytest.approx(narrow.mode, abs=0.011)


def test_the_groups_with_least_and_most_tumours_are_drawn_to_the_rest():
    """The same analysis: mean rate of the last group, 4 of 14, 0.211 (raw 0.286); the ranges of 0 of 20 and 4 of 14 are
    recomputed with an independent grid, not published."""
    found = shrink(RATS)
    last, first = found[RATS.index((4, 14))], found[RATS.index((0, 20))]
    assert 0.211 == pytest.approx(last.rate, abs=0.002)
    assert (0.0069, 0.1639) == pytest.approx((first.low, first.high), abs=0.001)
    assert (0.0865, 0.3784) == pytest.approx((last.low, last.high), abs=0.001)


def test_the_same_counts_give_the_same_answer_in_any_order():
    found, turned = shrink(RATS), shrink(RATS[::-1])
    assert [one.rate for one in found] == pytest.approx([one.rate for one in turned[::-1]], abs=1e-12)
    assert shrink(RATS) == found


@settings(max_examples=20)
@given(cells())
def test_a_shrunk_share_lies_between_0_and_1_within_its_range(counts):
    found = shrink(counts)
    informative = [cell for cell in counts if cell[1]]
    if len(informative) < 3 or not any(0 < k < n for k, n in informative):
        assert found is None
        return
    for one in found:
        assert 0 <= one.low <= one.rate <= one.high <= 1


def test_a_small_cell_is_drawn_far_and_a_large_one_hardly_at_all():
    counts = [(1, 1), (0, 1), (300, 400), (80, 100), (35, 50), (60, 80)]
    small, none, large, *_ = shrink(counts)
    assert small.rate < 0.85
    assert 0.6 < none.rate
    assert 0.75 == pytest.approx(large.rate, abs=0.01)


def test_cells_that_differ_by_luck_alone_are_drawn_close_together():
    alike = shrink([(7, 10), (8, 10), (7, 10), (6, 10), (7, 10), (8, 10)])
    apart = shrink([(1, 10), (10, 10), (0, 10), (9, 10), (5, 10), (2, 10)])
    assert max(one.rate for one in alike) - min(one.rate for one in alike) < 0.1
    assert max(one.rate for one in apart) - min(one.rate for one in apart) > 0.6


def test_ranges_are_those_of_the_mixture():
    """By scipy's beta distribution on the same points."""
    counts = [(3, 9), (5, 7), (0, 4), (8, 8)]
    spread, (one, *_) = hyperparameters(counts), shrink(counts, level=0.9)
    for end, chance in ((one.low, 0.05), (one.high, 0.95)):
        below = spread.weight @ stats.beta.cdf(end, spread.alpha + 3, spread.beta + 6)
        assert chance == pytest.approx(below, abs=1e-4)


@pytest.mark.parametrize("counts", [[], [(3, 9), (5, 7)], [(3, 9), (5, 7), (0, 0)], [(0, 9), (7, 7), (0, 3)]])
def test_nothing_is_said_where_the_spread_of_cells_cannot_be_told(counts):
    assert shrink(counts) is None


def test_counts_that_cannot_be_are_refused():
    with pytest.raises(UsageProblem):
        shrink([(3, 2), (1, 2), (1, 2)])
    with pytest.raises(UsageProblem):
        shrink([(1, 2), (1, 2), (1, 2)], level=1.0)
