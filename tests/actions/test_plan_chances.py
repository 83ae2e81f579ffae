"""Whose chance a pair has: the grower's own counts as fine as they carry, what is printed, or a working value."""

from __future__ import annotations

from datetime import date

import pytest

from graftbook.actions.plan.plan_chances import A_BUD_LESS, CARRIES, Chances, OwnSplit
from graftbook.stats.shrink import shrink
from graftbook.trade import methods, takes

CLEFT, BARK, SPLICE, WHIP = (methods.find(name) for name in ("cleft", "bark", "splice", "whip-and-tongue"))
PRINTED = takes.of("cleft", "Malus domestica").middle
APPLE = "Malus domestica"


def chances(*rows, **own):
    """Counts by method, or by whole rows with their count."""
    counts = {OwnSplit("apple", name): counts for name, counts in own.items()}
    return Chances({**counts, **dict(rows)}, (), date(2027, 3, 20))


def row(method="splice", **more):
    return OwnSplit("apple", method, **more)


@pytest.mark.parametrize(("k", "n"), [(1, 1), (0, 3), (11, 13), (90, 100)])
def test_an_own_count_weighs_more_the_larger_it_is(k, n):
    found = chances(cleft=(k, n)).of(APPLE, CLEFT)

    assert ("own", k, n) == (found.basis, found.k, found.n)
    assert (k + 2 * PRINTED) / (n + 2) == pytest.approx(found.value)
    assert min(k / n, PRINTED) <= found.value <= max(k / n, PRINTED)


def test_none_or_all_of_a_few_is_never_certain():
    assert 0 < chances(cleft=(0, 2)).of(APPLE, CLEFT).value
    assert chances(cleft=(2, 2)).of(APPLE, CLEFT).value < 1


def test_without_a_count_the_middle_of_what_is_printed_stands():
    found = chances().of(APPLE, CLEFT)

    assert ("published", PRINTED, None) == (found.basis, found.value, found.n)


def test_where_nothing_is_printed_it_is_a_working_value():
    assert "working value" == chances().of(APPLE, BARK).basis


def test_fewer_buds_than_usual_cost_a_little():
    usual = CLEFT.buds_default
    full, less = (chances().of(APPLE, CLEFT, buds) for buds in (usual, usual - 1))

    assert full.value == PRINTED
    assert PRINTED * (1 - A_BUD_LESS) == pytest.approx(less.value)


def test_scions_of_two_buds_and_of_one_have_each_their_own_count():
    """32 of 40 and 13 of 20: never 45 of 60 for both."""
    held = chances((row(buds=2), (32, 40)), (row(buds=1), (13, 20)))
    two, one, all_of_them = (held.of(APPLE, SPLICE, buds) for buds in (2, 1, None))

    assert [(32, 40), (13, 20), (45, 60)] == [(each.k, each.n) for each in (two, one, all_of_them)]
    assert 0.80 == pytest.approx(two.value, abs=0.005) and 0.65 == pytest.approx(one.value, abs=0.01)
    assert "own count: 32 of 40 (apple by splice, 2 buds)" == two.words


def test_with_three_rows_and_more_the_estimate_is_that_of_partial_pooling():
    counts = [(32, 40), (13, 20), (11, 12), (3, 4)]
    rows = [row(buds=2), row(buds=1), row("cleft", buds=3), row("bark", buds=2)]
    held = chances(*zip(rows, counts, strict=True))
    pooled = shrink(counts)

    assert pooled[0].rate == pytest.approx(held.of(APPLE, SPLICE, 2).value)
    assert pooled[2].rate == pytest.approx(held.of(APPLE, CLEFT, 3).value)
    assert "drawn toward the other rows of its kind" in held.of(APPLE, SPLICE, 2).words


def test_a_count_too_small_for_a_split_stands_unsplit():
    held = chances((row(buds=2), (CARRIES - 1, CARRIES - 1)), (row(buds=1), (0, 1)))
    found = held.of(APPLE, SPLICE, 2)

    assert (CARRIES - 1, CARRIES) == (found.k, found.n)


def test_an_ill_matched_pair_has_its_own_count_or_a_working_value_less_and_never_the_same_chance():
    matched, thinner = "alike within 10%", "scion thinner by 25-50%"
    uncounted = chances((row(match=matched), (20, 25)))
    counted = chances((row(match=matched), (20, 25)), (row(match=thinner), (5, 12)))

    good, bad = uncounted.of(APPLE, SPLICE, None, matched), uncounted.of(APPLE, SPLICE, None, thinner)
    assert (20, 25) == (good.k, good.n)
    assert good.value * 0.85 == pytest.approx(bad.value, abs=0.02)
    assert "15% less for a scion thinner by 25-50%, a working value" in bad.words
    assert (5, 12) == (counted.of(APPLE, SPLICE, None, thinner).k, counted.of(APPLE, SPLICE, None, thinner).n)
    cleft = uncounted.of(APPLE, CLEFT, None, thinner)
    assert "less" not in cleft.words  # a cleft wants the scion thinner


def test_the_half_of_the_month_counts_where_the_counts_carry_it():
    early, late = row(time="03-01"), row(time="03-16")
    held = chances((early, (4, 20)), (late, (18, 20)))
    by_buds = chances((row(buds=2, time="03-01"), (4, 20)), (row(buds=2, time="03-16"), (18, 20)))

    assert (22, 40) == (held.of(APPLE, SPLICE).k, held.of(APPLE, SPLICE).n)
    found = by_buds.of(APPLE, SPLICE, 2)
    assert (18, 20) == (found.k, found.n)
    assert "own count: 18 of 20 (apple by splice, 2 buds, from 03-16)" == found.words
