"""The printed page: true to size, readable by another reader, the same bytes every time."""

from __future__ import annotations

import io
import re

import cv2
import numpy
import pytest
from pypdf import PdfReader

from labels import media
from labels.errors import BadJob, BadMedium, DoesNotFit, MissingGlyph
from labels.layout import Tag, lay_out
from labels.press import press
from labels.reading import read_image


@pytest.mark.parametrize("dpi", [203, 300])
def test_every_code_is_read_back_from_the_page(full_page, page_image, dpi):
    medium, tags, pressed = full_page
    expected = [tag.payload for tag in tags for _ in lay_out(tag, medium).symbols]
    assert expected == [read.text for read in read_image(page_image(pressed.pdf, dpi=dpi))]


@pytest.mark.parametrize("dpi", [203, 300])
def test_every_code_is_read_by_another_reader_where_the_layout_says(full_page, page_image, dpi):
    """Another decoder, given nothing but the corners in mm that the layout names: it reads what was meant."""
    medium, tags, pressed = full_page
    page = numpy.asarray(page_image(pressed.pdf, dpi=dpi).convert("L"))
    reader, k, missed = cv2.QRCodeDetector(), dpi / 25.4, []
    for cell, tag in enumerate(tags, 1):
        left, top = medium.cell(cell)
        for box in lay_out(tag, medium).symbols:
            x, y, side = (left + box.x) * k, (top + box.y) * k, box.side * k
            x0, y0 = max(int(x - 20), 0), max(int(y - 20), 0)
            part = numpy.ascontiguousarray(page[y0 : int(y + side + 20), x0 : int(x + side + 20)])
            a, b = x - x0, y - y0
            corners = numpy.array([[[a, b], [a + side, b], [a + side, b + side], [a, b + side]]], numpy.float32)
            if reader.decode(part, corners)[0] != tag.payload:
                missed.append(tag.payload)
    assert [] == missed


