"""The sheet of a tree: everything stands on the page, nothing on anything else."""

import io

import pypdfium2
import pytest
from pypdf import PdfReader

from graftbook.paper.tree_sheet import TreeGraft, TreeSheet, draw
from graftbook.paper.tree_views import GraftMark, runs, spread

LONG = "O'Leary’s Extraordinarily Long-Keeping Winter Reinette of Upper Hollin Beck"


def sheet(marks, name="Dun Reinette", limb="limb A", tag=""):
    grafts = tuple(
        TreeGraft(
            mark,
            f"G{mark.number}-X",
            f"G{mark.number}-X",
            name,
            limb,
            "NW, 1400 mm",
            2027,
            "whip-and-tongue",
            "growing",
            tag,
        )
        for mark in marks
    )
    return TreeSheet("P1-2", "P1-2", "Old Crab", "garth", "2027-11-30", grafts, ("As of 2027-11-30.", "Scan a code."))


def spiral(many):
    return [GraftMark(n, n * 37 % 360, 600 + n * 53 % 1800, f"{600 + n * 53 % 1800} mm") for n in range(1, many + 1)]


def same_spot(many):
    return [GraftMark(n, 315, 1400, "1400 mm") for n in range(1, many + 1)]


def glyphs(data, number=0):
    """Every sign on a page with its box in points: left, foot, right, top; and the size of the page."""
    page = pypdfium2.PdfDocument(data)[number]
    text = page.get_textpage()
    signs = [(text.get_text_range(at, 1), text.get_charbox(at)) for at in range(text.count_chars())]
    return page.get_size(), [(sign, box) for sign, box in signs if sign.strip()]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("many", "pages"), [(1, 1), (30, 1), (45, 2), (120, 4)])
def test_thirty_grafts_are_one_page_and_nothing_leaves_any_page(paper, many, pages):
    data = draw(sheet(spiral(many), LONG), paper)
    assert pages == len(PdfReader(io.BytesIO(data)).pages)
    for number in range(pages):
        (w, h), signs = glyphs(data, number)
        assert signs
        assert all(
            20 <= left and right <= w - 20 and 20 <= foot and top <= h - 20 for _sign, (left, foot, right, top) in signs
        )


@pytest.mark.parametrize(
    "marks", [spiral(30), same_spot(30), spiral(120), [GraftMark(1, 90, 10, "10 mm"), *same_spot(60)[1:]]]
)
def test_no_sign_lies_on_another(marks):
    _size, signs = glyphs(draw(sheet(marks)))
    signs.sort(key=lambda sign: sign[1][0])
    for at, (one, (_left, foot, right, top)) in enumerate(signs):
        for other, (left, low, _right, high) in signs[at + 1 :]:
            if left > right - 1:
                break
            assert min(top, high) - max(foot, low) < 1.5, (one, other)


def test_a_long_name_goes_on_to_a_second_line_and_is_whole():
    text = PdfReader(io.BytesIO(draw(sheet(spiral(3), LONG)))).pages[0].extract_text()
    assert 3 == " ".join(text.split()).count(LONG)


def test_a_long_limb_is_cut_before_bearing_and_height_are():
    text = (
        PdfReader(io.BytesIO(draw(sheet(spiral(1), limb="the long limb over the path to the far well house"))))
        .pages[0]
        .extract_text()
    )
    assert "…, NW, 1400 mm" in text


def test_what_is_wrong_with_a_tag_stands_beside_a_name_on_two_lines_too():
    text = PdfReader(io.BytesIO(draw(sheet(spiral(1), LONG, tag="missing")))).pages[0].extract_text()
    assert "TAG MISSING" in text


def test_numbers_that_find_no_room_from_above_are_named():
    assert "no room: " in PdfReader(io.BytesIO(draw(sheet(same_spot(30))))).pages[0].extract_text()


def test_labels_keep_their_distance_and_stay_within_the_frame():
    assert [10, 20, 30] == spread([10, 20, 30], 0, 100, 5)
    assert [90, 95, 100] == spread([99, 99, 99], 0, 100, 5)
    assert [0, 5, 10] == spread([-3, -3, -3], 0, 100, 5)


def test_neighbouring_numbers_are_told_as_a_run():
    assert "1-3, 7" == runs([3, 1, 2, 7])
