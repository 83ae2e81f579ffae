"""Where on its host a graft sits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.lineage import positions
from graftbook.lineage.positions import Apart, Spot


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("N", 0), ("nnw", 337), ("NW", 315), ("north-west", 315), ("South South East", 157), ("E", 90), ("300", 300),
        ("300°", 300), ("0", 0), ("360", 0), ("45 degrees", 45),
    ],
)  # fmt: skip
def test_a_bearing_is_one_of_sixteen_points_or_degrees(typed, degrees):
    assert degrees == positions.bearing(typed)


@pytest.mark.parametrize("typed", ["361", "up", "NNNW", "-10", "N45", "west by south"])
def test_what_is_no_bearing_is_refused(typed):
    with pytest.raises(UsageProblem, match="a bearing such as NW"):
        positions.bearing(typed)


def test_the_sixteen_points_stand_twenty_two_and_a_half_degrees_apart_clockwise_from_north():
    # The division of the circle into sixteen points is the definition of the compass rose.
    assert 16 * positions.POINT_DEG == 360
    for at, name in enumerate(positions.POINTS):
        assert int(at * 360 / 16) == positions.bearing(name)
        assert name == positions.point(positions.bearing(name))


def test_north_is_named_from_both_sides():
    assert ("N", "N", "NNE", "NNW") == tuple(positions.point(deg) for deg in (355, 11, 12, 348))


@given(st.integers(0, 359), st.integers(0, 359))
def test_the_angle_between_two_bearings_is_the_smaller_one_either_way_round(first, second):
    gap = positions.round_apart(first, second)
    assert 0 <= gap <= 180
    assert gap == positions.round_apart(second, first)
    assert (first + gap) % 360 == second or (first - gap) % 360 == second


@given(st.integers(0, 359))
def test_the_nearest_point_is_never_further_than_half_a_step_and_the_degree_dropped(deg):
    assert positions.round_apart(deg, positions.bearing(positions.point(deg))) <= 12


def test_what_was_not_recorded_rules_nothing_out():
    assert Apart(None, 50.0) == positions.apart(Spot(315, 1000.0), Spot(None, 1050.0))
    assert positions.may_be(Spot(315, 1000.0), Spot(None, 1050.0), 100.0)
    assert not positions.may_be(Spot(315, 1000.0), Spot(None, 1150.0), 100.0)
    assert not positions.may_be(Spot(315, None), Spot(270, None), 100.0)
    assert positions.may_be(Spot(315, None), Spot(337, None), 100.0)
