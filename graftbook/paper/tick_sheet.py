"""A sheet to walk with: one block a graft with its code to scan, where it stands, and a box to tick for each thing wanted.

Meant to be read on a clipboard at arm's length, out of doors, printed in black: words on grafts are 11 points and more, nothing
is shown by a tint. Codes are drawn at true size, so the page must not be scaled when printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MM, code_square, fitted, folded, page_size, text

MARGIN_MM = 12.0
CODE_MM = 15.0
HEAD_MM = 17.0
PLACE_MM = 11.0
TICK_MM = 7.5
LINE_MM = 5.0
BOX_MM = 4.6
NOTE_GAP_MM = 1.0
_LEAST_MM = CODE_MM + 2.5
_LEFT_SHARE = 0.5
_ABOUT_MM, _ROW_MM = 8.2, 4.6


@dataclass(frozen=True)
class TickBlock:
    """What one graft, or bundle of wood, wants. `code` as people say it; `payload` what its QR code holds; `where` its row
    and number there; `about` what it is and on what; `wants` the things to do, each in a few words."""

    code: str
    payload: str
    where: str
    about: str
    wants: tuple[str, ...]


@dataclass(frozen=True)
class TickPlace:
    """One place with its blocks in walking order."""

    name: str
    blocks: tuple[TickBlock, ...]


@dataclass(frozen=True)
class TickSheet:
    """A whole sheet: its title, places in walking order, and sentences that stand at the end."""

    title: str
    places: tuple[TickPlace, ...]
    notes: tuple[str, ...] = ()


def draw(sheet: TickSheet, paper: str = "a4") -> bytes:
    """The sheet as PDF on plain paper, a4 or letter. Raises UsageProblem for another paper."""
    from labels.drawing import finished, new_canvas

    w, h = page_size(paper)
    pages = list(_pages(sheet, w, h))
    canvas: Any = new_canvas(w, h, sheet.title, "things due, in walking order")
    for number, parts in enumerate(pages, 1):
        if number > 1:
            canvas.showPage()
        _head(canvas, sheet.title, number, len(pages), w, h)
        top = h - MARGIN_MM - HEAD_MM
        for part in parts:
            top = _draw_part(canvas, part, top, w)
    return finished(canvas)


Part = tuple[str, Any]


def _pages(sheet: TickSheet, w: float, h: float) -> Iterator[list[Part]]:
    """The parts of each page; a place's name is said again where it goes on, and never stands alone at the foot."""
    room = h - 2 * MARGIN_MM - HEAD_MM
    page: list[Part] = []
    left = room
    for place in sheet.places:
        for at, block in enumerate(place.blocks):
            high, name = _height(block, w), PLACE_MM if at == 0 or not page else 0.0
            if high + name > left and page:
                yield page
                page, left, name = [], room, PLACE_MM
            if name:
                page.append(("place", place.name if at == 0 else f"{place.name}, continued"))
            page.append(("block", block))
            left -= high + name
    for note in sheet.notes:
        high = LINE_MM * len(folded(note)) + NOTE_GAP_MM
        if high > left and page:
            yield page
            page, left = [], room
        page.append(("note", note))
        left -= high
    yield page


def _height(block: TickBlock, w: float) -> float:
    said = _ABOUT_MM + len(_about(block, w)) * _ROW_MM
    return max(_LEAST_MM, (len(block.wants) + 1) // 2 * TICK_MM + 2.5, said)


def _about(block: TickBlock, w: float) -> list[str]:
    """What it is and on what, whole, on as many rows as that takes on a page `w` mm wide."""
    return folded(block.about, (w - 2 * MARGIN_MM) * _LEFT_SHARE - CODE_MM - 5, 11)


def _head(canvas: Any, title: str, number: int, pages: int, w: float, h: float) -> None:
    top = h - MARGIN_MM
    text(canvas, MARGIN_MM, top - 5.5, fitted(title, 15, w - 2 * MARGIN_MM - 40, bold=True), 15, bold=True)
    text(canvas, w - MARGIN_MM, top - 5.5, f"page {number} of {pages}", 11, right=True)
    text(
        canvas, MARGIN_MM, top - 12.5, "Walked by ______________________  on ______________  entered in the book  ☐", 11
    )
    canvas.setLineWidth(0.4 * MM)
    canvas.line(MARGIN_MM * MM, (top - 15) * MM, (w - MARGIN_MM) * MM, (top - 15) * MM)


def _draw_part(canvas: Any, part: Part, top: float, w: float) -> float:
    """Draw a part below `top` (mm from the foot of the page) and give back where the next one begins."""
    kind, what = part
    if kind == "place":
        text(canvas, MARGIN_MM, top - 7.5, fitted(what, 14, w - 2 * MARGIN_MM, bold=True), 14, bold=True)
        return top - PLACE_MM
    if kind == "note":
        for line in folded(what):
            text(canvas, MARGIN_MM, top - 5.5, line, 10)
            top -= LINE_MM
        return top - NOTE_GAP_MM
    _block(canvas, what, top, w)
    return top - _height(what, w)


def _block(canvas: Any, block: TickBlock, top: float, w: float) -> None:
    high = _height(block, w)
    code_square(canvas, block.payload, MARGIN_MM, top - 1 - CODE_MM, CODE_MM)
    left = MARGIN_MM + CODE_MM + 2
    middle = MARGIN_MM + (w - 2 * MARGIN_MM) * _LEFT_SHARE
    text(canvas, left, top - 6.5, block.code, 16, bold=True)
    where = fitted(block.where, 11, middle - left - 24)
    text(canvas, middle - 3, top - 6.5, where, 11, right=True)
    for at, line in enumerate(_about(block, w)):
        text(canvas, left, top - 11.2 - at * _ROW_MM, line, 11)
    half = (w - MARGIN_MM - middle) / 2
    for at, want in enumerate(block.wants):
        x, y = middle + (at % 2) * half, top - 2.2 - at // 2 * TICK_MM
        canvas.setLineWidth(0.35 * MM)
        canvas.rect(x * MM, (y - BOX_MM) * MM, BOX_MM * MM, BOX_MM * MM)
        text(canvas, x + BOX_MM + 1.6, y - BOX_MM + 0.9, fitted(want, 12, half - BOX_MM - 2), 12)
    canvas.setLineWidth(0.15 * MM)
    canvas.line(MARGIN_MM * MM, (top - high) * MM, (w - MARGIN_MM) * MM, (top - high) * MM)
