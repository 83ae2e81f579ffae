"""Sheets of parts below one another, to tick off by hand: names repeated on every page, and a head to sign."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from graftbook.paper.drawn import MARGIN_MM, fitted, page_size, pages_drawn, rule, text

Part = tuple[str, Any]
"""A kind of part, and what it shows; `name` is the kind of the names that parts stand under."""

PartDrawer = Callable[[Any, Any, float, float], float]
"""Draws what a part shows below a line, on a page so many mm wide, and gives back where the next part begins (mm from the
foot of the page)."""


def paged(parts: Iterable[tuple[str, float, Part]], room: float, name_mm: float, *head: Part) -> Iterator[list[Part]]:
    """The parts of each page, `head` above them. Each comes with the name it stands under (empty: none) and its height.

    A name is repeated where it goes on, and never stands alone at the foot. All in mm; `room` is that below the head.
    """
    page: list[Part] = []
    left, last = 0.0, None
    for name, high, part in parts:
        if high + (name_mm if name and name != last else 0.0) > left:
            if page:
                yield page
            page, left = [*head], room
            if name:
                page.append(("name", name if name != last else f"{name}, continued"))
                left -= name_mm
        elif name and name != last:
            page.append(("name", name))
            left -= name_mm
        last = name
        page.append(part)
        left -= high
    if page:
        yield page


def room_below(paper: str, head_mm: float) -> float:
    """The room in mm below the head of a page of plain paper. Raises UsageProblem for another paper than a4 and letter."""
    return page_size(paper)[1] - 2 * MARGIN_MM - head_mm


def draw_parts(
    paper: str, title: str, subject: str, done: str, head_mm: float, pages: list[list[Part]],
    drawers: Mapping[str, PartDrawer], progress: Any = None,
) -> bytes:  # fmt: skip
    """The pages as PDF under a head of so many mm to sign: `done` says what by whom; `progress(1)` is called with each page."""
    w, h = page_size(paper)

    def page(canvas: Any, parts: list[Part], number: int) -> None:
        _head(canvas, title, done, f"page {number} of {len(pages)}", w, h - MARGIN_MM)
        top = h - MARGIN_MM - head_mm
        for kind, what in parts:
            top = drawers[kind](canvas, what, top, w)
        if progress is not None:
            progress(1)

    return pages_drawn((w, h), title, subject, pages, page)


def _head(canvas: Any, title: str, done: str, page: str, w: float, top: float) -> None:
    text(canvas, MARGIN_MM, top - 5.5, fitted(title, 15, w - 2 * MARGIN_MM - 40, bold=True), 15, bold=True)
    text(canvas, w - MARGIN_MM, top - 5.5, page, 11, right=True)
    text(canvas, MARGIN_MM, top - 12.8, f"{done} ______________________  on ______________  entered in the book  ☐", 11)
    rule(canvas, MARGIN_MM, w - MARGIN_MM, top - 15.5, 0.4)
