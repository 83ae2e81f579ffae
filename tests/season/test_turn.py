"""The turn of the season, in both hemispheres and across leap years."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.season import turn

days = st.dates(date(1900, 1, 1), date(2200, 12, 31))
hemispheres = st.sampled_from(list(turn.REST))


@pytest.mark.parametrize(
    ("on", "hemisphere", "season"),
    [
        (date(2026, 10, 31), "north", "2025-26"),
        (date(2026, 11, 1), "north", "2026-27"),
        (date(2026, 12, 31), "north", "2026-27"),
        (date(2027, 1, 1), "north", "2026-27"),
        (date(2027, 10, 31), "north", "2026-27"),
        (date(2026, 4, 30), "south", "2025-26"),
        (date(2026, 5, 1), "south", "2026-27"),
        (date(2027, 4, 30), "south", "2026-27"),
        (date(2028, 2, 29), "north", "2027-28"),
        (date(2028, 2, 29), "south", "2027-28"),
        (date(2099, 12, 1), "north", "2099-00"),
        (date(2008, 11, 1), "north", "2008-09"),
    ],
)
def test_a_season_turns_on_1_november_in_the_north_and_1_may_in_the_south(on, hemisphere, season):
    assert season == turn.season_of(on, hemisphere)


@pytest.mark.parametrize(
    ("season", "hemisphere", "first", "last"),
    [
        ("2026-27", "north", date(2026, 11, 1), date(2027, 10, 31)),
        ("2026-27", "south", date(2026, 5, 1), date(2027, 4, 30)),
        ("2099-00", "north", date(2099, 11, 1), date(2100, 10, 31)),
    ],
)
def test_bounds_are_the_first_and_last_day(season, hemisphere, first, last):
    assert (first, last) == turn.season_bounds(season, hemisphere)


@given(days, hemispheres)
def test_every_day_lies_within_the_bounds_of_its_season(on, hemisphere):
    first, last = turn.season_bounds(turn.season_of(on, hemisphere), hemisphere)

    assert first <= on <= last
    assert last == turn.season_end_after(on, hemisphere)
    assert last - first in (timedelta(days=364), timedelta(days=365))


@pytest.mark.parametrize(
    "text", ["2026", "2026-28", "2026-26", "26-27", "2026/27", "2026-2027", "", "0000-01", "9999-00"]
)
def test_a_season_written_otherwise_is_refused_with_what_was_found(text):
    with pytest.raises(UsageProblem) as caught:
        turn.season_bounds(text, "north")

    assert repr(text) == caught.value.found


@pytest.mark.parametrize("call", [turn.season_of, turn.season_end_after, turn.growth_deadline, turn.spring_after])
def test_an_unknown_hemisphere_is_refused(call):
    with pytest.raises(UsageProblem) as caught:
        call(date(2027, 4, 1), "west")

    assert "'west'" == caught.value.found


def test_rest_refuses_an_unknown_hemisphere_even_for_an_evergreen():
    with pytest.raises(UsageProblem):
        turn.dormant(date(2027, 4, 1), "North", deciduous=False)


@pytest.mark.parametrize(
    ("made_on", "hemisphere", "deadline"),
    [
        (date(2027, 3, 20), "north", date(2027, 10, 31)),
        (date(2027, 7, 3), "north", date(2027, 10, 31)),  # 120 days before the season's end
        (date(2027, 7, 4), "north", date(2028, 10, 31)),  # 119
        (date(2027, 8, 10), "north", date(2028, 10, 31)),
        (date(2027, 9, 10), "south", date(2028, 4, 30)),
        (date(2028, 1, 1), "south", date(2028, 4, 30)),  # 120 days, with the leap day
        (date(2027, 1, 1), "south", date(2028, 4, 30)),  # 119, no leap day
        (date(2028, 2, 29), "south", date(2029, 4, 30)),
        (date(2028, 2, 29), "north", date(2028, 10, 31)),
    ],
)
def test_a_graft_must_grow_by_the_first_seasons_end_120_days_on(made_on, hemisphere, deadline):
    assert deadline == turn.growth_deadline(made_on, hemisphere)


@given(days, hemispheres)
def test_the_deadline_is_120_days_to_16_months_away(made_on, hemisphere):
    wait = (turn.growth_deadline(made_on, hemisphere) - made_on).days

    assert 120 <= wait < 120 + 366


@pytest.mark.parametrize(
    ("on", "hemisphere", "resting"),
    [
        (date(2026, 10, 31), "north", False),
        (date(2026, 11, 1), "north", True),
        (date(2027, 1, 14), "north", True),
        (date(2028, 2, 29), "north", True),
        (date(2027, 3, 15), "north", True),
        (date(2027, 3, 16), "north", False),
        (date(2027, 7, 1), "north", False),
        (date(2027, 4, 30), "south", False),
        (date(2027, 5, 1), "south", True),
        (date(2027, 7, 1), "south", True),
        (date(2027, 9, 15), "south", True),
        (date(2027, 9, 16), "south", False),
        (date(2027, 1, 14), "south", False),
    ],
)
def test_deciduous_trees_rest_in_their_own_winter(on, hemisphere, resting):
    # Common practice: deciduous wood is cut at full dormancy, in January north and July south; the ends from memory.
    assert resting is turn.dormant(on, hemisphere, deciduous=True)
    assert (not resting) is turn.growing_season(on, hemisphere)


def test_an_evergreen_is_never_at_rest_and_an_unknown_tree_not_known():
    assert turn.dormant(date(2027, 1, 14), "north", deciduous=False) is False
    assert turn.dormant(date(2027, 1, 14), "north", deciduous=None) is None


@pytest.mark.parametrize(
    ("budded", "hemisphere", "spring"),
    [
        (date(2026, 8, 10), "north", date(2027, 3, 16)),
        (date(2026, 10, 31), "north", date(2027, 3, 16)),
        (date(2026, 11, 1), "north", date(2028, 3, 16)),
        (date(2027, 2, 10), "south", date(2027, 9, 16)),
        (date(2028, 2, 29), "south", date(2028, 9, 16)),
    ],
)
def test_the_next_spring_lies_across_the_turn(budded, hemisphere, spring):
    assert spring == turn.spring_after(budded, hemisphere)


def test_the_next_29_february_is_1_march_in_a_year_without_one():
    assert date(2028, 2, 29) == turn.next_day_of_year(date(2027, 3, 2), 2, 29)
    assert date(2027, 3, 1) == turn.next_day_of_year(date(2026, 3, 2), 2, 29)
    assert date(2027, 3, 15) == turn.next_day_of_year(date(2026, 3, 15), 3, 15)
