"""Setting text into a box: sizes, wrapping, shorter forms, and the head beside or above."""

from __future__ import annotations

from labels.fitting import EASY_PT, FLOOR_PT, HEAD_FLOOR_PT, LARGEST_PT, fit
from labels.lettering import BOLD, PT_MM, ROW_EM

SHORT = (("Amber Lea",), ("on MM.106",))


def test_short_lines_in_a_large_box_are_set_large_on_one_row_each():
    block = fit("G105-K", SHORT, 60, 30, False)
    assert ["G105-K", "Amber Lea", "on MM.106"] == [row.text for row in block.rows]
    assert block.line_pt >= LARGEST_PT
    assert BOLD == block.rows[0].font


def test_a_long_line_is_wrapped_and_its_later_rows_indented():
    block = fit("G105-K", (("Old Mill Russet Seedling from the Lower Orchard",),), 30, 20, False)
    head, first, *later = block.rows
    assert 0 == head.x == first.x
    assert later
    assert all(row.x > 0 for row in later)
    assert "Old Mill Russet Seedling from the Lower Orchard" == " ".join(row.text for row in (first, *later))


def test_a_shorter_form_is_used_before_text_becomes_hard_to_read():
    forms = (("whip-and-tongue 2025-03-28 by the lower gate", "W&T 2025-03-28"),)
    texts = [row.text for row in fit("G1-K", forms, 22, 6.5, False).rows]
    assert ["G1-K", "W&T 2025-03-28"] == texts
    assert fit("G1-K", forms, 22, 6.5, False).line_pt >= EASY_PT - 1


def test_text_is_never_set_below_the_floor():
    lines = (("Stoneway Pearmain",), ("on MM.106",), ("Row 2",))
    for tenths in range(10, 300):
        block = fit("G105-K", lines, 25, tenths / 10, False)
        if block is not None:
            assert block.line_pt >= FLOOR_PT
            assert block.head_pt >= HEAD_FLOOR_PT
            assert max(row.y + row.h for row in block.rows) <= tenths / 10 + 1e-6
    assert fit("G105-K", lines, 25, 8, False) is None
    assert fit("G105-K", lines, 25, 9, False) is not None


def test_a_long_low_box_has_the_head_beside_the_lines():
    head, *lines = fit("G105-K", SHORT * 2, 70, 12, True).rows
    assert min(row.x for row in lines) > head.w


def test_heads_of_one_width_keep_their_own_text():
    first, second = (fit(head, SHORT, 40, 20, False) for head in ("G105-K", "G501-K"))
    assert ("G105-K", "G501-K") == (first.rows[0].text, second.rows[0].text)
    assert first.rows[1:] == second.rows[1:]


def test_a_word_wider_than_the_box_at_the_floor_has_no_setting():
    assert fit("G1-K", (("Pearmain" * 8,),), 30, 30, False) is None


def test_a_box_without_room_has_no_setting():
    assert fit("G1-K", SHORT, 0, 10, False) is None
    assert fit("G1-K", (), 30, HEAD_FLOOR_PT * ROW_EM * PT_MM - 0.1, False) is None
