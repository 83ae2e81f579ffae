"""A sheet to walk with: one block a graft with its code to scan, where it stands, a box to tick for each thing wanted and for
each thing that may be seen, and a line to write on.

Meant to be read on a clipboard at arm's length, out of doors, printed in black, and ticked with cold hands: words on grafts are
11 points and more, those at boxes 10, boxes 6 mm, lines 9 mm apart, nothing is shown by a tint. Codes
are drawn at true size, so the page must not be scaled when printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import (
    MARGIN_MM,
    box,
    code_square,
    fitted,
    folded,
    page_size,
    rule,
    shrunk,
    text,
    width,
    written,
)
from graftbook.paper.parts import Part, PartDrawer, draw_parts, paged, room_below

CODE_MM = 15.0
HEAD_MM = 17.0
PLACE_MM = 11.0
TICK_MM = 8.0
LINE_MM = 5.0
BOX_MM = 6.0
SEEN_MM = 8.0
COUNT_MM = 12.0
WRITE_MM = 9.0
NOTE_GAP_MM = 1.0
_LEAST_MM = CODE_MM + 2.5
_LEFT_SHARE = 0.5
_APART_MM, _LEAST_WHERE_MM, _WORD_PT = 2.4, 12.0, 10.0
_ABOUT_MM, _ROW_MM = 8.2, 4.6


@dataclass(frozen=True)
class TickBlock:
    """What one graft, or bundle of wood, wants, or a run of grafts alike. `code` as people say it; `payload` what its QR code
    holds, empty for a run; `where` its row and number there; `about` what it is and on what; `wants` the things to do, each in
    a few words; `seen` what may be seen, a box each, for a run a box to write a count into; `write` the lines to write on."""

    code: str
    payload: str
    where: str
    about: str
    wants: tuple[str, ...]
    seen: tuple[str, ...] = ()
    write: tuple[str, ...] = ()


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
    parts = _parts(sheet, page_size(paper)[0])
    pages = list(paged(parts, room_below(paper, HEAD_MM), PLACE_MM)) or [[]]
    return draw_parts(paper, sheet.title, "things due, in walking order", "Walked by", HEAD_MM, pages, _DRAW)


def _parts(sheet: TickSheet, w: float) -> Iterator[tuple[str, float, Part]]:
    for place in sheet.places:
        for block in place.blocks:
            yield place.name, _height(block, w), ("block", block)
    for note in sheet.notes:
        lines = folded(note)
        yield "", LINE_MM * len(lines) + NOTE_GAP_MM, ("note", lines)


def _height(block: TickBlock, w: float) -> float:
    below = WRITE_MM if block.write and not _beside(block) else 0.0
    return _upper(block, w) + len(_seen_rows(block, w)) * SEEN_MM + below


def _upper(block: TickBlock, w: float) -> float:
    """The height of what stands above what may be seen."""
    words = _ABOUT_MM + len(_about(block, w)) * _ROW_MM
    code = _LEAST_MM if block.payload else 0.0
    wants = -(-len(block.wants) // _columns(block, w)) * TICK_MM + 2.5
    return max(code, wants + (WRITE_MM - 2.5 if _beside(block) else 0.0), words)


def _beside(block: TickBlock) -> bool:
    """Whether the line to write on stands under the wants: where nothing is to be ticked below."""
    return bool(block.write) and bool(block.payload) and not block.seen


def _columns(block: TickBlock, w: float) -> int:
    """Two wants beside one another, or where one is too long for that, one: a date is never cut off."""
    half = (w - 2 * MARGIN_MM) * (1 - _LEFT_SHARE) / 2
    return 2 if all(width(want, 12) <= half - BOX_MM - 2 for want in block.wants) else 1


def _left(block: TickBlock) -> float:
    return MARGIN_MM + (CODE_MM + 2 if block.payload else 0.0)


def _about(block: TickBlock, w: float) -> list[str]:
    """What it is and on what, whole, on as many rows as that takes on a page `w` mm wide."""
    return folded(block.about, (w - 2 * MARGIN_MM) * _LEFT_SHARE + MARGIN_MM - _left(block) - 3, 11)


def _seen_rows(block: TickBlock, w: float) -> list[list[tuple[float, str]]]:
    """What may be seen in rows, each word with the left end of its box in mm, as many to a row as it has room for."""
    rows: list[list[tuple[float, str]]] = []
    wide, x = (BOX_MM if block.payload else COUNT_MM) + 1.4, 0.0
    for word in block.seen:
        across = wide + width(word, _WORD_PT)
        if not rows or x + across > w - MARGIN_MM:
            rows.append([])
            x = MARGIN_MM
        rows[-1].append((x, word))
        x += across + _APART_MM
    return rows


def _name(canvas: Any, name: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 7.5, fitted(name, 14, w - 2 * MARGIN_MM, bold=True), 14, bold=True)
    return top - PLACE_MM


def _note(canvas: Any, lines: list[str], top: float, w: float) -> float:
    for line in lines:
        text(canvas, MARGIN_MM, top - 5.5, line, 10)
        top -= LINE_MM
    return top - NOTE_GAP_MM


def _block(canvas: Any, block: TickBlock, top: float, w: float) -> float:
    foot = top - _height(block, w)
    if block.payload:
        code_square(canvas, block.payload, MARGIN_MM, top - 1 - CODE_MM, CODE_MM)
    left = _left(block)
    middle = MARGIN_MM + (w - 2 * MARGIN_MM) * _LEFT_SHARE
    size = shrunk(block.code, (16, 14, 12, 11), middle - left - 3, bold=True)
    text(canvas, left, top - 6.5, fitted(block.code, size, middle - left - 3, bold=True), size, bold=True)
    room = middle - 3 - left - width(block.code, size, bold=True) - 2
    if room > _LEAST_WHERE_MM:
        text(canvas, middle - 3, top - 6.5, fitted(block.where, 11, room), 11, right=True)
    for at, line in enumerate(_about(block, w)):
        text(canvas, left, top - 11.2 - at * _ROW_MM, line, 11)
    columns = _columns(block, w)
    half = (w - MARGIN_MM - middle) / columns
    for at, want in enumerate(block.wants):
        x, y = middle + (at % columns) * half, top - 2.0 - at // columns * TICK_MM
        box(canvas, x, y, BOX_MM, 0.35)
        text(canvas, x + BOX_MM + 1.6, y - BOX_MM + 1.6, fitted(want, 12, half - BOX_MM - 2), 12)
    _seen(canvas, block, top - _upper(block, w), w)
    if block.write:
        written(canvas, block.write, foot + 2.2, middle if _beside(block) else MARGIN_MM, w - MARGIN_MM)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, foot, 0.15)
    return foot


def _seen(canvas: Any, block: TickBlock, top: float, w: float) -> None:
    """Boxes to tick, or in a run of grafts to write counts into, each with a word for what may be seen."""
    wide = BOX_MM if block.payload else COUNT_MM
    for row in _seen_rows(block, w):
        for x, word in row:
            box(canvas, x, top - 0.6, BOX_MM, 0.35, wide)
            text(canvas, x + wide + 1.4, top - BOX_MM + 1.2, word, _WORD_PT)
        top -= SEEN_MM


_DRAW: dict[str, PartDrawer] = {"name": _name, "block": _block, "note": _note}
