"""Media: every set of figures holds together, and wrong figures are all named at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from labels import media
from labels.errors import BadMedium, UnknownMedium

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
        ({"kind": "tin"}, "kind must be one of sheet, strip, stake, roll, loop, metal, not tin"),
        ({"corner_mm": 14.0}, "a corner radius of 14.00 mm is more than half the label's short side"),
        ({"blank_mm": 70.0}, "the blank end of 70.00 mm leaves nothing of 66.67 mm to print on"),
    ],
)
def test_a_wrong_figure_is_named(change, said):
    assert (said,) == media.check(replace(media.get("letter-30up"), **change))


@pytest.mark.parametrize("name", NAMES)
def test_a_medium_goes_to_fields_of_text_and_back_unchanged(name):
    given = media.to_fields(media.get(name))
    assert {str} == set(map(type, given.values()))
    assert media.get(name) == media.from_fields(given)


def test_an_own_medium_needs_five_fields_and_takes_numbers_as_text():
    own = media.from_fields(
        {"name": "barn-tag", "page_w_mm": "80", "page_h_mm": 40, "label_w_mm": 80.0, "label_h_mm": "40"}
    )
    assert ("barn-tag", "barn-tag", "sheet", "own", 1) == (own.name, own.title, own.kind, own.basis, own.cells)
    assert (80, 40, 0, 0) == (own.pitch_x_mm, own.pitch_y_mm, own.left_mm, own.blank_mm)
    assert own.life_years is None
    assert not own.short_lived
    assert not own.hand_cut


def test_everything_wrong_with_an_own_medium_is_told_at_once():
    given = {
        "name": "My Tag",
        "page_w_mm": "wide",
        "cols": "2.5",
        "hand_cut": "maybe",
        "lable_w_mm": "30",
        "label_h_mm": " ",
    }
    with pytest.raises(BadMedium) as caught:
        media.from_fields(given)

    assert (
        "name must be letters a to z, digits and hyphens, 1 to 40 of them, not My Tag",
        "page_w_mm must be a number such as 25.4, not wide",
        "page_h_mm is missing",
        "cols must be a whole number, not 2.5",
        "label_w_mm is missing",
        "label_h_mm is missing",
        "hand_cut must be yes or no, not maybe",
        "there is no field lable_w_mm; did you mean label_w_mm",
    ) == caught.value.problems


def test_figures_of_an_own_medium_that_contradict_each_other_are_told_at_once():
    given = media.to_fields(media.get("letter-30up")) | {"name": "mine", "rows": "11", "pitch_x_mm": "60"}
    with pytest.raises(BadMedium) as caught:
        media.from_fields(given)

    assert 2 == len(caught.value.problems)
    assert "expected figures of mine that hold together; found" in str(caught.value)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"page_w_mm": "inf"}, "page_w_mm must be below 2000 mm, not inf"),
        ({"left_mm": "nan"}, "left_mm must not be below 0, but is nan"),
        ({"rows": "501"}, "rows must be 500 or less, not 501"),
        ({"kind": "tin"}, "kind must be one of sheet, strip, stake, roll, loop, metal, not tin"),
        ({"life_years": "0"}, "life_years must be more than 0 and at most 100, not 0; leave it out if unknown"),
        ({"hand_cut": "yes", "left_mm": "1", "pitch_x_mm": "69"},
         "a sheet to be cut by hand must leave 3 mm at the left and the top for the cutting ticks"),
    ],
)  # fmt: skip
def test_a_figure_no_stock_can_have_is_refused(change, said):
    with pytest.raises(BadMedium) as caught:
        media.from_fields(media.to_fields(media.get("letter-30up")) | change)

    assert (said,) == caught.value.problems


def test_how_long_marks_last_out_of_doors():
    """Common practice, growers' and sellers' own words: paper under a year, bare laser print 1 year, direct thermal half
    a year, thermal transfer on plastic about 4, embossed metal 15 and more."""
    expected = {"letter-30up": 0.5, "a4-14up-strip": 1, "roll-51x25": 0.5, "stake-152x16": 4, "loop-203x25": 4,
                "metal-102x44": 15}  # fmt: skip
    assert expected == {name: media.get(name).life_years for name in expected}
    assert all(m.life_years is not None and m.life_basis.startswith("common practice: ") for m in media.all())


def test_a_mark_of_a_year_or_less_is_short_lived():
    assert media.get("letter-30up").short_lived
    assert media.get("a4-14up-strip").short_lived
    assert not media.get("stake-152x16").short_lived
    assert not media.get("metal-disc-30").short_lived
    assert not replace(media.get("letter-30up"), life_years=None).short_lived


def test_metal_tags_have_the_trades_sizes():
    """Common practice: 3 x 7/8 in and 4 x 1-3/4 in write-on aluminium, 1 in rounds, 30 mm discs."""
    sizes = {m.name: (m.label_w_mm, m.label_h_mm) for m in media.all() if m.kind == "metal"}
    assert (3 * 25.4, 7 / 8 * 25.4) == pytest.approx(sizes["metal-76x22"])
    assert (4 * 25.4, 1.75 * 25.4) == pytest.approx(sizes["metal-102x44"])
    assert ((25.4, 25.4), (30, 30)) == (sizes["metal-round-25"], sizes["metal-disc-30"])
    assert ((100, 30), (200, 60)) == (sizes["laminate-100x30"], sizes["laminate-200x60"])
