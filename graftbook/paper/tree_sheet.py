"""A sheet for the shed wall: every living graft of one tree, limb by limb, with where it sits drawn in two small views.

Printed in black on plain paper and read at arm's length: names are 11 points and more, nothing is shown by a tint. Codes are
drawn at true size, so the page must not be scaled. Up to thirty grafts are one page; more go on to others,
under larger drawings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import (
    MARGIN_MM,
    code_square,
    first_fitting,
    fitted,
    page_size,
    pages_drawn,
    printable,
    rule,
    shrunk,
    text,
    width,
)
from graftbook.paper.tree_views import GraftMark, from_above, from_the_side

HEAD_MM = 21.0
FOOT_MM = 4.0
VIEWS_MM = 56.0
LARGE_VIEWS_MM = 112.0
ON_ONE_PAGE = 30
ROW_MM = 11.6
CODE_MM = 11.7
"""Rows lie closer than codes are high: the light round two codes is shared, and no rule runs through it."""
GAP_MM = 5.0
NAME_PT, SMALL_PT = 11.5, 9.0


@dataclass(frozen=True)
class TreeGraft:
    """One graft of the sheet. `mark` where it sits; `code` as people say it, `payload` what its QR code holds; `name` its
    cultivar; `limb` and `spot` (side, height and what else is known) in words, empty where not known; `year` and `method`
    of its making, `state` how it stands; `tag` what is wrong with its tag, empty where nothing is."""

    mark: GraftMark
    code: str
    payload: str
    name: str
    limb: str
    spot: str
    year: int
    method: str
    state: str
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
    w, h = size = page_size(paper)
    views = VIEWS_MM if len(sheet.grafts) <= ON_ONE_PAGE else LARGE_VIEWS_MM
    pages = _pages(sheet.grafts, h, views)

    def page(canvas: Any, grafts: Sequence[TreeGraft], number: int) -> None:
        _head(canvas, sheet, number, len(pages), w, h)
        top, above = h - MARGIN_MM - HEAD_MM, views if number == 1 else 0.0
        if above:
            _views(canvas, sheet, top, w, views)
        _table(canvas, grafts, top - above, w, _rows(h, above))
        if number == len(pages):
            _notes(canvas, sheet.notes, w)

    return pages_drawn(size, f"{sheet.code} {sheet.name}", "the grafts of one tree", pages, page)


def _rows(h: float, above: float) -> int:
    """Rows in one of the two columns of a page, below the views where it has any."""
    return int((h - 2 * MARGIN_MM - HEAD_MM - above - FOOT_MM) // ROW_MM)


def _pages(grafts: Sequence[TreeGraft], h: float, views: float) -> list[Sequence[TreeGraft]]:
    first, later = 2 * _rows(h, views), 2 * _rows(h, 0.0)
    return [grafts[:first], *(grafts[at : at + later] for at in range(first, len(grafts), later))]


def _head(canvas: Any, sheet: TreeSheet, number: int, pages: int, w: float, h: float) -> None:
    top, side = h - MARGIN_MM, 18.0
    code_square(canvas, sheet.payload, w - MARGIN_MM - side, top - side, side)
    across = w - 2 * MARGIN_MM - side - 4
    title = f"{sheet.code}  {sheet.name}"
    size = shrunk(title, (22, 19, 16, 13), across, bold=True)
    text(canvas, MARGIN_MM, top - 8, fitted(title, size, across, bold=True), size, bold=True)
    page = f", page {number} of {pages}" if pages > 1 else ""
    stands = fitted(sheet.stands, 12, across - width(page, 12))
    text(canvas, MARGIN_MM, top - 15.5, f"{stands}{page}".removeprefix(", "), 12)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, top - HEAD_MM + 2.5, 0.4)


def _views(canvas: Any, sheet: TreeSheet, top: float, w: float, views: float) -> None:
    marks = [graft.mark for graft in sheet.grafts]
    across = min(views, (w - 2 * MARGIN_MM) * 0.48)
    middle = w - MARGIN_MM - across
    from_the_side(canvas, marks, MARGIN_MM, top - views + 3, middle - MARGIN_MM - 4, views - 4)
    from_above(canvas, marks, middle, top - across + 3, across - 4)


def _table(canvas: Any, grafts: Sequence[TreeGraft], top: float, w: float, rows: int) -> None:
    across = (w - 2 * MARGIN_MM - GAP_MM) / 2
    for at, graft in enumerate(grafts):
        x = MARGIN_MM + (at // rows) * (across + GAP_MM)
        _row(canvas, graft, x, top - (at % rows) * ROW_MM, across)


def _row(canvas: Any, graft: TreeGraft, x: float, top: float, across: float) -> None:
    left, room = x + 9.5 + CODE_MM, across - 9.5 - CODE_MM
    rule(canvas, x, x + 7.5, top, 0.15)
    rule(canvas, left, x + across, top, 0.15)
    text(canvas, x + 7.2, top - 5, str(graft.mark.number), 13, bold=True, right=True)
    code_square(canvas, graft.payload, x + 8.5, top - (ROW_MM + CODE_MM) / 2, CODE_MM)
    name = _name(graft.name, room)
    for line, size, foot in name:
        text(canvas, left, top - foot, line, size, bold=True)
    about = first_fitting(_about(graft), SMALL_PT, room, bold=bool(graft.tag))
    if len(name) == 1:
        text(canvas, left, top - 7.4, _where(graft, room), SMALL_PT)
        text(canvas, left, top - 10.7, about, SMALL_PT, bold=bool(graft.tag))
        return
    short = f", TAG {graft.tag.upper()}" if graft.tag else f", {graft.year}"
    line = _where(graft, room - width(short, SMALL_PT)) + short
    text(canvas, left, top - 10.7, line, SMALL_PT)


def _name(name: str, room: float) -> list[tuple[str, float, float]]:
    """The lines of a name, with the size of each in points and its foot in mm below the rule: smaller, then on two lines,
    before it is cut short."""
    size = shrunk(name, (NAME_PT, 10.5, 9.5, SMALL_PT), room, bold=True)
    if width(name, size, bold=True) <= room:
        return [(printable(name, bold=True), size, 4.0)]
    words, first = name.split(), ""
    while words and width(f"{first} {words[0]}", SMALL_PT, bold=True) <= room:
        first = f"{first} {words.pop(0)}".strip()
    if not first:
        return [(fitted(name, SMALL_PT, room, bold=True), SMALL_PT, 4.0)]
    return [(first, SMALL_PT, 3.8), (fitted(" ".join(words), SMALL_PT, room, bold=True), SMALL_PT, 7.2)]


def _where(graft: TreeGraft, room: float) -> str:
    """Code, limb and spot; a long limb is cut short before the spot is."""
    after = f", {graft.spot}" if graft.spot else ""
    limb = f", {graft.limb}" if graft.limb else ""
    left = room - width(graft.code + after, SMALL_PT)
    if limb and left > 12:
        limb = fitted(limb, SMALL_PT, left)
    return fitted(f"{graft.code}{limb}{after}", SMALL_PT, room)


def _about(graft: TreeGraft) -> tuple[str, ...]:
    tag = f"TAG {graft.tag.upper()}. " if graft.tag else ""
    return (
        f"{tag}{graft.year}, {graft.method}: {graft.state}",
        f"{tag}{graft.year}: {graft.state}",
        f"{tag}{graft.year}",
    )


def _notes(canvas: Any, notes: Sequence[str], w: float) -> None:
    for at, note in enumerate(reversed(notes[:2])):
        text(canvas, MARGIN_MM, MARGIN_MM - 3 + at * 4.2, fitted(note, 9, w - 2 * MARGIN_MM), 9)
