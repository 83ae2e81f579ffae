"""Strata against published tables of others: cuttings, two treatments, rabbits; each with its source."""

from __future__ import annotations

import csv
from math import log
from pathlib import Path

import pytest
from scipy import stats

from graftbook.stats.difference import holm
from graftbook.stats.strata import TwoByTwo, breslow_day, cmh, exact_conditional, mantel_haenszel
from graftbook.stats.strata import _expected as expected_under

DATA = Path(__file__).parent / "data"

# R's example for mantelhaen.test: rabbits cured by penicillin at once and after an hour and a half, five doses (Agresti,
# A. (1990). Categorical Data Analysis, p. 235). Counts from memory; they give the published answers below.
RABBITS = (TwoByTwo(0, 6, 0, 5), TwoByTwo(3, 6, 0, 6), TwoByTwo(6, 6, 2, 6), TwoByTwo(5, 6, 6, 6), TwoByTwo(2, 2, 5, 5))


def strata(name, stratum, group, first):
    """The strata of a file of counts; the first line of the file says where they come from."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    held: dict[str, dict[str, tuple[int, int]]] = {}
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        held.setdefault(row[stratum], {})[row[group]] = (int(row["successes"]), int(row["n"]))
    return {
        name: TwoByTwo(*sides[first], *next(counts for side, counts in sides.items() if side != first))
        for name, sides in held.items()
    }


def test_plum_cuttings_planted_at_once_and_in_spring():
    """Bartlett (1935), JRSS Supplement 2:248-252, as the documentation of vcdExtra analyses it: chi-square 43.200 long and
    58.744 short, log odds ratios 1.238 and 1.691. The common ratio is recomputed with statsmodels, not published."""
    plums = strata("plum_cuttings_1935.csv", "Length", "Time", "Now")
    for length, square, logarithm in (("Long", 43.200, 1.238078), ("Short", 58.744, 1.690827)):
        pair = plums[length]
        found = cmh([pair]).statistic * pair.total / (pair.total - 1)
        assert square == pytest.approx(found, abs=5e-4)
        assert logarithm == pytest.approx(log(mantel_haenszel([pair]).value), abs=1e-6)
    common = mantel_haenszel(tuple(plums.values()))
    assert (4.1773862, 3.1319996, 5.5716978) == pytest.approx((common.value, common.low, common.high), abs=1e-6)
    assert 100.118478 == pytest.approx(cmh(tuple(plums.values())).statistic, abs=1e-5)


def test_two_treatments_of_migraine_by_sex():
    """SAS/STAT User's Guide, PROC FREQ: CMH 8.3052, p 0.0040 as printed; odds ratio 3.3132 (1.4456 to 7.5934) and
    Breslow-Day 1.4929, p 0.2218 from memory, confirmed by recomputation."""
    pairs = tuple(strata("migraine_sas.csv", "stratum", "group", "active").values())
    assert (8.3052, 0.0040) == pytest.approx((cmh(pairs).statistic, cmh(pairs).p), abs=6e-5)
    common = mantel_haenszel(pairs)
    assert (3.3132, 1.4456, 7.5934) == pytest.approx((common.value, common.low, common.high), abs=6e-5)
    same = breslow_day(pairs, tarone=False)
    assert (1.4929, 0.2218) == pytest.approx((same.statistic, same.p), abs=6e-5)


def test_rabbits_in_strata_so_small_that_the_approximation_fails():
    """R's mantelhaen.test: CMH with correction 3.9286, p 0.04747; exact conditional p 0.03994. The common ratio is 7."""
    assert (3.9286, 0.04747) == pytest.approx((cmh(RABBITS, True).statistic, cmh(RABBITS, True).p), abs=5e-5)
    assert 0.03994 == pytest.approx(exact_conditional(RABBITS), abs=5e-6)
    common = mantel_haenszel(RABBITS)
    assert (7, 36, 2) == (pytest.approx(common.value), common.n, common.uninformative)


def test_twins_against_fishers_exact_test():
    """R's example for fisher.test, convictions of twins (Fisher 1970; Agresti 1990): 2 of 12 and 15 of 18, p 0.0005367."""
    assert 0.0005367 == pytest.approx(exact_conditional([TwoByTwo(2, 12, 15, 18)]), abs=5e-8)


def test_holm_against_an_example_of_four():
    """0.01, 0.04, 0.03, 0.005 give 0.03, 0.06, 0.06, 0.02: a usual example, from memory, confirmed with statsmodels."""
    assert (0.03, 0.06, 0.06, 0.02) == pytest.approx(holm((0.01, 0.04, 0.03, 0.005)))


@pytest.mark.parametrize("odds", [1 - 1e-9, 1 - 1e-15, 1.0, 1 + 1e-15, 1 + 1e-12, 1 + 1e-7])
def test_expected_counts_run_smoothly_through_an_odds_ratio_of_one(odds):
    for pair in (TwoByTwo(7, 90, 31, 40), TwoByTwo(1234, 4000, 900, 1100), TwoByTwo(1, 2, 1, 2)):
        assert pair.n1 * (pair.k1 + pair.k2) / pair.total == pytest.approx(expected_under(pair, odds), rel=1e-6)


def test_strata_by_the_hundred_are_tested_for_agreement():
    pairs = [TwoByTwo(1 + number % 4, 6, 1 + number % 3, 5) for number in range(1200)]
    same = breslow_day(pairs)
    assert 1199 == same.df
    assert stats.chi2.sf(same.statistic, 1199) == pytest.approx(same.p, rel=1e-8, abs=1e-13)
