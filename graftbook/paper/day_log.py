"""A log for a grafting day away from the computer: a code given out ahead to each graft, and lines to write on.

Printed in black on plain paper, for pencils and cold hands: codes are 12 points, boxes 6 mm, lines 9 mm apart and as
long as the page allows. Codes are drawn at true size, so the page must not be scaled when printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MARGIN_MM, box, code_square, folded, rule, shrunk, text, width, written
from graftbook.paper.parts import Part, PartDrawer, draw_parts, paged, room_below

HEAD_MM = 18.0
ROW_MM = 21.5
CODE_MM = 15.5
NOTE_MM = 5.0
BOX_MM = 6.0
_FIRST = (("wood", "on", "buds"), (3.2, 2.6, 1.0))
_SECOND = (("how", "by", "note"), (1.6, 1.2, 3.0))


@dataclass(frozen=True)
class LoggedGraft:
    """A line of the log: the code as people say it, what its QR code holds."""

    code: str
    payload: str


@dataclass(frozen=True)
class DayLog:
    """A whole log: its title, a line for each code, up to five methods to tick, and sentences that stand at the end."""

    title: str
    grafts: tuple[LoggedGraft, ...]
    methods: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def draw(log: DayLog, paper: str = "a4") -> bytes:
    """The log as PDF on plain paper, a4 or letter. Raises UsageProblem for another paper."""
    pages = list(paged(_parts(log), room_below(paper, HEAD_MM), 0.0)) or [[]]
    return draw_parts(paper, log.title, "a grafting day, to write on", "Written by", HEAD_MM, pages, _DRAW)


def _parts(log: DayLog) -> Iterator[tuple[str, float, Part]]:
    for graft in log.grafts:
        yield "", ROW_MM, ("graft", (graft, log.methods))
    for note in log.notes:
        for line in folded(note):
            yield "", NOTE_MM, ("note", line)


def _graft(canvas: Any, what: tuple[LoggedGraft, tuple[str, ...]], top: float, w: float) -> float:
    graft, methods = what
    foot = top - ROW_MM
    code_square(canvas, graft.payload, MARGIN_MM, top - 1.0 - CODE_MM, CODE_MM)
    size = shrunk(graft.code, (12, 11, 10, 9), CODE_MM + 1.5, bold=True)
    text(canvas, MARGIN_MM, foot + 1.4, graft.code, size, bold=True)
    left, right = MARGIN_MM + CODE_MM + 3.0, w - MARGIN_MM
    captions, shares = _FIRST
    written(canvas, captions, top - 8.0, left, right, shares)
    captions, shares = _SECOND
    x = _ticked(canvas, methods, top - 17.2, left, right)
    written(canvas, captions, top - 17.2, x, right, shares)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, foot, 0.15)
    return foot


def _ticked(canvas: Any, methods: tuple[str, ...], y: float, x: float, right: float) -> float:
    """Methods to tick, as many as leave half of the line to write on; gives back where that begins."""
    half = x + (right - x) / 2
    for method in methods:
        across = BOX_MM + 1.2 + width(method, 10) + 2.8
        if x + across > half:
            break
        box(canvas, x, y + BOX_MM - 1.6, BOX_MM, 0.35)
        text(canvas, x + BOX_MM + 1.2, y, method, 10)
        x += across
    return x


def _note(canvas: Any, words: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 4.2, words, 10)
    return top - NOTE_MM


_DRAW: dict[str, PartDrawer] = {"graft": _graft, "note": _note}
