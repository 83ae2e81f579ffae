"""From how far a tag is read, ruled lines to write on, and a whole sheet as a picture."""

from __future__ import annotations

import io
from itertools import pairwise
from math import atan, degrees

import pytest
from PIL import Image

from labels import media, seen
from labels.errors import BadJob
from labels.layout import Tag, lay_out
from labels.picture import placed, sheet
from labels.reading import read_image

WRITE = ("cultivar", "on", "by, date")
NOTE_PAPER_MM = 6.0
"""Narrow ruled note paper has lines 6 to 7 mm apart (common practice)."""


def test_a_code_is_read_from_ten_sides_and_a_capital_seen_under_16_minutes(make_tag):
    """The 10 to 1 rule of reading distance (common practice); ISO 9241-303: capitals appear at least 16 minutes of arc high."""
    placement = placed(make_tag(), media.get("letter-30up"))
    far = seen.reach(placement)
    assert far.code_mm == pytest.approx(10 * far.side_mm)
    largest = max(box.size_pt for box in placement.texts)
    capital = 0.729 * largest * 25.4 / 72
    assert 16 == pytest.approx(60 * degrees(atan(capital / far.letters_mm)), abs=0.01)
    assert seen.reach(placed(Tag("", "Row 3"), media.get("letter-30up"))).code_mm is None


@pytest.mark.parametrize(
    ("name", "lines"), [("letter-20up", 3), ("a4-21up", 3), ("stake-152x25", 3), ("stake-152x16", 1)]
)
def test_lines_to_write_on_have_room_for_a_hand_and_keep_off_code_and_words(name, lines):
    medium = media.get(name)
    placement = lay_out(Tag("G112-6", "G112-6", (), (), WRITE), medium)
    assert lines <= len(placement.rules)
    across = sorted(min(y1, x1) if x1 == x2 else y1 for x1, y1, x2, y2 in placement.rules)
    assert all(after - before >= NOTE_PAPER_MM - 1 for before, after in pairwise(across))
    for x1, y1, x2, y2 in placement.rules:
        assert 0 <= min(x1, x2) <= max(x1, x2) <= medium.label_w_mm
        assert 0 <= min(y1, y2) <= max(y1, y2) <= medium.label_h_mm
        for code in placement.symbols:
            dark = (code.x, code.y, code.x + code.side, code.y + code.side)
            assert max(x1, x2) < dark[0] or min(x1, x2) > dark[2] or y1 < dark[1] or y1 > dark[3]


def test_the_first_sheet_is_drawn_with_every_code_from_the_cell_asked_for():
    medium = media.get("letter-30up")
    tags = [Tag(f"G{i}-K", f"G{i}-K") for i in range(100, 140)]
    image = Image.open(io.BytesIO(sheet(tags, medium, 27)))
    assert (216, 279) == tuple(round(v / 150 * 25.4) for v in image.size)
    assert {f"G{i}-K" for i in range(100, 104)} == {read.text for read in read_image(image)}
    with pytest.raises(BadJob, match="30"):
        sheet(tags, medium, 31)
    assert Image.open(io.BytesIO(sheet(tags, media.get("roll-51x25"), 1))).size == (300, 150)