def test_first_middle_and_last_cell_lie_where_the_medium_says(full_page, page_image):
    """Measured in a picture by another library, 300 dots an inch: the dark area of a code ends where the layout says,
    within a dot and a half."""
    medium, tags, pressed = full_page
    page, k = page_image(pressed.pdf, dpi=300).convert("L").point(lambda v: 255 * (v < 128)), 300 / 25.4
    for cell in sorted({1, (medium.cells + 1) // 2, medium.cells}):
        row, col = divmod(cell - 1, medium.cols)
        left, top = medium.left_mm + col * medium.pitch_x_mm, medium.top_mm + row * medium.pitch_y_mm
        for code in lay_out(tags[cell - 1], medium).symbols:
            x, y, white = left + code.x, top + code.y, code.quiet * code.module_mm * 0.9
            corner = ((x - white) * k, (y - white) * k)
            seen = page.crop(
                (*map(round, corner), *(round(at + (code.side + 2 * white) * k) for at in corner))
            ).getbbox()
            found = [v / k + round(corner[i % 2]) / k for i, v in enumerate(seen)]
            assert [x, y, x + code.side, y + code.side] == pytest.approx(found, abs=0.13)


def test_the_page_is_the_size_of_the_stock(full_page):
    medium, _, pressed = full_page
    box = PdfReader(io.BytesIO(pressed.pdf)).pages[0].mediabox
    assert (medium.page_w_mm, medium.page_h_mm) == pytest.approx(
        (box.width * 25.4 / 72, box.height * 25.4 / 72), abs=0.01
    )


def test_readers_are_told_not_to_scale(full_page):
    """ISO 32000-1:2008, table 150: PrintScaling None, since PDF 1.6."""
    _, _, pressed = full_page
    version = re.match(rb"%PDF-1\.(\d)", pressed.pdf)
    assert version is not None
    assert int(version[1]) >= 6
    assert "/None" == PdfReader(io.BytesIO(pressed.pdf)).trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"]


def test_every_font_is_embedded(full_page):
    _, _, pressed = full_page
    fonts = PdfReader(io.BytesIO(pressed.pdf)).pages[0]["/Resources"]["/Font"]
    used = [font.get_object() for font in fonts.values() if "DejaVu" in font.get_object()["/BaseFont"]]
    assert len(used) >= 2
    assert all("/FontFile2" in font["/FontDescriptor"] for font in used)


def test_the_text_can_be_taken_out_of_the_page_again(make_tag):
    pressed = press([make_tag(name="Ärzteglück’s Přívětivá × Żółta")], media.get("stake-178x16"))
    text = PdfReader(io.BytesIO(pressed.pdf)).pages[0].extract_text()
    for words in ("G105-K", "Ärzteglück’s Přívětivá × Żółta", "on MM.106", "whip-and-tongue 2025-03-28", "Row 2"):
        assert words in text


def test_ink_stays_inside_the_boxes_the_layout_gave(make_tag, page_image):
    """Rendered at 300 dpi: no dark pixel outside the code's and the texts' boxes; capitals with accents included."""
    medium = media.get("roll-51x25")
    tag = make_tag(name="ÅŮŐŻ ĄgjpqyÇ")
    image = page_image(press([tag], medium).pdf, dpi=300).convert("L").point(lambda v: 255 * (v < 128))
    placement = lay_out(tag, medium)
    boxes = [(s.x, s.y, s.side, s.side) for s in placement.symbols]
    boxes += [(t.x, t.y, t.w, t.h) for t in placement.texts]
    assert image.getbbox() is not None
    for x, y, w, h in boxes:
        k = 300 / 25.4
        inside = (int(x * k) - 1, int(y * k) - 1, int((x + w) * k) + 2, int((y + h) * k) + 2)
        assert image.crop(inside).getbbox() is not None
        image.paste(0, inside)
    assert image.getbbox() is None


def test_the_same_input_gives_the_same_bytes(make_tag):
    tags = [make_tag(i) for i in range(40)]
    assert press(tags, media.get("letter-30up")).pdf == press(tags, media.get("letter-30up")).pdf
    assert press(tags, media.get("letter-30up")).pdf != press(tags[:-1], media.get("letter-30up")).pdf


def test_a_started_sheet_is_taken_up_at_the_cell_named(make_tag, path_boxes):
    medium = media.get("letter-30up")
    pressed = press([make_tag(100 + i) for i in range(25)], medium, start=7)

    symbol = lay_out(make_tag(), medium).symbols[0]
    first = path_boxes(pressed.pdf)[0]
    assert 2 == pressed.pages
    assert (medium.left_mm + symbol.x, medium.top_mm + 2 * medium.pitch_y_mm + symbol.y) == pytest.approx(
        first[:2], abs=0.05
    )
    assert 24 == len(path_boxes(pressed.pdf, 0))
    assert 1 == len(path_boxes(pressed.pdf, 1))


def test_copies_stand_side_by_side_in_the_order_given(make_tag, page_image):
    pressed = press([make_tag(2), make_tag(1)], media.get("letter-30up"), copies=3)
    assert ["G2K"] * 3 + ["G1K"] * 3 == [read.text for read in read_image(page_image(pressed.pdf))]


def test_offset_moves_and_scale_stretches_about_the_top_left(make_tag, path_boxes):
    medium = media.get("a4-21up")
    tags = [make_tag(i) for i in range(21)]
    plain = path_boxes(press(tags, medium).pdf)
    moved = path_boxes(press(tags, medium, offset_mm=(1.5, -0.8), scale=(1.01, 0.99)).pdf)
    for (x, y, w, h), (x2, y2, w2, h2) in zip(plain, moved, strict=True):
        assert (x * 1.01 + 1.5, y * 0.99 - 0.8) == pytest.approx((x2, y2), abs=0.02)
        assert (w * 1.01, h * 0.99) == pytest.approx((w2, h2), abs=0.02)


def test_hand_cut_stock_has_ticks_at_every_edge_of_the_grid_and_outside_it(make_tag, path_boxes):
    medium = media.get("letter-40cut")
    boxes = path_boxes(press([make_tag()], medium).pdf)
    ticks = [box for box in boxes if box[2] > 100]
    assert len(boxes) == 1 + len(ticks) == 2
    left, top, width, height = ticks[0]
    assert left < medium.left_mm - 2
    assert top < medium.top_mm - 2
    assert left + width > medium.left_mm + 4 * 50.8 + 2
    assert top + height > medium.top_mm + 10 * 25.4 + 2


def test_the_margin_names_the_run_the_stock_and_the_sheet(make_tag):
    pressed = press([make_tag(i) for i in range(31)], media.get("letter-30up"), title="Bench run")
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(pressed.pdf)).pages]
    assert "Bench run · letter-30up · sheet 1 of 2 · print at 100 %, not to fit" in texts[0]
    assert "sheet 2 of 2" in texts[1]


