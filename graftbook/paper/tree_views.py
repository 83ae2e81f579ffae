"""Two small drawings of where grafts sit on a tree: from the side by height, and from above by bearing. Not to scale across."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin
from typing import Any

from graftbook.paper.drawn import MM, text, width

_NUMBER_PT = 9.0
_STEP_MM = 3.6
_CLEAR_MM = 4.6


@dataclass(frozen=True)
class Mark:
    """A graft on the drawings: its number, bearing in degrees clockwise from north and height in mm, None where not known;
    `height` the height in words."""

    number: int
    bearing_deg: int | None = None
    height_mm: float | None = None
    height: str = ""


def from_the_side(canvas: Any, marks: Sequence[Mark], x: float, y: float, w: float, h: float) -> None:
    """The stem with each graft at its height: those facing east to the right of it, west to the left, seen from the south.

    The lower left corner at `x`, `y` and the size are in mm. Grafts without a height are not drawn.
    """
    known = sorted((mark for mark in marks if mark.height_mm is not None), key=lambda mark: mark.height_mm)
    stem, top = x + w / 2, y + h - 6
    canvas.setLineWidth(0.9 * MM)
    canvas.line(stem * MM, y * MM, stem * MM, top * MM)
    canvas.setLineWidth(0.3 * MM)
    canvas.line((stem - 14) * MM, y * MM, (stem + 14) * MM, y * MM)
    text(canvas, x, y + h - 3.5, "from the south, by height" if known else "no heights recorded", 9)
    tallest = max((mark.height_mm for mark in known), default=0.0) or 1.0
    taken: dict[bool, list[float]] = {True: [], False: []}
    for at, mark in enumerate(known):
        right = sin(radians(mark.bearing_deg)) >= 0 if mark.bearing_deg is not None else at % 2 == 0
        foot = y + 3 + mark.height_mm / tallest * (top - y - 5)
        _twig(canvas, mark, stem, foot, _free(taken[right], foot), right)


def _free(taken: list[float], wanted: float) -> float:
    """The nearest height at or above the one wanted at which a number does not lie on another."""
    at = wanted if not taken else max(wanted, taken[-1] + _STEP_MM)
    taken.append(at)
    return at


def _twig(canvas: Any, mark: Mark, stem: float, foot: float, at: float, right: bool) -> None:
    way = 1 if right else -1
    end = stem + way * 16
    canvas.setLineWidth(0.3 * MM)
    canvas.line(stem * MM, foot * MM, end * MM, (at + 1.1) * MM)
    said = f"{mark.number}  {mark.height}" if right else f"{mark.height}  {mark.number}"
    text(canvas, end + way * 1.2, at, said, _NUMBER_PT, right=not right)


def from_above(canvas: Any, marks: Sequence[Mark], x: float, y: float, side: float) -> None:
    """The stem from above, north up, with each graft at its bearing, further in where another is in the way.

    The lower left corner at `x`, `y` and the side of the square are in mm. Grafts without a bearing are not drawn.
    """
    known = [mark for mark in marks if mark.bearing_deg is not None]
    text(canvas, x, y + side - 3.5, "from above, by bearing" if known else "no bearings recorded", 9)
    middle_x, middle_y, reach = x + side / 2, y + side / 2 - 3, side / 2 - 7
    canvas.setLineWidth(0.3 * MM)
    canvas.circle(middle_x * MM, middle_y * MM, reach * MM, stroke=1, fill=0)
    canvas.circle(middle_x * MM, middle_y * MM, 1.6 * MM, stroke=1, fill=1)
    for name, deg in (("N", 0), ("E", 90), ("S", 180), ("W", 270)):
        px, py = _at(middle_x, middle_y, reach + 2.6, deg)
        _centred(canvas, name, px, py, bold=True)
    taken: list[tuple[float, float]] = []
    for mark in known:
        px, py = _clear(taken, middle_x, middle_y, reach - 4, mark.bearing_deg)
        taken.append((px, py))
        _centred(canvas, str(mark.number), px, py)


def _clear(taken: list[tuple[float, float]], x: float, y: float, reach: float, deg: float) -> tuple[float, float]:
    """A spot at a bearing where no number lies yet, as far out as there is one; the outermost when there is none."""
    spots = [_at(x, y, out, deg) for out in (reach - step for step in range(0, int(reach) - 3, 2))]
    free = (spot for spot in spots if all(hypot(spot[0] - a, spot[1] - b) >= _CLEAR_MM for a, b in taken))
    return next(free, spots[0])


def _at(x: float, y: float, reach: float, deg: float) -> tuple[float, float]:
    turn = pi / 2 - radians(deg)
    return x + reach * cos(turn), y + reach * sin(turn)


def _centred(canvas: Any, words: str, x: float, y: float, bold: bool = False) -> None:
    text(canvas, x - width(words, _NUMBER_PT, bold) / 2, y - 1.1, words, _NUMBER_PT, bold=bold)
