"""A sheet for the grafting bench: one line a graft in bench order, one cultivar at a time, and how to cut the sticks.

Grafts that are one batch are one line with a box for their count.

Meant to lie on the bench and be read at arm's length, printed in black: codes are 14 points, words 11 and more, and nothing is
shown by a tint. Each line has a code to scan, two boxes to tick and room for one word. Codes are drawn at true size, so the
page must not be scaled when printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MARGIN_MM, box, code_square, fitted, folded, rule, text, width
from graftbook.paper.parts import Part, PartDrawer, draw_parts, paged, room_below

HEAD_MM = 18.0
NAME_MM = 11.0
ROW_MM = 17.0
CODE_MM = 15.5
BOX_MM = 5.5
CUT_MM = 7.6
NOTE_MM = 5.0
COLUMNS_MM = 6.0
BATCH_MM, COUNT_MM = 17.0, 22.0
# Where each column of a line begins, in mm from the left margin.
_CODE, _CUT, _ON, _BOXES, _WORD = 10.0, 26.5, 73.0, 126.0, 151.0


@dataclass(frozen=True)
class BenchLine:
    """One graft: its number in bench order, the code of the graft to be and what its QR code holds; `cut` is stick and piece,
    `size` the piece in words; `host` and what is known of it; `how` the method, and whatever a comparison asks."""

    line: int
    code: str
    payload: str
    cut: str
    size: str
    host: str
    about_host: str
    how: str


@dataclass(frozen=True)
class BatchLine:
    """Grafts done as one batch: its number, how many they are, the codes they are to have; `wood` and `size` what is put on,
    `stocks` what it goes on, `how` the method and where they are to stand, `lines` their numbers in words."""

    number: int
    grafts: int
    codes: str
    wood: str
    size: str
    stocks: str
    how: str
    lines: str


@dataclass(frozen=True)
class BenchGroup:
    """The lines of one cultivar, in bench order, batches first."""

    name: str
    lines: tuple[BenchLine, ...]
    batches: tuple[BatchLine, ...] = ()


@dataclass(frozen=True)
class CutLine:
    """How one stick is cut, from the butt on: `pieces` in words, `lines` the numbers of the lines they are for."""

    stick: str
    pieces: str
    lines: str


@dataclass(frozen=True)
class BenchSheet:
    """A whole sheet: its title, the lines by cultivar, the cutting list by cultivar, sentences that stand at the end."""

    title: str
    groups: tuple[BenchGroup, ...]
    cuts: tuple[tuple[str, tuple[CutLine, ...]], ...]
    notes: tuple[str, ...] = ()


def draw(sheet: BenchSheet, paper: str = "a4", progress: Any = None) -> bytes:
    """The sheet as PDF on plain paper, a4 or letter; `progress(1)` is called with each page. Raises UsageProblem for another
    paper."""
    room = room_below(paper, HEAD_MM) - COLUMNS_MM
    pages = [
        *paged(_bench_parts(sheet), room, NAME_MM, ("columns", _BENCH_HEAD)),
        *paged(_cut_parts(sheet), room, NAME_MM, ("columns", _CUT_HEAD)),
    ]
    return draw_parts(paper, sheet.title, "a grafting day, in bench order", "Made by", HEAD_MM, pages, _DRAW, progress)


_BENCH_HEAD = (
    (0.0, "line"), (_CODE, "scan"), (_CUT, "graft, stick and piece"), (_ON, "on"), (_BOXES, "made  not"), (_WORD, "one word"),
)  # fmt: skip
_CUT_HEAD = ((0.0, "cut"), (_CODE, "stick"), (46.0, "pieces from the butt on"), (_WORD, "for lines"))


def _bench_parts(sheet: BenchSheet) -> Iterator[tuple[str, float, Part]]:
    for group in sheet.groups:
        yield from ((group.name, BATCH_MM, ("batch", batch)) for batch in group.batches)
        yield from ((group.name, ROW_MM, ("line", line)) for line in group.lines)


def _cut_parts(sheet: BenchSheet) -> Iterator[tuple[str, float, Part]]:
    for name, cuts in sheet.cuts:
        for cut in cuts:
            yield name, CUT_MM, ("cut", cut)
    for note in sheet.notes:
        for line in folded(note):
            yield "", NOTE_MM, ("note", line)


def _columns(canvas: Any, heads: tuple[tuple[float, str], ...], top: float, w: float) -> float:
    for x, words in heads:
        text(canvas, MARGIN_MM + x, top - 4.2, words, 10)
    return top - COLUMNS_MM


def _name(canvas: Any, what: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 8.2, fitted(what, 17, w - 2 * MARGIN_MM, bold=True), 17, bold=True)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, top - NAME_MM + 0.6, 0.4)
    return top - NAME_MM


def _line(canvas: Any, line: BenchLine, top: float, w: float) -> float:
    left = MARGIN_MM
    text(canvas, left + _CODE - 2.0, top - 10.2, str(line.line), 15 if line.line < 1000 else 11, right=True)
    code_square(canvas, line.payload, left + _CODE - 1.0, top - 0.8 - CODE_MM, CODE_MM)
    across = _ON - _CUT - 2.0
    text(canvas, left + _CUT, top - 6.4, line.code, 14, bold=True)
    beside = width(line.code, 14, bold=True) + 2.5
    text(canvas, left + _CUT + beside, top - 6.4, fitted(line.cut, 12, across - beside, bold=True), 12, bold=True)
    text(canvas, left + _CUT, top - 12.6, fitted(line.size, 11, across), 11)
    across = _BOXES - _ON - 2.0
    text(canvas, left + _ON, top - 6.4, line.host, 14, bold=True)
    beside = width(line.host, 14, bold=True) + 2.0
    text(canvas, left + _ON + beside, top - 6.4, fitted(line.about_host, 11, across - beside), 11)
    how = folded(line.how, across, 11)[:2]
    for at, words in enumerate(how):
        text(canvas, left + _ON, top - (12.6 if len(how) == 1 else 11.2 + 4.4 * at), words, 11)
    for x in (_BOXES + 1.0, _BOXES + 13.0):
        box(canvas, left + x, top - 5.2, BOX_MM, 0.4)
    rule(canvas, left + _WORD, w - MARGIN_MM, top - 12.8, 0.2)
    rule(canvas, left, w - MARGIN_MM, top - ROW_MM, 0.15)
    return top - ROW_MM


def _batch(canvas: Any, batch: BatchLine, top: float, w: float) -> float:
    left = MARGIN_MM
    text(canvas, left, top - 6.4, f"batch {batch.number}", 13, bold=True)
    text(canvas, left, top - 11.6, fitted(f"lines {batch.lines}", 10, _CUT - 2.0), 10)
    across = _ON - _CUT - 2.0
    text(canvas, left + _CUT, top - 6.4, fitted(f"{batch.wood}, {batch.size}", 13, across, bold=True), 13, bold=True)
    text(canvas, left + _CUT, top - 11.6, fitted(batch.codes, 11, across), 11)
    across = _BOXES - _ON - 2.0
    text(canvas, left + _ON, top - 6.4, fitted(batch.stocks, 13, across, bold=True), 13, bold=True)
    for at, words in enumerate(folded(batch.how, across, 11)[:2]):
        text(canvas, left + _ON, top - 11.2 - 4.4 * at, words, 11)
    box(canvas, left + _BOXES + 1.0, top - 3.2, 9.0, 0.4, COUNT_MM)
    text(canvas, left + _BOXES + COUNT_MM + 3.0, top - 9.6, f"of {batch.grafts:,} made", 13)
    rule(canvas, left, w - MARGIN_MM, top - BATCH_MM, 0.15)
    return top - BATCH_MM


def _cut(canvas: Any, cut: CutLine, top: float, w: float) -> float:
    left = MARGIN_MM
    box(canvas, left + 1.0, top - 1.2, 4.6, 0.4)
    text(canvas, left + _CODE, top - 5.2, fitted(cut.stick, 12, 34, bold=True), 12, bold=True)
    text(canvas, left + 46.0, top - 5.2, fitted(cut.pieces, 11, _WORD - 48.0), 11)
    text(canvas, left + _WORD, top - 5.2, fitted(cut.lines, 11, w - 2 * MARGIN_MM - _WORD), 11)
    rule(canvas, left, w - MARGIN_MM, top - CUT_MM + 0.4, 0.1)
    return top - CUT_MM


def _note(canvas: Any, words: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 4.2, words, 10)
    return top - NOTE_MM


_DRAW: dict[str, PartDrawer] = {
    "columns": _columns, "name": _name, "line": _line, "batch": _batch, "cut": _cut, "note": _note,
}  # fmt: skip