def test_a_roll_has_one_label_a_page(make_tag):
    assert 3 == press([make_tag(i) for i in range(3)], media.get("roll-51x25")).pages


def test_progress_is_told_after_every_tag(make_tag):
    seen = []
    press([make_tag(i) for i in range(3)], media.get("a4-21up"), progress=lambda done, of: seen.append((done, of)))
    assert [(1, 3), (2, 3), (3, 3)] == seen


def test_warnings_come_once_and_lines_left_out_name_their_tag(make_tag):
    pressed = press([make_tag(1), make_tag(2)], media.get("roll-25x13"))
    assert 2 == len(pressed.warnings)
    assert [("G1-K", "Row 2"), ("G2-K", "Row 2")] == [(out.head, out.line) for out in pressed.left_out]


def test_stock_that_reaches_the_edge_of_the_page_is_warned_of(make_tag):
    assert any(
        "many printers leave about 4.3 mm blank" in w
        for w in press([make_tag()], media.get("sheet-22up-strip")).warnings
    )
    assert () == press([make_tag()], media.get("a4-21up")).warnings


def test_an_offset_that_moves_labels_off_the_page_is_warned_of(make_tag):
    pressed = press([make_tag()], media.get("a4-21up"), offset_mm=(-10, 0))
    assert "offset and scale move labels 2.8 mm beyond the edge of the page" in pressed.warnings[0]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"start": 0}, "expected a start cell from 1 to 30; found 0"),
        ({"start": 31}, "expected a start cell from 1 to 30; found 31"),
        ({"copies": 0}, "expected 1 to 1000 copies; found 0"),
        ({"offset_mm": (0, 30)}, "expected an offset within 25 mm; found 0 across, 30 down"),
        ({"offset_mm": (float("nan"), 0)}, "expected an offset within 25 mm; found nan across, 0 down"),
        ({"scale": (1, 0.5)}, "expected a scale from 0.9 to 1.1; found 1 across, 0.5 down"),
        ({"dpi": 0}, "expected a printer of 100 to 5000 dots per inch; found 0"),
    ],
)
def test_a_job_that_makes_no_sense_is_refused(change, said, make_tag):
    with pytest.raises(BadJob) as caught:
        press([make_tag()], media.get("letter-30up"), **change)

    assert str(caught.value).startswith(said)


def test_nothing_to_print_is_refused():
    with pytest.raises(BadJob, match="at least one tag"):
        press([], media.get("letter-30up"))


def test_a_medium_whose_grid_leaves_the_page_is_refused(make_tag):
    from dataclasses import replace

    with pytest.raises(BadMedium) as caught:
        press([make_tag()], replace(media.get("letter-30up"), rows=12))
    assert 1 == len(caught.value.problems)


def test_one_tag_that_does_not_fit_stops_the_run_and_is_named(make_tag):
    long = Tag("G9K", "G9-K", tuple(f"line number {i} of far too many" for i in range(30)))
    with pytest.raises(DoesNotFit, match="G9-K"):
        press([make_tag(), long], media.get("letter-30up"))


def test_a_title_the_font_cannot_print_is_an_error(make_tag):
    with pytest.raises(MissingGlyph, match="富"):
        press([make_tag()], media.get("letter-30up"), title="富")
