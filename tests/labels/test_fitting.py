"""Setting text into a box: the name as large as it goes, sizes, wrapping, shorter forms, and arrangements."""

from __future__ import annotations

import pytest

from labels.fitting import EASY_PT, FLOOR_PT, Texts, fit
from labels.lettering import BOLD, PT_MM, REGULAR, ROW_EM, SMALL_EM, em_width

SHORT = (("on MM.106",), ("Long Row",))


def test_least_sizes_keep_the_letters_as_high_as_the_law_asks_of_a_package():
    """Regulation (EU) No 1169/2011, art. 13 (2) and (3): x-height 1.2 mm, on a surface below 80 cm2 0.9 mm."""
    assert SMALL_EM * FLOOR_PT * PT_MM >= 0.9
    assert SMALL_EM * EASY_PT * PT_MM >= 1.2


def test_heights_of_letters_are_those_of_the_fonts_themselves():
    """Measured by another library than the one that prints."""
    font = pytest.importorskip("PIL.ImageFont")
    from labels.lettering import CAPITAL_EM

    for name in (REGULAR, BOLD):
        drawn = font.truetype(f"labels/fonts/{name}.ttf", 1000)
        assert (CAPITAL_EM, SMALL_EM) == tuple(
            pytest.approx(-drawn.getbbox(c, anchor="ls")[1] / 1000, abs=0.015) for c in "Hx"
        )


def test_figures_are_all_of_one_width_so_tags_that_differ_in_them_share_a_setting():
    assert all(1 == len({em_width(figure, font) for figure in "0123456789"}) for font in (REGULAR, BOLD))
    first, second = (
        fit(Texts(("Amber Lea",), head, ((place,),)), 40, 20)
        for head, place in (("G105-K", "row 1, no. 2"), ("G501-K", "row 9, no. 7"))
    )
    assert ["Amber Lea", "G501-K", "row 9, no. 7"] == [row.text for row in second.rows]
    assert [(row.x, row.y, row.size_pt) for row in first.rows] == [(row.x, row.y, row.size_pt) for row in second.rows]


@pytest.mark.parametrize(("w", "h"), [(40, 20), (70, 11), (25, 10), (60, 30), (90, 21), (30, 40)])
@pytest.mark.parametrize("form", ["wide", "tall", "centred"])
def test_the_name_is_the_largest_and_bold_and_nothing_is_clipped(w, h, form):
    block = fit(Texts(("Stoneway Pearmain",), "G105-K", SHORT), w, h, form)
    name = block.rows[0]
    assert (BOLD, True) == (name.font, name.size_pt > max(row.size_pt for row in block.rows if row.font == REGULAR))
    assert block.name_pt >= block.head_pt
    assert max(row.x + row.w for row in block.rows) <= w + 1e-6
    assert max(row.y + row.h for row in block.rows) <= h + 1e-6
    assert min(row.y for row in block.rows) >= -1e-6


def test_a_larger_box_has_a_larger_name_as_far_as_words_are_not_cut():
    sizes = [fit(Texts(("Stoneway Pearmain",), "G105-K", ()), w, w / 3, "wide").name_pt for w in range(30, 120, 6)]
    assert sorted(sizes) == sizes
    assert sizes[-1] > 2.5 * sizes[0]


def test_a_long_line_is_wrapped_and_its_later_rows_indented():
    block = fit(Texts((), "G105-K", (("grafted by the old mill on a seedling of the lower orchard",),)), 30, 20)
    head, first, *later = block.rows
    assert 0 == head.x == first.x
    assert later
    assert all(row.x > 0 for row in later)
    assert "grafted by the old mill on a seedling of the lower orchard" == " ".join(r.text for r in (first, *later))


def test_a_short_word_stays_with_the_figure_after_it():
    rows = [row.text for row in fit(Texts(("Amber Lea",), "G1-K", (("Long Row, row 2, no. 5",),)), 17, 20).rows]
    assert any(row.endswith("row 2,") or row == "row 2, no. 5" for row in rows)
    assert not any(row.endswith(("row", "no.")) for row in rows)


def test_a_shorter_form_is_used_before_text_becomes_hard_to_read():
    forms = (("whip-and-tongue 2025-03-28 by the lower gate", "W&T 2025-03-28"),)
    block = fit(Texts((), "G1-K", forms), 24, 7.5)
    assert ["G1-K", "W&T 2025-03-28"] == [row.text for row in block.rows]


def test_text_is_never_set_below_the_floor():
    texts = Texts(("Stoneway Pearmain",), "G105-K", (("on MM.106",), ("Row 2",)))
    for tenths in range(10, 300, 3):
        block = fit(texts, 25, tenths / 10)
        if block is not None:
            assert min(row.size_pt for row in block.rows) >= FLOOR_PT
            assert max(row.y + row.h for row in block.rows) <= tenths / 10 + 1e-6
    assert fit(texts, 25, 6) is None
    assert fit(texts, 25, 10) is not None


def test_a_long_low_box_has_code_and_lines_beside_one_another():
    block = fit(Texts(("Stoneway Pearmain",), "G105-K", SHORT * 2), 70, 12, "wide")
    head = next(row for row in block.rows if row.text == "G105-K")
    assert any(row.x >= head.x + head.w and row.y < head.y + head.h for row in block.rows)


def test_a_word_wider_than_the_box_at_the_floor_has_no_setting():
    assert fit(Texts((), "G1-K", (("Pearmain" * 8,),)), 30, 30) is None


def test_a_box_without_room_has_no_setting():
    assert fit(Texts((), "G1-K", SHORT), 0, 10) is None
    assert fit(Texts((), "G1-K", ()), 30, 5.0 * ROW_EM * PT_MM - 0.1) is None
