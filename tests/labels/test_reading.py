"""Reading pictures: order, nothing found, and files that are no pictures."""

from __future__ import annotations

import sys

import pytest
from PIL import Image

from labels import media
from labels.errors import MissingLibrary, UnreadableImage
from labels.layout import lay_out
from labels.press import press
from labels.reading import read_image


def test_a_turned_photo_of_a_sheet_is_read_whole(make_tag, page_image, tmp_path):
    tags = [make_tag(i) for i in range(1, 22)]
    page = page_image(press(tags, media.get("a4-21up")).pdf, dpi=200)
    photo = tmp_path / "bench.jpg"
    page.rotate(12, expand=True, fillcolor="white").save(photo, quality=60)

    assert {tag.payload for tag in tags} == {read.text for read in read_image(photo)}


def test_codes_come_in_rows_with_their_corners(make_tag, page_image):
    page = page_image(press([make_tag(i) for i in (103, 101, 102, 109)], media.get("letter-30up")).pdf)
    found = read_image(page)
    assert ["G103K", "G101K", "G102K", "G109K"] == [read.text for read in found]
    top_left, top_right, bottom_right, bottom_left = found[0].position
    side = 21 * lay_out(make_tag(), media.get("letter-30up")).symbols[0].module_mm / 25.4 * 150
    assert side == pytest.approx(top_right[0] - top_left[0], abs=3)
    assert side == pytest.approx(bottom_left[1] - top_left[1], abs=3)
    assert bottom_right[0] > bottom_left[0]


def test_a_picture_on_a_see_through_ground_is_read(make_tag, page_image, tmp_path):
    page = page_image(press([make_tag()], media.get("roll-51x25")).pdf).convert("L")
    clear = Image.new("RGBA", page.size, (0, 0, 0, 0))
    clear.putalpha(page.point(lambda v: 255 - v))
    clear.save(tmp_path / "tag.png")

    assert ["G105K"] == [read.text for read in read_image(tmp_path / "tag.png")]


def test_a_picture_without_codes_gives_none():
    assert () == read_image(Image.new("RGB", (400, 300), "white"))


def test_a_file_that_is_no_picture_is_an_error(tmp_path):
    (tmp_path / "a.jpg").write_bytes(b"not a picture")
    with pytest.raises(UnreadableImage, match="a picture such as JPEG or PNG"):
        read_image(tmp_path / "a.jpg")


def test_a_truncated_picture_is_an_error(tmp_path):
    whole = tmp_path / "whole.png"
    Image.effect_noise((300, 300), 90).save(whole)
    (tmp_path / "half.png").write_bytes(whole.read_bytes()[:20_000])
    with pytest.raises(UnreadableImage):
        read_image(tmp_path / "half.png")


def test_a_missing_file_is_an_error_naming_it(tmp_path):
    with pytest.raises(UnreadableImage, match=r"gone\.jpg"):
        read_image(tmp_path / "gone.jpg")


def test_without_the_reading_library_the_error_says_how_to_get_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "zxingcpp", None)
    with pytest.raises(MissingLibrary, match="pip install zxing-cpp"):
        read_image(Image.new("L", (10, 10)))
