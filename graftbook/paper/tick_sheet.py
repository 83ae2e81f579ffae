"""A sheet to walk with: one block a graft with its code to scan, where it stands, and a box to tick for each thing wanted.

Meant to be read on a clipboard at arm's length, out of doors, printed in black: words on grafts are 11 points and more, nothing
is shown by a tint. Codes are drawn at true size, so the page must not be scaled when printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MARGIN_MM, box, code_square, fitted, folded, page_size, rule, text
from graftbook.paper.parts import Part, PartDrawer, draw_parts, paged, room_below

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
    words = _ABOUT_MM + len(_about(block, w)) * _ROW_MM
    return max(_LEAST_MM, (len(block.wants) + 1) // 2 * TICK_MM + 2.5, words)


def _about(block: TickBlock, w: float) -> list[str]:
    """What it is and on what, whole, on as many rows as that takes on a page `w` mm wide."""
    return folded(block.about, (w - 2 * MARGIN_MM) * _LEFT_SHARE - CODE_MM - 5, 11)


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
        box(canvas, x, y, BOX_MM, 0.35)
        text(canvas, x + BOX_MM + 1.6, y - BOX_MM + 0.9, fitted(want, 12, half - BOX_MM - 2), 12)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, foot, 0.15)
    return foot


_DRAW: dict[str, PartDrawer] = {"name": _name, "block": _block, "note": _note}
