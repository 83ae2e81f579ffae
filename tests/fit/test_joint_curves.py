"""Distances on the cut face against closed forms and against another library's geometry."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.fit.joint_curves import ONE, Face, chord, for_arrays, gap, sagitta, to_ellipse
from graftbook.fit.joint_kinds import Cut, Sizes, face_of
from graftbook.fit.joint_search import HAND_MM, at_shift, best_place, spots, within

sizes = st.floats(1.0, 20.0)


def ellipse(half_width, half_length, aside=0.0, points=4000):
    turns = [2 * math.pi * at / points for at in range(points)]
    return shapely.LinearRing([(aside + half_width * math.cos(t), half_length * math.sin(t)) for t in turns])


def test_a_flat_touching_a_cylinder_has_the_gap_of_the_sagitta():
    # A chord of length c in a circle of radius R lies s = R - sqrt(R² - c²/4) below its arc: 3-4-5 and 5-12-13.
    assert pytest.approx(1.0) == sagitta(5.0, 3.0)
    assert pytest.approx(2.0) == sagitta(5.0, -4.0)
    assert pytest.approx(1.0) == sagitta(13.0, 5.0)
    assert 0.0 == sagitta(5.0, 0.0)
    assert pytest.approx(7.0) == sagitta(5.0, 7.0)


@given(sizes, st.floats(0.05, 5.0))
def test_the_width_within_reach_of_a_flat_is_where_the_sagitta_equals_the_reach(radius, reach):
    aside = chord(radius, reach)

    assert pytest.approx(min(reach, radius), abs=1e-6) == sagitta(radius, aside)


@given(sizes, st.floats(1.0, 6.0), st.floats(-25.0, 25.0), st.floats(-80.0, 80.0))
def test_the_distance_to_an_ellipse_is_that_of_another_library(across, times, x, y):
    ring = ellipse(across, across * times)
    found = to_ellipse(x, y, across, across * times, ONE)
    expected = shapely.Point(x, y).distance(ring)

    if expected < 2.0:
        assert pytest.approx(expected, abs=0.01) == found


@given(sizes, st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))
def test_the_distance_to_a_circle_is_that_from_its_middle_less_the_radius(radius, x, y):
    assert pytest.approx(abs(math.hypot(x, y) - radius), abs=1e-6) == to_ellipse(x, y, radius, radius, ONE)


@pytest.mark.parametrize("against", ["ring", "lines", "barrel"])
def test_arrays_give_what_single_numbers_give(against):
    import numpy as np

    face = Face(against, 3.0, 12.0, 4.0, 16.0)
    x, y = np.linspace(-3, 3, 13), np.linspace(-12, 12, 13)

    assert pytest.approx([gap(face, *point, 0.7, ONE) for point in zip(x.tolist(), y.tolist(), strict=True)]) == list(
        gap(face, x, y, 0.7, for_arrays())
    )


def test_a_chord_that_crosses_the_reach_counts_by_proportion():
    assert (1.0, 0.0, 0.25, 0.25) == (within(1, 2), within(-1, -2), within(1, -3), within(-3, 1))


def buffered_share(face, reach, shift):
    """The share of the scion's outline inside a buffer round the stock's cambium, by another library."""
    outline = ellipse(face.half_width, face.half_length, shift)
    if face.against == "ring":
        stock = ellipse(face.across, face.along)
    else:
        tall = 2 * face.half_length
        stock = shapely.MultiLineString([[(x, -tall), (x, tall)] for x in (-face.across, face.across)])
    return outline.intersection(stock.buffer(reach, quad_segs=32)).length / outline.length


@given(st.sampled_from(["ring", "lines"]), st.floats(1.5, 8.0), st.floats(0.4, 1.2), st.floats(1.5, 6.0),
       st.floats(0.2, 1.0), st.floats(0.0, 1.0))  # fmt: skip
def test_a_share_is_within_one_per_cent_of_a_buffer_drawn_by_another_library(against, stand, ratio, times, reach, part):
    face = Face(against, stand * ratio, stand * ratio * times, stand, stand * times)
    # Half-way between the shifts where a whole edge lets go at once.
    shift = part * (abs(face.across - face.half_width) + reach)
    nudged = [buffered_share(face, reach + step, shift) for step in (-0.004, 0.0, 0.004)]

    assert min(nudged) - 0.01 <= at_shift(face, reach, shift).share <= max(nudged) + 0.01


@pytest.mark.parametrize("against", ["ring", "lines", "barrel"])
@pytest.mark.parametrize(("half_width", "across"), [(3.1, 3.1), (2.9, 3.1), (2.0, 4.0), (3.0, 15.0), (4.2, 4.0)])
def test_no_shift_of_a_fine_row_beats_the_best_by_more_than_a_hundredth(against, half_width, across):
    face = Face(against, half_width, 4 * half_width, across, 4 * across)
    far = max(spots(face, 0.5))
    row = max(at_shift(face, 0.5, far * at / 300).share for at in range(301))

    assert pytest.approx(row, abs=0.01) == best_place(face, 0.5).share


@settings(max_examples=60)
@given(st.sampled_from(["slant", "saddle", "split", "chord", "flat", "chip", "barrel", "shield"]), st.floats(4, 14),
       st.floats(0.6, 5.0), st.sampled_from([0.3, 0.5, 1.0]))  # fmt: skip
def test_the_place_found_is_the_best_or_one_side_given_for_a_middle_the_hand_would_miss(shape, scion, ratio, reach):
    cut = Cut(shape, 4.0 if shape == "slant" else None, 30.0)
    face = face_of(cut, Sizes(scion, scion * ratio, 0.1 * scion, 0.08 * scion * ratio), ONE)
    found, apart = best_place(face, reach), abs(face.across - face.half_width)
    far = max(spots(face, reach))
    row = [at_shift(face, reach, far * at / 200) for at in range(201)]
    best = max(row, key=lambda place: place.share)

    if found.share < best.share - 0.02:
        assert best.shift_mm < apart <= found.shift_mm + 1e-9
        assert at_shift(face, reach, best.shift_mm + HAND_MM).share < found.share + 0.06


@given(st.sampled_from(["ring", "lines"]), st.floats(1.5, 8.0), st.floats(0.5, 1.0), st.floats(0.0, 4.0))
def test_left_and_right_are_alike(against, stand, ratio, shift):
    face = Face(against, stand * ratio, 4 * stand * ratio, stand, 4 * stand)
    one, other = at_shift(face, 0.5, shift), at_shift(face, 0.5, -shift)

    assert pytest.approx((one.near, one.far)) == (other.far, other.near)


@given(st.floats(1.5, 8.0), st.floats(0.5, 1.1), st.floats(0.5, 20.0))
def test_only_proportions_count(stand, ratio, scale):
    faces = [Face("ring", s * ratio, 4 * s * ratio, s, 4 * s) for s in (stand, stand * scale)]

    assert (
        pytest.approx(at_shift(faces[0], 0.5, 0.3).share, abs=1e-6)
        == at_shift(faces[1], 0.5 * scale, 0.3 * scale).share
    )
