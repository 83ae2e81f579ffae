"""Whose chance a pair has: the grower's own count drawn toward what is printed, or what is printed, or a working value."""

from __future__ import annotations

import pytest

from graftbook.actions.plan.plan_chances import Chances
from graftbook.trade import methods, takes

CLEFT, BARK = methods.find("cleft"), methods.find("bark")
PRINTED = takes.of("cleft", "Malus domestica").middle


def chances(**own):
    return Chances({("apple", name): counts for name, counts in own.items()}, ())


@pytest.mark.parametrize(("k", "n"), [(1, 1), (0, 3), (11, 13), (90, 100)])
def test_an_own_count_weighs_more_the_larger_it_is(k, n):
    found = chances(cleft=(k, n)).of("Malus domestica", CLEFT)

    assert ("own", k, n) == (found.basis, found.k, found.n)
    assert (k + 2 * PRINTED) / (n + 2) == pytest.approx(found.value)
    assert min(k / n, PRINTED) <= found.value <= max(k / n, PRINTED)


def test_none_or_all_of_a_few_is_never_certain():
    assert 0 < chances(cleft=(0, 2)).of("Malus domestica", CLEFT).value
    assert chances(cleft=(2, 2)).of("Malus domestica", CLEFT).value < 1


def test_without_a_count_the_middle_of_what_is_printed_stands():
    found = chances().of("Malus domestica", CLEFT)

    assert ("published", PRINTED, None) == (found.basis, found.value, found.n)


def test_where_nothing_is_printed_it_is_a_working_value():
    assert "working value" == chances().of("Malus domestica", BARK).basis


def test_fewer_buds_than_usual_cost_a_little():
    usual = CLEFT.buds_default
    full, less = (chances().of("Malus domestica", CLEFT, buds) for buds in (usual, usual - 1))

    assert full.value == PRINTED
    assert PRINTED * 0.97 == pytest.approx(less.value)
