"""The sheet to write metal tags from: codes in large groups, nothing to scan, nothing lost."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from labels import media
from labels.errors import BadJob, DoesNotFit
from labels.layout import Line, Tag
from labels.lettering import BOLD
from labels.press import press, sheets
from labels.reading import read_image
from labels.writing import grouped, lay_out, page_for

METAL = tuple(m.name for m in media.all() if m.kind == "metal")


@pytest.mark.parametrize(
    ("head", "groups"),
    [
        ("G105-K", "G 105 - K"),
        ("G1-K", "G 1 - K"),
        ("G12345-K", "G 12 345 - K"),
        ("G771771-K", "G 771 771 - K"),
        ("W7/3", "W 7 / 3"),
        ("TEST", "TEST"),
    ],
)
def test_a_code_is_grouped_for_the_hand(head, groups):
    assert groups == grouped(head)
    assert head == groups.replace(" ", "")


@pytest.mark.parametrize("name", METAL)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_metal_medium_is_pressed_as_a_page_of_plain_paper_without_codes_to_scan(name, paper, make_tag, page_image):
    pressed = press([make_tag(1), make_tag(23456)], media.get(name), paper=paper, title="Stoneway")
    page = PdfReader(io.BytesIO(pressed.pdf)).pages[0]
    size = {"a4": (210, 297), "letter": (215.9, 279.4)}[paper]
    assert size == pytest.approx((page.mediabox.width * 25.4 / 72, page.mediabox.height * 25.4 / 72), abs=0.01)
    words = page.extract_text()
    for part in (
        "G 1 - K",
        "G 23 456 - K",
        "Stoneway Pearmain",
        "Row 2",
        f"Stoneway · {name} · sheet 1 of 1",
        "by hand",
    ):
        assert part in words
    assert () == read_image(page_image(pressed.pdf))


def test_codes_are_large_and_all_boxes_lie_in_their_cell_and_apart(make_tag):
    page = page_for(media.get("metal-disc-30"), "a4")
    for number in (1, 105, 771771):
        tick, head, *lines = lay_out(make_tag(number, "Old Mill Russet Seedling from the Lower Orchard"), page).texts
        assert BOLD == head.font
        assert head.size_pt >= 15
        assert tick.x + tick.w <= head.x
        assert all(head.x + head.w <= line.x for line in lines)
        for box in (tick, head, *lines):
            assert 0 <= box.x
            assert box.x + box.w <= page.label_w_mm
            assert 0 <= box.y
            assert box.y + box.h <= page.label_h_mm


def test_many_codes_take_several_pages_and_one_of_them_can_be_had_alone(make_tag):
    medium = media.get("metal-76x22")
    tags = [make_tag(number) for number in range(80)]
    assert 3 == sheets(80, medium)
    pressed = press(tags, medium, only_sheets=[2])
    words = PdfReader(io.BytesIO(pressed.pdf)).pages[0].extract_text()
    assert (1, (2,), 3) == (pressed.pages, pressed.sheets, pressed.of)
    assert "G 36 - K" in words
    assert "G 35 - K" not in words
    assert "G 72 - K" not in words


def test_an_optional_line_without_room_is_left_out_and_others_are_an_error():
    page = page_for(media.get("metal-76x22"), "a4")
    many = tuple(f"line {i} of a good many, each of them long" for i in range(9))
    assert lay_out(Tag("G1", "G1", tuple(Line((text,), True) for text in many)), page).left_out
    with pytest.raises(DoesNotFit, match="tag G1"):
        lay_out(Tag("G1", "G1", many), page)


def test_a_head_too_long_for_large_type_is_an_error():
    with pytest.raises(DoesNotFit, match="at 12 pt"):
        press([Tag("X", "STONEWAY-PEARMAIN-OF-THE-LOWER-FIELD", ())], media.get("metal-76x22"))


def test_paper_of_another_name_is_refused(make_tag):
    with pytest.raises(BadJob, match="paper a4 or letter"):
        press([make_tag()], media.get("metal-76x22"), paper="legal")
