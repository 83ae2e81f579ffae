"""Media: every set of figures holds together, and wrong figures are all named at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from labels import media
from labels.errors import UnknownMedium

NAMES = tuple(m.name for m in media.all())


@pytest.mark.parametrize("name", NAMES)
def test_every_medium_lies_on_its_page_without_overlap(name):
    assert () == media.check(media.get(name))


def test_names_are_unique_and_every_kind_and_basis_is_covered():
    found = media.all()
    assert len(found) == len({m.name for m in found})
    assert set(media.KINDS) == {m.kind for m in found}
    assert {"common practice", "from memory"} == {m.basis for m in found}
    assert all(m.title and m.note for m in found)


def test_stakes_keep_between_a_fifth_and_a_half_of_their_length_blank():
    """Common practice: the lower 30 to 40 % of a stake is in the medium."""
    for m in media.all():
        if m.kind == "stake":
            assert 0.2 < m.blank_mm / m.long_mm < 0.5


def test_letter_thirty_up_is_two_and_five_eighths_by_one_inch_at_inch_pitches():
    """Common practice: 2-5/8 x 1 in, half an inch from the top, three sixteenths from the left, pitch 2-3/4 x 1 in."""
    m = media.get("letter-30up")
    inches = [v / 25.4 for v in (m.label_w_mm, m.label_h_mm, m.left_mm, m.top_mm, m.pitch_x_mm, m.pitch_y_mm)]
    assert [2.625, 1, 0.1875, 0.5, 2.75, 1] == pytest.approx(inches)


def test_pages_are_letter_and_a4():
    """Letter is 8.5 x 11 in (ANSI/ASME Y14.1 size A); A4 is 210 x 297 mm (ISO 216)."""
    for m in media.all():
        if m.name.startswith("letter-"):
            assert (215.9, 279.4) == (m.page_w_mm, m.page_h_mm)
        if m.name.startswith("a4-"):
            assert (210, 297) == (m.page_w_mm, m.page_h_mm)


def test_cells_are_counted_row_by_row_and_start_again_on_the_next_page():
    m = media.get("letter-30up")
    assert (4.7625, 12.7) == m.cell(1)
    assert pytest.approx((4.7625 + 2 * 69.85, 12.7)) == m.cell(3)
    assert pytest.approx((4.7625, 38.1)) == m.cell(4)
    assert m.cell(1) == m.cell(31)


def test_a_name_is_found_in_any_case():
    assert "a4-21up" == media.get(" A4-21UP ").name


def test_an_unknown_name_gets_the_near_ones():
    with pytest.raises(UnknownMedium) as caught:
        media.get("leter-30up")

    assert "letter-30up" == caught.value.near[0]
    assert "expected the name of a medium; found leter-30up; did you mean letter-30up" in str(caught.value)


def test_a_name_like_nothing_else_has_no_near_ones():
    with pytest.raises(UnknownMedium) as caught:
        media.get("zzzzzz")

    assert () == caught.value.near
    assert "list the media" in str(caught.value)


def test_a_grid_that_leaves_the_page_and_overlaps_is_told_both():
    wrong = replace(media.get("letter-30up"), pitch_x_mm=60.0, rows=11)
    assert (
        "across, labels of 66.67 mm overlap at a pitch of 60.00 mm",
        "down, the last label ends at 292.10 mm, beyond the page's 279.40 mm",
    ) == media.check(wrong)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"label_w_mm": 0.0}, "label_w_mm must be more than 0, not 0"),
        ({"page_h_mm": float("nan")}, "page_h_mm must be more than 0, not nan"),
        ({"left_mm": -1.0}, "left_mm must not be below 0, but is -1"),
        ({"cols": 0}, "cols must be 1 or more, not 0"),
        ({"kind": "tin"}, "kind must be one of sheet, strip, stake, roll, loop, not tin"),
        ({"corner_mm": 14.0}, "a corner radius of 14.00 mm is more than half the label's short side"),
        ({"blank_mm": 70.0}, "the blank end of 70.00 mm leaves nothing of 66.67 mm to print on"),
    ],
)
def test_a_wrong_figure_is_named(change, said):
    assert (said,) == media.check(replace(media.get("letter-30up"), **change))
