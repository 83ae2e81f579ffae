"""The calibration page: rules that are true, marks where the medium has its labels, and a ladder of codes to scan."""

from __future__ import annotations

import io

import pypdfium2
import pytest
from pypdf import PdfReader

from labels import calibrate, media
from labels.errors import BadJob, BadPayload
from labels.reading import read_image

SHEETS = tuple(m.name for m in media.all() if m.page_w_mm >= 180 and m.page_h_mm >= 240)
SMALL = tuple(m.name for m in media.all() if m.name not in SHEETS and m.kind != "metal")


def _bars(pdf, page=0):
    """Every rectangle on a page in mm from its top left: left, top, width, height; taken from the path's own points."""
    document = pypdfium2.PdfDocument(pdf)
    height = document[page].get_height()
    for thing in document[page].get_objects():
        if thing.type != pypdfium2.raw.FPDF_PAGEOBJ_PATH:
            continue
        points = []
        matrix = thing.get_matrix()
        for i in range(pypdfium2.raw.FPDFPath_CountSegments(thing)):
            x, y = pypdfium2.raw.c_float(), pypdfium2.raw.c_float()
            pypdfium2.raw.FPDFPathSegment_GetPoint(pypdfium2.raw.FPDFPath_GetPathSegment(thing, i), x, y)
            points.append(matrix.on_point(x.value, y.value))
        step = len(points) // max(round(len(points) / 5), 1)
        for at in range(0, len(points), step):
            xs, ys = zip(*points[at : at + step], strict=True)
            box = (min(xs), height - max(ys), max(xs) - min(xs), max(ys) - min(ys))
            yield tuple(v * 25.4 / 72 for v in box)
    document.close()


def _near(bars, **sought):
    names = ("left", "top", "width", "height")
    return [bar for bar in bars if all(abs(bar[names.index(n)] - v) <= 0.05 for n, v in sought.items())]


@pytest.mark.parametrize("name", SHEETS)
def test_the_rules_measure_100_and_200_mm_in_the_pdf(name):
    pressed = calibrate.page(media.get(name))
    bars = list(_bars(pressed.pdf))
    (across,) = _near(bars, width=100, height=0.2)
    (upright,) = _near(bars, width=0.2, height=200)
    for mm in (0, 1, 37, 50, 99, 100):
        assert [bar for bar in bars if abs(bar[0] + bar[2] / 2 - across[0] - mm) <= 0.05 and abs(bar[2] - 0.1) <= 0.02
                and abs(bar[1] + bar[3] - across[1]) <= 0.05]  # fmt: skip
    for mm in (0, 1, 99, 150, 200):
        assert [bar for bar in bars if abs(bar[1] + bar[3] / 2 - upright[1] - mm) <= 0.05 and abs(bar[3] - 0.1) <= 0.02
                and abs(bar[0] + bar[2] - upright[0]) <= 0.05]  # fmt: skip
    words = PdfReader(io.BytesIO(pressed.pdf)).pages[0].extract_text()
    assert "this line is 100 mm" in words
    assert "this line is 200 mm" in words
    assert 1 == pressed.pages


@pytest.mark.parametrize("name", SHEETS)
def test_cross_hairs_stand_at_the_corners_of_the_first_and_the_last_label(name):
    medium = media.get(name)
    bars = list(_bars(calibrate.page(medium).pdf))
    for number in (1, medium.cells):
        left, top = medium.cell(number)
        for x in (left, left + medium.label_w_mm):
            for y in (top, top + medium.label_h_mm):
                assert _near(bars, left=x - 4, top=y - 0.05, width=8, height=0.1)
                assert _near(bars, left=x - 0.05, top=y - 4, width=0.1, height=8)


def test_the_combs_at_the_first_label_go_in_half_millimetres():
    medium = media.get("a4-21up")
    bars = list(_bars(calibrate.page(medium).pdf))
    for half in range(-6, 7):
        long = 9.0 if half == 0 else 6.0 if half % 2 == 0 else 3.5
        assert _near(bars, left=medium.left_mm + half / 2 - 0.05, width=0.1, height=long)
        assert _near(bars, top=medium.top_mm + half / 2 - 0.05, height=0.1, width=long)


@pytest.mark.parametrize("name", ["letter-30up", "a4-21up", "sheet-20up-stick"])
def test_the_ladder_has_a_code_of_each_size_with_its_size_in_words(name, page_image):
    pressed = calibrate.page(media.get(name), payload="TEST")
    found = read_image(page_image(pressed.pdf, dpi=400))
    assert ["TEST"] * 5 == [read.text for read in found]
    sizes = sorted((read.position[1][0] - read.position[0][0]) / 400 * 25.4 / 21 for read in found)
    assert list(calibrate.MODULES_MM) == pytest.approx(sizes, abs=0.015)
    words = PdfReader(io.BytesIO(pressed.pdf)).pages[0].extract_text()
    assert all(f"{size:.2f} mm" in words for size in calibrate.MODULES_MM)


def test_with_a_printers_dots_known_the_ladder_goes_in_whole_dots():
    words = PdfReader(io.BytesIO(calibrate.page(media.get("letter-30up"), dpi=203).pdf)).pages[0].extract_text()
    assert all(said in words for said in ("0.25 mm, 2 dots", "0.38 mm, 3 dots", "0.50 mm, 4 dots", "0.63 mm, 5 dots"))


@pytest.mark.parametrize("name", SMALL)
def test_a_small_medium_takes_a_few_labels_with_a_true_rule_along_and_across(name, page_image):
    medium = media.get(name)
    pressed = calibrate.page(medium)
    for page, room, axis in ((0, medium.page_w_mm, "width"), (1, medium.page_h_mm, "height")):
        length = int((room - 2) // 10) * 10
        other = "height" if axis == "width" else "width"
        assert _near(list(_bars(pressed.pdf, page)), **{axis: min(length, 200), other: 0.2})
    read = [code.text for page in range(pressed.pages) for code in read_image(page_image(pressed.pdf, page, dpi=400))]
    assert ["TEST"] * (pressed.pages - 2) == read
    assert (pressed.pages < 7) == bool(pressed.warnings)


def test_what_has_no_room_on_a_small_medium_is_told():
    assert (
        "test codes with modules of 0.50 mm; 0.60 mm have no room on stake-102x13 and are left out",
    ) == calibrate.page(media.get("stake-102x13")).warnings


def test_offset_and_scale_move_the_whole_page():
    medium = media.get("a4-21up")
    plain, moved = (
        list(_bars(calibrate.page(medium, **how).pdf)) for how in ({}, {"offset_mm": (2, -1), "scale": (1.01, 1)})
    )
    for (x, y, w, _), (x2, y2, w2, _) in zip(plain, moved, strict=True):
        assert (x * 1.01 + 2, y - 1, w * 1.01) == pytest.approx((x2, y2, w2), abs=0.02)


def test_the_same_page_has_the_same_bytes():
    assert calibrate.page(media.get("a4-21up")).pdf == calibrate.page(media.get("a4-21up")).pdf


def test_metal_is_not_printed_and_has_no_calibration():
    with pytest.raises(BadJob, match="written by hand"):
        calibrate.page(media.get("metal-76x22"))


def test_wild_settings_and_texts_are_refused():
    with pytest.raises(BadJob, match="an offset within 25 mm"):
        calibrate.page(media.get("a4-21up"), offset_mm=(40, 0))
    with pytest.raises(BadPayload):
        calibrate.page(media.get("a4-21up"), payload="")
