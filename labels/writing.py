"""A sheet to write from, for tags that no printer takes: codes in large type, in groups, to be stamped or engraved.

A QR code cannot be embossed by hand, so there is none: the code with its check character is what the tag will carry.
"""

from __future__ import annotations

import re
from dataclasses import replace

from labels.drawing import paper_size
from labels.errors import DoesNotFit
from labels.fitting import Texts, fit
from labels.layout import Placement, Tag, TextBox, selections
from labels.lettering import ASCENT_EM, BOLD, PT_MM, REGULAR, ROW_EM, em_width
from labels.media import Medium

HEADING = ("copy by hand, then tick; the gaps between groups need not be copied", 7.5)
"""What the margin of the page says, and its size in points."""
_CELL_W_MM, _CELL_H_MM = 92.0, 14.0
_TOP_MM, _EDGE_MM = 20.0, 12.0
_TICK_BOX_MM = 8.0
_TICK_BOX_PT = 16.0
_HEAD_W_MM, _HEAD_PT, _LEAST_HEAD_PT = 44.0, 20.0, 12.0
_PARTS = re.compile(r"[^\W\d_]+|\d+|[\W_]+")


def page_for(medium: Medium, paper: str) -> Medium:
    """The page to write from, in two columns on plain paper, a4 or letter; it keeps the medium's name and title."""
    w, h = paper_size(paper)
    rows = int((h - _TOP_MM - _EDGE_MM) // _CELL_H_MM)
    left = (w - 2 * _CELL_W_MM) / 2
    return replace(
        medium, page_w_mm=w, page_h_mm=h, cols=2, rows=rows, label_w_mm=_CELL_W_MM, label_h_mm=_CELL_H_MM, left_mm=left,
        top_mm=_TOP_MM, pitch_x_mm=_CELL_W_MM, pitch_y_mm=_CELL_H_MM, corner_mm=0.0, blank_mm=0.0,
    )  # fmt: skip


def grouped(head: str) -> str:
    """A code in groups that a hand copies safely: letters, then digits in threes from the right, signs kept.

    `G12345-K` becomes `G 12 345 - K`.
    """
    groups: list[str] = []
    for part in _PARTS.findall(head):
        if part.isdigit():
            first = len(part) % 3
            groups += [part[:first]] if first else []
            groups += [part[i : i + 3] for i in range(first, len(part), 3)]
        else:
            groups.append(part.strip())
    return " ".join(group for group in groups if group)


def lay_out(tag: Tag, page: Medium) -> Placement:
    """A box to tick, the tag's head in large groups, and name and lines beside it, in one cell of a page from `page_for`.

    Raises DoesNotFit or MissingGlyph; lines are left out only if they are optional.
    """
    head = grouped(tag.head)
    em = em_width(head, BOLD) * PT_MM
    size = min(_HEAD_PT, _HEAD_W_MM / em)
    x, h = _TICK_BOX_MM + _HEAD_W_MM + 3, page.label_h_mm - 2
    for lines, left_out in selections(tag.printed_lines):
        block = fit(Texts(tag.printed_name, "", lines), page.label_w_mm - x - 2, h)
        if block is not None and size >= _LEAST_HEAD_PT:
            rows = (_box(row.text, row.font, row.size_pt, x + row.x, 1 + row.y) for row in block.rows)
            fixed = (("☐", REGULAR, _TICK_BOX_PT, 0.5), (head, BOLD, size, _TICK_BOX_MM))
            middle = (
                _box(text, font, pt, at, (page.label_h_mm - ROW_EM * pt * PT_MM) / 2) for text, font, pt, at in fixed
            )
            return Placement((), (*middle, *rows), (), left_out)
    raise DoesNotFit(
        f"a code of {_HEAD_W_MM:.0f} mm at {_LEAST_HEAD_PT:.0f} pt and lines of {page.label_w_mm - x - 2:.0f} x {h:.0f} mm",
        f"tag {tag.head}",
        "use shorter forms of its lines, or leave some out",
    )


def _box(text: str, font: str, size: float, x: float, y: float) -> TextBox:
    em = size * PT_MM
    return TextBox(text, font, size, x, y, em_width(text, font) * em, ROW_EM * em, x, y + ASCENT_EM * em, False)
