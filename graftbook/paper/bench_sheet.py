"""A sheet for the grafting bench: one line a graft in bench order, one cultivar at a time, and how to cut the sticks.

Meant to lie on the bench and be read at arm's length, printed in black: codes are 14 points, words 11 and more, and nothing is
shown by a tint. Each line has a code to scan, two boxes to tick and room for one word. Codes are drawn at true size, so the
page must not be scaled when printed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MM, code_square, fitted, folded, page_size, text, width

MARGIN_MM = 12.0
HEAD_MM = 18.0
NAME_MM = 11.0
ROW_MM = 17.0
CODE_MM = 15.5
BOX_MM = 5.5
CUT_MM = 7.6
NOTE_MM = 5.0
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
class BenchGroup:
    """The lines of one cultivar, in bench order."""

    name: str
    lines: tuple[BenchLine, ...]


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


Part = tuple[str, Any]


def draw(sheet: BenchSheet, paper: str = "a4", progress: Any = None) -> bytes:
    """The sheet as PDF on plain paper, a4 or letter; `progress(1)` is called with each page. Raises UsageProblem for another
    paper."""
    from labels.drawing import finished, new_canvas

    w, h = page_size(paper)
    room = h - 2 * MARGIN_MM - HEAD_MM
    pages = [*_paged(_bench_parts(sheet), room, _BENCH_HEAD), *_paged(_cut_parts(sheet), room, _CUT_HEAD)]
    canvas: Any = new_canvas(w, h, sheet.title, "a grafting day, in bench order")
    for number, parts in enumerate(pages, 1):
        if number > 1:
            canvas.showPage()
        _head(canvas, sheet.title, number, len(pages), w, h)
        top = h - MARGIN_MM - HEAD_MM
        for kind, what in parts:
            top = _DRAW[kind](canvas, what, top, w)
        if progress is not None:
            progress(1)
    return finished(canvas)


_BENCH_HEAD: Part = ("columns", "bench")
_CUT_HEAD: Part = ("columns", "cuts")
_HIGH = {"columns": 6.0, "name": NAME_MM, "line": ROW_MM, "cut": CUT_MM, "note": NOTE_MM}


def _bench_parts(sheet: BenchSheet) -> Iterator[tuple[str, Part]]:
    for group in sheet.groups:
        for line in group.lines:
            yield group.name, ("line", line)


def _cut_parts(sheet: BenchSheet) -> Iterator[tuple[str, Part]]:
    for name, cuts in sheet.cuts:
        for cut in cuts:
            yield name, ("cut", cut)
    for note in sheet.notes:
        for line in folded(note):
            yield "", ("note", line)


def _paged(parts: Iterator[tuple[str, Part]], room: float, head: Part) -> Iterator[list[Part]]:
    """The parts of each page; a cultivar's name is said again where it goes on, and never stands alone at the foot."""
    page: list[Part] = []
    left, last = 0.0, None
    for name, part in parts:
        high = _HIGH[part[0]]
        need = high + (NAME_MM if name and name != last else 0.0)
        if need > left:
            if page:
                yield page
            page, left = [head], room - _HIGH["columns"]
            if name:
                page.append(("name", name if name != last else f"{name}, continued"))
                left -= NAME_MM
        elif name and name != last:
            page.append(("name", name))
            left -= NAME_MM
        last = name
        page.append(part)
        left -= high
    if page:
        yield page


def _head(canvas: Any, title: str, number: int, pages: int, w: float, h: float) -> None:
    top = h - MARGIN_MM
    text(canvas, MARGIN_MM, top - 5.5, fitted(title, 15, w - 2 * MARGIN_MM - 34, bold=True), 15, bold=True)
    text(canvas, w - MARGIN_MM, top - 5.5, f"page {number} of {pages}", 11, right=True)
    text(canvas, MARGIN_MM, top - 12.8, "Made by ______________________  on ______________  entered in the book  ☐", 11)
    _rule(canvas, top - 15.5, w, 0.4)


def _columns(canvas: Any, what: str, top: float, w: float) -> float:
    heads = {
        "bench": ((0.0, "line"), (_CODE, "scan"), (_CUT, "graft, stick and piece"), (_ON, "on"), (_BOXES, "made  not"),
                  (_WORD, "one word")),
        "cuts": ((0.0, "cut"), (_CODE, "stick"), (46.0, "pieces from the butt on"), (_WORD, "for lines")),
    }[what]  # fmt: skip
    for x, words in heads:
        text(canvas, MARGIN_MM + x, top - 4.2, words, 10)
    return top - _HIGH["columns"]


def _name(canvas: Any, what: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 8.2, fitted(what, 17, w - 2 * MARGIN_MM, bold=True), 17, bold=True)
    _rule(canvas, top - NAME_MM + 0.6, w, 0.4)
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
        _box(canvas, left + x, top - 5.2, BOX_MM)
    canvas.setLineWidth(0.2 * MM)
    canvas.line((left + _WORD) * MM, (top - 12.8) * MM, (w - MARGIN_MM) * MM, (top - 12.8) * MM)
    _rule(canvas, top - ROW_MM, w, 0.15)
    return top - ROW_MM


def _cut(canvas: Any, cut: CutLine, top: float, w: float) -> float:
    left = MARGIN_MM
    _box(canvas, left + 1.0, top - 1.2, 4.6)
    text(canvas, left + _CODE, top - 5.2, fitted(cut.stick, 12, 34, bold=True), 12, bold=True)
    text(canvas, left + 46.0, top - 5.2, fitted(cut.pieces, 11, _WORD - 48.0), 11)
    text(canvas, left + _WORD, top - 5.2, fitted(cut.lines, 11, w - 2 * MARGIN_MM - _WORD), 11)
    _rule(canvas, top - CUT_MM + 0.4, w, 0.1)
    return top - CUT_MM


def _note(canvas: Any, words: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 4.2, words, 10)
    return top - NOTE_MM


def _box(canvas: Any, x: float, top: float, side: float) -> None:
    canvas.setLineWidth(0.4 * MM)
    canvas.rect(x * MM, (top - side) * MM, side * MM, side * MM)


def _rule(canvas: Any, y: float, w: float, thick: float) -> None:
    canvas.setLineWidth(thick * MM)
    canvas.line(MARGIN_MM * MM, y * MM, (w - MARGIN_MM) * MM, y * MM)


_DRAW: dict[str, Callable[[Any, Any, float, float], float]] = {
    "columns": _columns,
    "name": _name,
    "line": _line,
    "cut": _cut,
    "note": _note,
}
