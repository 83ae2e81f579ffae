"""The interval for a share, against published values and independent libraries."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.stats.interval import INTERVALS, Interval, exact, jeffreys, wilson

# Newcombe (1998), Statistics in Medicine 17:857-872, Table I, method 3; published values known from memory of the
# source, confirmed by recomputation.
NEWCOMBE_1998 = (
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
)

# The same table, method 5 (Clopper and Pearson), known and confirmed in the same way.
NEWCOMBE_1998_EXACT = (
    (81, 263, 0.2527, 0.3676),
    (15, 148, 0.0578, 0.1617),
    (0, 20, 0.0, 0.1684),
    (1, 29, 0.0009, 0.1776),
)
# Brown, Cai and DasGupta (2001), Statistical Science 16:101-133, define the interval and set its ends at 0 and n; the
# figures are recomputed with the beta quantiles of scipy and of R, not published.
JEFFREYS = (
    (7, 9, 0.4562, 0.9507), (0, 9, 0.0, 0.2376), (9, 9, 0.7624, 1.0), (1, 1, 0.1467, 1.0), (5, 10, 0.2235, 0.7765),
    (81, 263, 0.2545, 0.3656), (15, 148, 0.0604, 0.1576), (1, 29, 0.0037, 0.1501),
)  # fmt: skip
EACH = pytest.mark.parametrize("interval", [entry[2] for entry in INTERVALS], ids=[entry[0] for entry in INTERVALS])


@st.composite
def counts(draw, least=1):
    n = draw(st.integers(least, 5000))
    return draw(st.integers(0, n)), n


@pytest.mark.parametrize(("k", "n", "low", "high"), NEWCOMBE_1998)
def test_ends_agree_with_newcombe_1998_table_i_to_four_places(k, n, low, high):
    found = wilson(k, n)

    assert (low, high) == (round(found.low, 4), round(found.high, 4))


@pytest.mark.parametrize(("k", "n", "low", "high"), NEWCOMBE_1998_EXACT)
def test_exact_ends_agree_with_newcombe_1998_table_i_to_four_places(k, n, low, high):
    assert (low, high) == pytest.approx((exact(k, n).low, exact(k, n).high), abs=6e-5)


@pytest.mark.parametrize(("k", "n", "low", "high"), JEFFREYS)
def test_jeffreys_ends_are_beta_quantiles_set_to_0_for_none_and_to_1_for_all(k, n, low, high):
    assert (low, high) == pytest.approx((jeffreys(k, n).low, jeffreys(k, n).high), abs=6e-5)


@given(counts(), st.floats(0.01, 0.9999))
def test_exact_and_jeffreys_agree_with_scipy(count, level):
    from scipy import stats

    k, n = count
    expected = stats.binomtest(k, n).proportion_ci(confidence_level=level, method="exact")
    assert (expected.low, expected.high) == pytest.approx((exact(k, n, level).low, exact(k, n, level).high), abs=1e-9)
    low, high = stats.beta.ppf([(1 - level) / 2, (1 + level) / 2], k + 0.5, n - k + 0.5)
    found = jeffreys(k, n, level)
    assert (low if k else 0.0, high if k < n else 1.0) == pytest.approx((found.low, found.high), abs=1e-9)


@pytest.mark.parametrize(("n", "p"), [(5, 0.5), (10, 0.07), (10, 0.9), (20, 0.3), (40, 0.8)])
def test_the_exact_interval_holds_the_truth_at_least_as_often_as_it_says(n, p):
    from math import comb

    held = sum(comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(n + 1) if exact(k, n).low <= p <= exact(k, n).high)
    assert held >= 0.95


@pytest.mark.parametrize("interval", [wilson, jeffreys])
@pytest.mark.parametrize("n", [5, 10, 25, 40])
def test_on_the_average_wilson_and_jeffreys_hold_the_truth_about_as_often_as_they_say(interval, n):
    """Brown, Cai and DasGupta (2001): mean coverage over p close to the level at these n."""
    from math import comb

    ends = [interval(k, n) for k in range(n + 1)]
    shares = [(place + 0.5) / 400 for place in range(400)]
    held = sum(
        comb(n, k) * p**k * (1 - p) ** (n - k) for p in shares for k in range(n + 1) if ends[k].low <= p <= ends[k].high
    ) / len(shares)
    assert 0.95 == pytest.approx(held, abs=0.012)


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


@EACH
@given(count=counts(), level=st.floats(0.5, 0.9999))
def test_the_counted_share_lies_inside_and_the_ends_inside_0_and_1(interval, count, level):
    k, n = count
    found = interval(k, n, level)

    assert 0.0 <= found.low <= found.rate <= found.high <= 1.0


@EACH
@given(count=counts())
def test_taken_and_failed_mirror_one_another(interval, count):
    k, n = count
    took, failed = interval(k, n), interval(n - k, n)

    assert (1 - failed.high, 1 - failed.low) == pytest.approx((took.low, took.high), abs=1e-12)


@EACH
@given(count=counts())
def test_a_higher_level_gives_a_range_at_least_as_wide(interval, count):
    narrow, wide = interval(*count, level=0.8), interval(*count, level=0.99)

    assert wide.low <= narrow.low
    assert narrow.high <= wide.high


@EACH
@pytest.mark.parametrize("n", [1, 2, 3, 20, 777, 100_000])
def test_none_of_n_starts_at_exactly_nothing_and_all_of_n_ends_at_exactly_one(interval, n):
    assert 0.0 == interval(0, n).low < interval(0, n).high < 1.0
    assert 0.0 < interval(n, n).low < interval(n, n).high == 1.0


@pytest.mark.parametrize(("name", "interval"), [(entry[0], entry[2]) for entry in INTERVALS])
def test_nothing_counted_leaves_both_ends_and_the_rate_unknown(name, interval):
    found = interval(0, 0)

    assert Interval(0, 0, 0.95, None, None, name) == found
    assert found.rate is None


def test_one_of_one_is_far_from_certain():
    # z = 1.959964: low = 1 / (1 + z^2) = 0.2065
    assert 0.2065 == round(wilson(1, 1).low, 4)
    # half the tail: 0.025 of a try with that chance takes
    assert 0.025 == round(exact(1, 1).low, 12)


def test_the_result_carries_counts_level_and_method():
    found = wilson(7, 9, level=0.9)

    assert (7, 9, 0.9, "wilson") == (found.k, found.n, found.level, found.method)


@pytest.mark.parametrize(
    ("k", "n", "shown"),
    [(5, 4, "k = 5, n = 4"), (-1, 4, "-1"), (0, -3, "-3"), (1.5, 4, "1.5"), (1, 4.0, "4.0"), (True, 4, "True"),
     (None, 4, "None"), ("3", 4, "'3'")],
)  # fmt: skip
def test_counts_that_cannot_be_are_refused_with_the_value(k, n, shown):
    for _name, _said, interval in INTERVALS:
        with pytest.raises(UsageProblem) as caught:
            interval(k, n)

        assert shown == caught.value.found


@pytest.mark.parametrize("level", [0, 1, -0.1, 1.5, 95, float("nan"), float("inf"), "0.95", True, None])
def test_a_level_outside_0_and_1_is_refused_with_the_value(level):
    for _name, _said, interval in INTERVALS:
        with pytest.raises(UsageProblem) as caught:
            interval(3, 4, level)

        assert repr(level) == caught.value.found


def test_the_everyday_interval_loads_nothing_heavy():
    heavy = "{'numpy', 'scipy', 'statsmodels'}"
    code = (
        "import sys, graftbook.stats.interval as s; [entry[2](3, 4) for entry in s.INTERVALS]; "
        f"print(*(set(sys.modules) & {heavy}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "" == done.stdout.strip()
