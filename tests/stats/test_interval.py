"""The interval for a share, against published values and independent libraries."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.stats import Interval, wilson

# Newcombe (1998), Statistics in Medicine 17:857-872, Table I, method 3; published values known from memory of the
# source, confirmed by recomputation.
NEWCOMBE_1998 = (
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
)


@st.composite
def counts(draw, least=1):
    n = draw(st.integers(least, 5000))
    return draw(st.integers(0, n)), n


@pytest.mark.parametrize(("k", "n", "low", "high"), NEWCOMBE_1998)
def test_ends_agree_with_newcombe_1998_table_i_to_four_places(k, n, low, high):
    found = wilson(k, n)

    assert (low, high) == (round(found.low, 4), round(found.high, 4))


@given(counts(), st.sampled_from((0.5, 0.8, 0.9, 0.95, 0.99, 0.999)))
def test_ends_agree_with_statsmodels(count, level):
    from statsmodels.stats.proportion import proportion_confint

    k, n = count
    low, high = proportion_confint(k, n, alpha=1 - level, method="wilson")
    found = wilson(k, n, level)

    assert (low, high) == pytest.approx((found.low, found.high), abs=1e-12)


@given(counts(), st.floats(0.01, 0.9999))
def test_ends_agree_with_scipy(count, level):
    from scipy.stats import binomtest

    k, n = count
    expected = binomtest(k, n).proportion_ci(confidence_level=level, method="wilson")
    found = wilson(k, n, level)

    assert (expected.low, expected.high) == pytest.approx((found.low, found.high), abs=1e-9)


@given(counts(), st.floats(0.01, 0.9999))
def test_the_counted_share_lies_inside_and_the_ends_inside_0_and_1(count, level):
    k, n = count
    found = wilson(k, n, level)

    assert 0.0 <= found.low <= found.rate <= found.high <= 1.0


@given(counts())
def test_taken_and_failed_mirror_one_another(count):
    k, n = count
    took, failed = wilson(k, n), wilson(n - k, n)

    assert (1 - failed.high, 1 - failed.low) == pytest.approx((took.low, took.high), abs=1e-12)


@given(counts())
def test_a_higher_level_gives_a_range_at_least_as_wide(count):
    narrow, wide = wilson(*count, level=0.8), wilson(*count, level=0.99)

    assert wide.low <= narrow.low
    assert narrow.high <= wide.high


@pytest.mark.parametrize("n", [1, 2, 3, 20, 777, 100_000])
def test_none_of_n_starts_at_exactly_nothing_and_all_of_n_ends_at_exactly_one(n):
    assert 0.0 == wilson(0, n).low < wilson(0, n).high < 1.0
    assert 0.0 < wilson(n, n).low < wilson(n, n).high == 1.0


def test_nothing_counted_leaves_both_ends_and_the_rate_unknown():
    found = wilson(0, 0)

    assert Interval(0, 0, 0.95, None, None, "wilson") == found
    assert found.rate is None


def test_one_of_one_is_far_from_certain():
    # z = 1.959964: low = 1 / (1 + z^2) = 0.2065
    assert 0.2065 == round(wilson(1, 1).low, 4)


def test_the_result_carries_counts_level_and_method():
    found = wilson(7, 9, level=0.9)

    assert (7, 9, 0.9, "wilson") == (found.k, found.n, found.level, found.method)


@pytest.mark.parametrize(
    ("k", "n", "shown"),
    [(5, 4, "k = 5, n = 4"), (-1, 4, "-1"), (0, -3, "-3"), (1.5, 4, "1.5"), (1, 4.0, "4.0"), (True, 4, "True"),
     (None, 4, "None"), ("3", 4, "'3'")],
)  # fmt: skip
def test_counts_that_cannot_be_are_refused_with_the_value(k, n, shown):
    with pytest.raises(UsageProblem) as caught:
        wilson(k, n)

    assert shown == caught.value.found


@pytest.mark.parametrize("level", [0, 1, -0.1, 1.5, 95, float("nan"), float("inf"), "0.95", True, None])
def test_a_level_outside_0_and_1_is_refused_with_the_value(level):
    with pytest.raises(UsageProblem) as caught:
        wilson(3, 4, level)

    assert repr(level) == caught.value.found


def test_the_everyday_interval_loads_nothing_heavy():
    heavy = "{'numpy', 'scipy', 'statsmodels'}"
    code = f"import sys, graftbook.stats as s; s.wilson(3, 4); print(*(set(sys.modules) & {heavy}))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "" == done.stdout.strip()
