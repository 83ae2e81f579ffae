"""A sheet for the shed wall: every living graft of one tree, limb by limb, with where it sits drawn in two small views.

Printed in black on plain paper and read at arm's length: names are 11 points and more, nothing is told by a tint. Codes are
drawn at true size, so the page must not be scaled. Thirty grafts fit the first page; more go on to others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MM, code_square, fitted, page_size, text
from graftbook.paper.tree_views import Mark, from_above, from_the_side

MARGIN_MM = 12.0
HEAD_MM = 22.0
VIEWS_MM = 62.0
ROW_MM = 12.8
CODE_MM = 11.7
GAP_MM = 5.0


@dataclass(frozen=True)
class TreeGraft:
    """One graft of the sheet. `mark` where it sits; `code` as people say it, `payload` what its QR code holds; `name` its
    cultivar; `where` limb, bearing and height in words; `about` year and how it stands; `tag` what is wrong with its tag,
    empty where nothing is."""

    mark: Mark
    code: str
    payload: str
    name: str
    where: str
    about: str
    tag: str = ""


@dataclass(frozen=True)
class TreeSheet:
    """A whole sheet: the tree's code and payload, its name, where it stands, the day it speaks of, its grafts limb by limb,
    and sentences for the foot."""

    code: str
    payload: str
    name: str
    stands: str
    as_of: str
    grafts: tuple[TreeGraft, ...]
    notes: tuple[str, ...] = ()


def draw(sheet: TreeSheet, paper: str = "a4") -> bytes:
    """The sheet as PDF on plain paper, a4 or letter. Raises UsageProblem for another paper."""
    from labels.drawing import finished, new_canvas

    w, h = page_size(paper)
    pages = _pages(sheet.grafts, h)
    canvas: Any = new_canvas(w, h, f"{sheet.code} {sheet.name}", "the grafts of one tree")
    for number, grafts in enumerate(pages):
        if number:
            canvas.showPage()
        _head(canvas, sheet, number + 1, len(pages), w, h)
        top = h - MARGIN_MM - HEAD_MM
        if number == 0:
            _views(canvas, sheet, top, w)
            top -= VIEWS_MM
        _table(canvas, grafts, top, w, _rows(h, number == 0))
    _notes(canvas, sheet.notes, w)
    return finished(canvas)


def _rows(h: float, first: bool) -> int:
    """Rows in one of the two columns of a page."""
    room = h - 2 * MARGIN_MM - HEAD_MM - (VIEWS_MM if first else 0) - 8
    return int(room // ROW_MM)


def _pages(grafts: Sequence[TreeGraft], h: float) -> list[Sequence[TreeGraft]]:
    first, later = 2 * _rows(h, True), 2 * _rows(h, False)
    return [grafts[:first], *(grafts[at : at + later] for at in range(first, len(grafts), later))]


def _head(canvas: Any, sheet: TreeSheet, number: int, pages: int, w: float, h: float) -> None:
    top, side = h - MARGIN_MM, 18.0
    code_square(canvas, sheet.payload, w - MARGIN_MM - side, top - side, side)
    across = w - 2 * MARGIN_MM - side - 4
    text(canvas, MARGIN_MM, top - 8, fitted(f"{sheet.code}  {sheet.name}", 22, across, bold=True), 22, bold=True)
    page = f", page {number} of {pages}" if pages > 1 else ""
    text(canvas, MARGIN_MM, top - 15.5, fitted(f"{sheet.stands}{page}", 12, across), 12)
    canvas.setLineWidth(0.4 * MM)
    canvas.line(MARGIN_MM * MM, (top - HEAD_MM + 2.5) * MM, (w - MARGIN_MM) * MM, (top - HEAD_MM + 2.5) * MM)


def _views(canvas: Any, sheet: TreeSheet, top: float, w: float) -> None:
    marks = [graft.mark for graft in sheet.grafts]
    middle = w - MARGIN_MM - VIEWS_MM
    from_the_side(canvas, marks, MARGIN_MM, top - VIEWS_MM + 3, middle - MARGIN_MM - 4, VIEWS_MM - 4)
    from_above(canvas, marks, middle, top - VIEWS_MM + 3, VIEWS_MM - 4)


def _table(canvas: Any, grafts: Sequence[TreeGraft], top: float, w: float, rows: int) -> None:
    across = (w - 2 * MARGIN_MM - GAP_MM) / 2
    for at, graft in enumerate(grafts):
        x = MARGIN_MM + (at // rows) * (across + GAP_MM)
        _row(canvas, graft, x, top - (at % rows) * ROW_MM, across)


def _row(canvas: Any, graft: TreeGraft, x: float, top: float, across: float) -> None:
    canvas.setLineWidth(0.15 * MM)
    canvas.line(x * MM, top * MM, (x + across) * MM, top * MM)
    text(canvas, x + 7, top - 5, str(graft.mark.number), 13, bold=True, right=True)
    code_square(canvas, graft.payload, x + 8.5, top - (ROW_MM + CODE_MM) / 2, CODE_MM)
    left, room = x + 9.5 + CODE_MM, across - 9.5 - CODE_MM
    text(canvas, left, top - 4.4, fitted(graft.name, 11.5, room, bold=True), 11.5, bold=True)
    text(canvas, left, top - 8.2, fitted(f"{graft.code}  {graft.where}", 9, room), 9)
    about = f"TAG {graft.tag.upper()}. {graft.about}" if graft.tag else graft.about
    text(canvas, left, top - 11.8, fitted(about, 9, room, bold=bool(graft.tag)), 9, bold=bool(graft.tag))


def _notes(canvas: Any, notes: Sequence[str], w: float) -> None:
    for at, note in enumerate(reversed(notes[:2])):
        text(canvas, MARGIN_MM, MARGIN_MM - 3 + at * 4.2, fitted(note, 9, w - 2 * MARGIN_MM), 9)
