"""Two ways compared, against published examples and against scipy and statsmodels."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.contingency_tables import StratifiedTable
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import confint_proportions_2indep

from graftbook.errors import UsageProblem
from graftbook.stats.difference import holm, newcombe
from graftbook.stats.strata import (
    TwoByTwo,
    _expected,
    breslow_day,
    chi_square_tail,
    cmh,
    exact_conditional,
    mantel_haenszel,
)

# Graduate admissions at Berkeley in 1973, six departments: admitted and applied, men then women. Bickel, Hammel and
# O'Connell (1975), Science 187:398-404.
BERKELEY = (
    TwoByTwo(512, 825, 89, 108), TwoByTwo(353, 560, 17, 25), TwoByTwo(120, 325, 202, 593), TwoByTwo(138, 417, 131, 375),
    TwoByTwo(53, 191, 94, 393),
    TwoByTwo(22, 373, 24, 341),
)  # fmt: skip


@pytest.mark.parametrize(
    ("counts", "low", "high"),
    [
        ((56, 70, 48, 80), 0.0524, 0.3339), ((9, 10, 3, 10), 0.1705, 0.8090), ((6, 7, 2, 7), 0.0582, 0.8062),
        ((5, 56, 0, 29), -0.0381, 0.1926), ((0, 10, 0, 20), -0.1611, 0.2775), ((0, 10, 0, 10), -0.2775, 0.2775),
        ((10, 10, 0, 20), 0.6791, 1.0), ((10, 10, 0, 10), 0.6075, 1.0),
    ],
)  # fmt: skip
def test_differences_against_newcombes_table(counts, low, high):
    """Newcombe (1998), Statistics in Medicine 17:873-890, Table II, method 10; from memory, confirmed by recomputation."""
    found = newcombe(*counts)
    assert (low, high) == pytest.approx((found.low, found.high), abs=6e-5)


@given(st.integers(1, 60), st.integers(1, 60), st.data())
def test_differences_against_statsmodels(n1, n2, data):
    k1, k2 = data.draw(st.integers(0, n1)), data.draw(st.integers(0, n2))
    low, high = confint_proportions_2indep(k1, n1, k2, n2, method="newcomb", compare="diff")
    found = newcombe(k1, n1, k2, n2)
    assert (max(low, -1.0), min(high, 1.0)) == pytest.approx((found.low, found.high), abs=1e-9)


def test_nothing_counted_on_a_side_gives_no_difference():
    assert newcombe(0, 0, 3, 5).difference is None
    with pytest.raises(UsageProblem):
        newcombe(6, 5, 0, 1)


def test_the_lady_tasting_tea():
    """Fisher (1935), The Design of Experiments: three of four and one of four, two-sided 34/70."""
    assert 34 / 70 == pytest.approx(exact_conditional([TwoByTwo(3, 4, 1, 4)]), abs=1e-12)


def test_berkeley_admissions_within_departments():
    """Common odds ratio 0.9047 (0.7719 to 1.0603), exact conditional p 0.22776,
    CMH 1.5246 and with correction 1.4269 (R's mantelhaen.test on UCBAdmissions), Breslow-Day
    18.83 on 5 degrees of freedom."""
    common = mantel_haenszel(BERKELEY)
    assert (0.9046968, 0.7719074, 1.0603298) == pytest.approx((common.value, common.low, common.high), abs=1e-6)
    assert 0.22776 == pytest.approx(exact_conditional(BERKELEY), abs=5e-6)
    without_a = breslow_day(BERKELEY[1:], tarone=False)
    assert (4, 0.63424) == (without_a.df, pytest.approx(without_a.p, abs=1e-4))
    assert (1.5246, 0.2169) == pytest.approx((cmh(BERKELEY).statistic, cmh(BERKELEY).p), abs=6e-5)
    assert (1.4269, 0.2323) == pytest.approx((cmh(BERKELEY, True).statistic, cmh(BERKELEY, True).p), abs=6e-5)
    found = breslow_day(BERKELEY, tarone=False)
    assert (18.83, 5, 0.0021) == pytest.approx((found.statistic, found.df, found.p), abs=6e-3)


def test_berkeley_admissions_thrown_together_point_the_other_way():
    crude = TwoByTwo(*(sum(getattr(pair, name) for pair in BERKELEY) for name in ("k1", "n1", "k2", "n2")))
    assert mantel_haenszel([crude]).value > 1 > mantel_haenszel(BERKELEY).value


PAIRS = st.builds(
    lambda n1, n2, a, b: TwoByTwo(a % (n1 + 1), n1, b % (n2 + 1), n2), st.integers(1, 25), st.integers(1, 25), st.integers(0, 99),
    st.integers(0, 99),
)  # fmt: skip


@given(st.lists(PAIRS, min_size=1, max_size=5))
def test_strata_against_statsmodels(pairs):
    assume(all(0 < p.k1 < p.n1 and 0 < p.k2 < p.n2 for p in pairs))
    tables = np.array([[[p.k1, p.n1 - p.k1], [p.k2, p.n2 - p.k2]] for p in pairs], dtype=float).transpose(1, 2, 0)
    referee = StratifiedTable(tables)
    found = mantel_haenszel(pairs)
    assert referee.oddsratio_pooled == pytest.approx(found.value, rel=1e-9)
    assert referee.oddsratio_pooled_confint() == pytest.approx((found.low, found.high), rel=1e-9)
    assert referee.test_null_odds().statistic == pytest.approx(cmh(pairs).statistic, abs=1e-9)
    if len(pairs) > 1:
        equal = referee.test_equal_odds(adjust=True)
        assert (equal.statistic, equal.pvalue) == pytest.approx(
            (breslow_day(pairs).statistic, breslow_day(pairs).p), rel=1e-6, abs=1e-9
        )


@given(PAIRS)
def test_one_stratum_against_fishers_exact_test_in_scipy(pair):
    found = exact_conditional([pair])
    expected = stats.fisher_exact([[pair.k1, pair.n1 - pair.k1], [pair.k2, pair.n2 - pair.k2]]).pvalue
    assert expected == pytest.approx(1.0 if found is None else found, abs=1e-9)


@given(st.floats(0, 900), st.integers(1, 900))
def test_the_tail_of_chi_square_against_scipy(x, df):
    assert stats.chi2.sf(x, df) == pytest.approx(chi_square_tail(x, df), rel=1e-9, abs=1e-13)


def test_strata_that_say_nothing_drop_out():
    silent = [TwoByTwo(3, 3, 4, 4), TwoByTwo(0, 5, 0, 2), TwoByTwo(2, 5, 0, 0)]
    informative = [TwoByTwo(7, 9, 2, 8)]
    assert exact_conditional(informative) == exact_conditional([*silent, *informative])
    alone, among = mantel_haenszel(informative), mantel_haenszel([*silent, *informative])
    assert (alone.value, alone.low, alone.high, 17) == (among.value, among.low, among.high, among.n)
    assert (0, 3) == (alone.uninformative, among.uninformative)
    assert (None, None, None) == (exact_conditional(silent), cmh(silent), mantel_haenszel(silent).value)
    assert math.inf == mantel_haenszel([TwoByTwo(5, 5, 1, 5)]).value


def test_holm_against_the_fifteen_chances_of_benjamini_and_hochberg():
    """Benjamini and Hochberg (1995), JRSS B 57:289-300: at 0.05 Holm's procedure rejects three of the fifteen."""
    chances = [.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1.0]  # fmt: skip
    assert 3 == sum(adjusted <= 0.05 for adjusted in holm(chances))
    assert multipletests(chances, method="holm")[1] == pytest.approx(holm(chances))


@given(st.lists(st.floats(0, 1), max_size=8))
def test_holm_against_statsmodels(chances):
    if chances:
        assert multipletests(chances, method="holm")[1] == pytest.approx(holm(chances))
    else:
        assert () == holm(chances)


@pytest.mark.parametrize("odds", [1 - 1e-15, 1 - 1e-9, 1.0, 1 + 1e-15, 1 + 1e-9])
def test_expected_counts_lose_no_digits_where_the_odds_ratio_is_nearly_one(odds):
    """At an odds ratio of 1 the expected count is the product of the margins over the total."""
    for pair in (TwoByTwo(7, 9, 2, 8), TwoByTwo(1, 40, 3, 5), TwoByTwo(5, 6, 30, 31)):
        assert pair.n1 * (pair.k1 + pair.k2) / pair.total == pytest.approx(_expected(pair, odds), rel=1e-6)
