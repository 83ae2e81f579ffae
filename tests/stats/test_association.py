"""What moved together, against scipy where nothing is corrected, and on tables one can see through."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import somersd
from scipy.stats.contingency import association

from graftbook.stats.association import measure_association


def test_what_moved_together_is_told_apart_from_what_did_not():
    assert measure_association("xxyy", "aabb").complete
    assert measure_association("wwxxyyzz", "aaaabbbb").complete
    assert not measure_association("xyxy", "aabb").strong
    assert not measure_association("xxyx", "aabb").complete
    assert measure_association("xxxx", "abab") is None
    assert measure_association("xyxy", "aaaa") is None
    assert 0 == measure_association("xxyy" * 20, "ab" * 40).v
    assert measure_association("xxy", "aab", [10, 10, 20]) == measure_association("xy", "ab", [20, 20])


def test_what_never_varied_within_a_stratum_did_not_move_though_it_did_between_them():
    values, sides, strata = "ssss" + "tttt", "aaab" + "abbb", "11112222"
    assert measure_association(values, sides, strata=strata) is None
    assert measure_association(values, sides) is not None


def test_a_reversal_between_strata_does_not_hide_what_is_tied_in_each_of_them():
    values, sides, strata = "xxxyyy" + "yyyxxx", "aaabbb" * 2, "1" * 6 + "2" * 6
    assert 0 == measure_association(values, sides).v
    assert measure_association(values, sides, strata=strata).complete


def test_strata_of_one_side_say_nothing_and_are_not_counted():
    found = measure_association("xyyz", "abaa", strata="1122")
    assert ((("x", "a"), 1), (("y", "b"), 1)) == found.counts


def test_what_was_not_recorded_is_counted_apart():
    found = measure_association(["x", None, "y", None], "aabb", [2, 2, 2, 3])
    assert (True, 5) == (found.complete, found.missing)
    assert measure_association([None, None, "y", "z"], "aabb") is None


def test_values_that_hardly_any_graft_shares_are_not_said_to_have_moved():
    """Thirty grafts of thirty cultivars: none can stand on two sides, whatever was done."""
    own = measure_association([f"cultivar {number}" for number in range(30)], "ab" * 15)
    assert (False, False, 0) == (own.complete, own.strong, own.v)


def test_pairs_of_one_each_way_in_many_strata_are_still_found_tied():
    pairs = [str(number) for number in range(12) for _ in "ab"]
    assert measure_association("xy" * 12, "ab" * 12, strata=pairs).complete
    assert not measure_association("xyyx" * 6, "ab" * 12, strata=pairs).strong


def test_days_of_which_each_graft_had_its_own_are_told_by_which_side_came_first():
    days, sides = [f"2027-W{number:02}" for number in range(10, 22)], "a" * 6 + "b" * 6
    assert not measure_association(days, sides).strong
    found = measure_association(days, sides, order=str)
    assert (True, -1.0) == (found.complete, found.d)
    assert not measure_association(days, "ab" * 6, order=str).strong
    turned = measure_association([*days, *days], sides + "b" * 6 + "a" * 6, strata="1" * 12 + "2" * 12, order=str)
    assert 0 == turned.d


@given(st.lists(st.tuples(st.integers(0, 9), st.sampled_from("ab")), min_size=2, max_size=60))
def test_the_measure_of_order_is_somers_d_as_scipy_has_it(pairs):
    """scipy.stats.somersd, of the value on the side."""
    values, sides = zip(*pairs, strict=True)
    found = measure_association(values, sides, order=int)
    if found is None or len(set(sides)) < 2:
        return
    referee = somersd([side == "a" for side in sides], values).statistic
    assert referee == pytest.approx(found.d, abs=1e-12)


@given(st.lists(st.tuples(st.sampled_from("uvw"), st.sampled_from("ab")), min_size=400, max_size=400))
def test_the_corrected_measure_is_close_to_cramers_own_when_there_are_many(pairs):
    """scipy's Cramer's V, uncorrected; with 400 the correction of Bergsma (2013) takes off at most about 2/400 of V^2."""
    values, sides = zip(*pairs, strict=True)
    rows, columns = sorted(set(values)), sorted(set(sides))
    found = measure_association(values, sides)
    if found is None:
        assert min(len(rows), len(columns)) == 1
        return
    table = [[sum(pair == (row, column) for pair in pairs) for column in columns] for row in rows]
    own = association(table, method="cramer")
    assert own**2 == pytest.approx(found.v**2, abs=0.012)
    assert found.v <= own + 1e-12


def test_bergsmas_correction_by_hand():
    """phi^2 = 0.36 of 20, two by two: (0.36 - 1/19) / (2 - 1/19 - 1) = 0.3244."""
    assert 0.3244**0.5 == pytest.approx(
        measure_association("x" * 8 + "y" * 2 + "x" * 2 + "y" * 8, "a" * 10 + "b" * 10).v, abs=2e-4
    )
