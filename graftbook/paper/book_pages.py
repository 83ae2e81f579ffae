"""A whole book on paper: headings, and under each the things of it, a code and words to a line, what stands on another thing
set in under it.

Read at a table and kept in a folder: 10 points, printed in black, nothing shown by a tint.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from graftbook.paper.drawn import MARGIN_MM, fitted, folded, page_size, pages_drawn, rule, text, width
from graftbook.paper.parts import Part, PartDrawer, paged, room_below

HEAD_MM = 10.0
NAME_MM = 11.0
LINE_MM = 4.7
GAP_MM = 0.7
INDENT_MM = 6.0
SIZE_PT = 10
_CODE_GAP_MM = 2.5
_LEAST_CODE_MM = 12.0


@dataclass(frozen=True)
class BookLine:
    """One thing: its code (empty: words alone), what is said of it, and how deep it stands under others, from 0 on."""

    code: str
    words: str
    depth: int = 0


@dataclass(frozen=True)
class BookSection:
    """Things under one heading, in the order they are read."""

    heading: str
    lines: tuple[BookLine, ...]


def draw(title: str, sections: Sequence[BookSection], paper: str = "a4", progress: Any = None) -> bytes:
    """The book as PDF on plain paper, a4 or letter; `progress(1)` is called with each page. Raises UsageProblem for another
    paper."""
    w, h = page_size(paper)
    pages = list(paged(_parts(sections, w), room_below(paper, HEAD_MM), NAME_MM)) or [[]]

    def page(canvas: Any, parts: list[Part], number: int) -> None:
        _head(canvas, title, f"page {number:,} of {len(pages):,}", w, h - MARGIN_MM)
        top = h - MARGIN_MM - HEAD_MM
        for kind, what in parts:
            top = _DRAW[kind](canvas, what, top, w)
        if progress is not None:
            progress(1)

    return pages_drawn((w, h), title, "the whole book, to read without a computer", pages, page)


def _parts(sections: Sequence[BookSection], w: float) -> Iterator[tuple[str, float, Part]]:
    for section in sections:
        for line in section.lines:
            left = MARGIN_MM + line.depth * INDENT_MM + _code_mm(line.code)
            rows = folded(line.words, w - MARGIN_MM - left, SIZE_PT) or [""]
            yield section.heading, len(rows) * LINE_MM + GAP_MM, ("line", (line, left, rows))


def _code_mm(code: str) -> float:
    """Room for a code before the words, in mm: the same for all but the longest."""
    return max(_LEAST_CODE_MM, width(code, SIZE_PT, bold=True) + _CODE_GAP_MM) if code else 0.0


def _head(canvas: Any, title: str, page: str, w: float, top: float) -> None:
    text(canvas, MARGIN_MM, top - 4.5, fitted(title, 10, w - 2 * MARGIN_MM - 35), 10)
    text(canvas, w - MARGIN_MM, top - 4.5, page, 10, right=True)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, top - 6.5, 0.3)


def _name(canvas: Any, name: str, top: float, w: float) -> float:
    text(canvas, MARGIN_MM, top - 7.8, fitted(name, 13, w - 2 * MARGIN_MM, bold=True), 13, bold=True)
    return top - NAME_MM


def _line(canvas: Any, what: tuple[BookLine, float, list[str]], top: float, w: float) -> float:
    line, left, rows = what
    if line.code:
        text(canvas, left - _code_mm(line.code), top - 3.6, line.code, SIZE_PT, bold=True)
    for at, words in enumerate(rows):
        text(canvas, left, top - 3.6 - at * LINE_MM, words, SIZE_PT)
    return top - len(rows) * LINE_MM - GAP_MM


_DRAW: dict[str, PartDrawer] = {"name": _name, "line": _line}
