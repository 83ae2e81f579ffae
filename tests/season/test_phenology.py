"""Days from green tip: whose green tip counts, over the turn of the year and in both hemispheres."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as some

from graftbook.errors import UsageProblem
from graftbook.season.phenology import SinceGreenTip, band, green_tips

APPLE = "Malus domestica"
NOTES = [
    (1, APPLE, "Long Row", date(2027, 4, 2), "green tip"),
    (1, APPLE, "Long Row", date(2027, 4, 6), "green tip"),
    (1, APPLE, "Long Row", date(2027, 4, 20), "pink"),
    (2, APPLE, "Long Row", date(2027, 4, 8), "green tip"),
    (3, APPLE, "Wall", date(2027, 3, 20), "green tip"),
    (4, "Pyrus communis", "Wall", date(2027, 3, 10), "green tip"),
    (1, APPLE, "Long Row", date(2026, 4, 12), "green tip"),
    (5, None, None, date(2027, 3, 1), None),
]
TIPS = green_tips(NOTES, "north")


@pytest.mark.parametrize(
    ("on", "plant", "taxon", "place", "expected"),
    [
        (date(2027, 4, 12), 1, APPLE, "Long Row", SinceGreenTip(10, "own")),
        (date(2027, 3, 30), 1, APPLE, "Long Row", SinceGreenTip(-3, "own")),
        (date(2027, 4, 12), 9, APPLE, "long  row", SinceGreenTip(10, "kind here")),
        (date(2027, 4, 12), 9, APPLE, "Shed", SinceGreenTip(10, "kind")),
        (date(2027, 4, 12), None, APPLE, "Wall", SinceGreenTip(23, "kind here")),
        (date(2026, 4, 20), 9, APPLE, None, SinceGreenTip(8, "kind")),
        (date(2027, 4, 12), 5, None, None, None),
        (date(2025, 4, 12), 1, APPLE, "Long Row", None),
        (date(2027, 4, 12), 9, "Prunus avium", "Long Row", None),
    ],
)
def test_green_tip_is_that_of_the_plant_else_of_its_kind_at_the_place_else_of_its_kind(
    on, plant, taxon, place, expected
):
    assert expected == TIPS.since(on, plant, taxon, place)


def test_a_bud_of_august_counts_from_the_spring_before_and_winter_work_from_the_spring_to_come():
    assert 131 == TIPS.since(date(2027, 8, 11), 1, APPLE).days
    assert -139 == TIPS.since(date(2026, 11, 14), 1, APPLE).days


def test_in_the_south_the_season_turns_in_may():
    tips = green_tips([(1, APPLE, "Row", date(2027, 9, 10), "green tip")], "south")
    assert SinceGreenTip(-30, "own") == tips.since(date(2027, 8, 11), 1, APPLE)
    assert 152 == tips.since(date(2028, 2, 9), 1, APPLE).days
    assert tips.since(date(2027, 4, 30), 1, APPLE) is None


@given(some.integers(-400, 400), some.integers(1, 30))
def test_a_band_holds_its_number_and_is_as_wide_as_asked(days, wide):
    low, high = map(int, band(days, wide).split(" to "))
    assert low <= days <= high
    assert wide == high - low + 1


def test_bands_meet_at_nought():
    assert ["-7 to -1", "0 to 6", "7 to 13"] == [band(-1), band(0), band(13)]


def test_an_unknown_hemisphere_is_refused():
    with pytest.raises(UsageProblem, match="north or south"):
        green_tips(NOTES, "east")
