"""One tag as a PNG and as text for a terminal: both can be read by a reader that did not draw them."""

from __future__ import annotations

import io
import sys

import pytest
from PIL import Image, ImageChops

from labels import media
from labels.errors import BadJob, DoesNotFit, MissingLibrary
from labels.layout import Tag
from labels.picture import png, text
from labels.press import press
from labels.reading import read_image


def _opened(data):
    return Image.open(io.BytesIO(data))


@pytest.mark.parametrize("name", [m.name for m in media.all() if m.kind != "metal"])
def test_a_picture_is_true_to_size_and_its_code_is_read(name, make_tag):
    medium = media.get(name)
    image = _opened(png(make_tag(), medium))
    assert (medium.label_w_mm, medium.label_h_mm) == pytest.approx([v / 300 * 25.4 for v in image.size], abs=0.05)
    assert 300 == round(image.info["dpi"][0])
    assert {"G105K"} == {read.text for read in read_image(image)}


@pytest.mark.parametrize("name", ["roll-51x25", "stake-152x16", "roll-102x152"])
def test_a_picture_looks_like_the_printed_label(name, make_tag, page_image):
    """Against the PDF rendered by another library: hardly a dark pixel of one lies two pixels off the other's."""
    from PIL import ImageFilter

    tag, medium = make_tag(name="ÅŮŐŻ Ągjpqy"), media.get(name)
    ours = _opened(png(tag, medium)).convert("L")
    theirs = page_image(press([tag], medium).pdf, dpi=300).convert("L").resize(ours.size)
    for one, other in ((ours, theirs), (theirs, ours)):
        dark = one.point(lambda v: 255 * (v < 100))
        near = other.point(lambda v: 255 * (v < 160)).filter(ImageFilter.MaxFilter(5))
        alone = ImageChops.subtract(dark, near).histogram()[255]
        assert alone < 0.005 * dark.histogram()[255]


def test_text_on_an_upright_label_is_turned_as_in_print(make_tag, page_image):
    medium = media.get("sheet-20up-stick")
    ours = _opened(png(make_tag(), medium)).convert("L").point(lambda v: 255 * (v < 128)).getbbox()
    page = page_image(press([make_tag()], medium).pdf, dpi=300).convert("L").point(lambda v: 255 * (v < 128)).getbbox()
    shift = 5 / 25.4 * 300
    assert [v - shift for v in page] == pytest.approx(ours, abs=3)


def test_a_metal_tag_is_pictured_as_its_row_to_write_from(make_tag):
    image = _opened(png(make_tag(), media.get("metal-76x22")))
    assert () == read_image(image)
    assert image.convert("L").getextrema()[0] < 50


def test_the_same_tag_has_the_same_picture(make_tag):
    assert png(make_tag(), media.get("roll-51x25")) == png(make_tag(), media.get("roll-51x25"))


@pytest.mark.parametrize("dpi", [0, 50, 5000])
def test_a_wild_resolution_is_refused(dpi, make_tag):
    with pytest.raises(BadJob, match="72 to 1200"):
        png(make_tag(), media.get("roll-51x25"), dpi)


def test_a_tag_that_does_not_fit_has_no_picture():
    with pytest.raises(DoesNotFit):
        png(Tag("G1K", "G1-K", tuple(f"line number {i}" for i in range(30))), media.get("roll-25x13"))


def test_without_pillow_the_error_says_how_to_get_it(monkeypatch, make_tag):
    monkeypatch.setitem(sys.modules, "PIL", None)
    with pytest.raises(MissingLibrary, match="pip install pillow"):
        png(make_tag(), media.get("roll-51x25"))


@pytest.mark.parametrize("dark_ground", [True, False])
@pytest.mark.parametrize("payload", ["G105-K", "https://TAG.EXAMPLE/T/G105-K"])
def test_the_code_in_a_terminal_is_read_when_its_letters_are_painted(payload, dark_ground):
    rows = [row for row in text(Tag(payload, "G105-K"), dark_ground).split("\n") if set(row) <= set(" ▀▄█")]
    ground, ink = (0, 255) if dark_ground else (255, 0)
    image = Image.new("L", (len(rows[0]), 2 * len(rows)), ground)
    for y, row in enumerate(rows):
        for x, sign in enumerate(row):
            image.putpixel((x, 2 * y), ink if sign in "▀█" else ground)
            image.putpixel((x, 2 * y + 1), ink if sign in "▄█" else ground)
    big = image.resize((image.width * 6, image.height * 6), Image.Resampling.NEAREST)
    assert [payload] == [read.text for read in read_image(big)]


def test_the_terminal_text_fits_a_terminal_and_says_the_lines(make_tag):
    shown = text(make_tag()).split("\n")
    assert ["Stoneway Pearmain", "G105-K", "on MM.106", "whip-and-tongue 2025-03-28", "Row 2"] == shown[-5:]
    assert {29} == {len(row) for row in shown[:-5]}
    assert 15 == len(shown) - 5
    assert ["█" * 29] * 2 == shown[:2]
