"""Two small drawings of where grafts sit on a tree: from the side by height, and from above by bearing. Not to scale across.

Nothing runs out of its frame or lies on another: heights that lie close are fanned out, and where there are more than the
frame has lines for, several share one; a number that finds no room at its bearing is named beside the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, radians, sin
from typing import Any

from graftbook.paper.drawn import MM, fitted, rule, text, width

_NUMBER_PT = 9.0
_STEP_MM = 3.6
_APART_MM = 0.7
_TWIG_MM = 10.0
_CROWD = 0.03
"""What one graft more on a line counts for against a gap in height, as a share of the tallest."""
_TURNS_DEG = (0, 7, -7, 14, -14, 21, -21)
"""A bearing judged by eye is good to one of the sixteen points: a number may stand so far beside it."""


@dataclass(frozen=True)
class GraftMark:
    """A graft on the drawings: its number, bearing in degrees clockwise from north and height in mm, None where not known;
    `height` the height in words."""

    number: int
    bearing_deg: int | None = None
    height_mm: float | None = None
    height: str = ""


def from_the_side(canvas: Any, marks: Sequence[GraftMark], x: float, y: float, w: float, h: float) -> None:
    """The stem with each graft at its height: those facing east to the right of it, west to the left, seen from the south.

    The lower left corner at `x`, `y` and the size are in mm. Grafts without a height are not drawn.
    """
    known = sorted((mark for mark in marks if mark.height_mm is not None), key=_height)
    stem, top = x + w / 2, y + h - 6
    canvas.setLineWidth(0.9 * MM)
    canvas.line(stem * MM, y * MM, stem * MM, top * MM)
    rule(canvas, stem - 14, stem + 14, y, 0.3)
    text(canvas, x, y + h - 3.5, _caption("from the south", "height", len(marks), len(known)), _NUMBER_PT)
    tallest = max(map(_height, known), default=0.0) or 1.0
    scale, low, high = (top - y - 5) / tallest, y + 1.5, top - 2
    for right in (True, False):
        lines = _shared(
            [mark for at, mark in enumerate(known) if _faces_east(mark, at) is right], int((high - low) / _STEP_MM)
        )
        feet = [y + 3 + scale * sum(map(_height, line)) / len(line) for line in lines]
        for line, foot, at in zip(lines, feet, spread(feet, low, high, _STEP_MM), strict=True):
            _twig(canvas, line, (stem, foot), at, right, w / 2 - _TWIG_MM - 2)


def _caption(view: str, what: str, all_of_them: int, known: int) -> str:
    if not known:
        return f"no {what}s recorded"
    return f"{view}; {all_of_them - known} without {what}" if known < all_of_them else f"{view}, by {what}"


def _height(mark: GraftMark) -> float:
    return mark.height_mm or 0.0


def _faces_east(mark: GraftMark, at: int) -> bool:
    return sin(radians(mark.bearing_deg)) >= 0 if mark.bearing_deg is not None else at % 2 == 0


def _shared(marks: Sequence[GraftMark], most: int) -> list[Sequence[GraftMark]]:
    """The marks in at most so many lines: while there are more, the two neighbours nearest in height and fewest in number
    share one."""
    lines: list[Sequence[GraftMark]] = [[mark] for mark in marks]
    tallest = max(map(_height, marks), default=0.0) or 1.0
    while len(lines) > most:
        costs = [
            (_height(above[0]) - _height(below[-1])) / tallest + _CROWD * (len(below) + len(above))
            for below, above in pairwise(lines)
        ]
        at = costs.index(min(costs))
        lines[at : at + 2] = [[*lines[at], *lines[at + 1]]]
    return lines


def spread(wanted: Sequence[float], low: float, high: float, step: float) -> list[float]:
    """Places for labels between `low` and `high`, each at least `step` from the next and as near as may be to where it is
    wanted; `wanted` rises, and no more are asked than fit."""
    found: list[float] = []
    for place in wanted:
        found.append(max(place, low) if not found else max(place, found[-1] + step))
    ceiling = high
    for at in range(len(found) - 1, -1, -1):
        found[at] = min(found[at], ceiling)
        ceiling = found[at] - step
    return found


def _twig(
    canvas: Any, line: Sequence[GraftMark], start: tuple[float, float], at: float, right: bool, room: float
) -> None:
    way = 1 if right else -1
    end = start[0] + way * _TWIG_MM
    canvas.setLineWidth(0.3 * MM)
    canvas.line(start[0] * MM, start[1] * MM, end * MM, (at + 1.1) * MM)
    numbers = fitted(runs([mark.number for mark in line]), _NUMBER_PT, room, bold=True)
    text(canvas, end + way * 1.2, at, numbers, _NUMBER_PT, bold=True, right=not right)
    taken = 1.4 + width(numbers, _NUMBER_PT, bold=True)
    high = _heights(line)
    if taken + width(high, _NUMBER_PT) <= room:
        text(canvas, end + way * (1.2 + taken), at, high, _NUMBER_PT, right=not right)


def _heights(line: Sequence[GraftMark]) -> str:
    """The height of a line of marks in words, or from the lowest to the highest: `1400-1450 mm`."""
    low, high = line[0].height, line[-1].height
    if low == high:
        return low
    number, _, unit = low.rpartition(" ")
    return f"{number}-{high}" if unit == high.rpartition(" ")[2] else f"{low}-{high}"


def from_above(canvas: Any, marks: Sequence[GraftMark], x: float, y: float, side: float) -> None:
    """The stem from above, north up, with each graft at its bearing, further in or a little aside where another is in the way.

    The lower left corner at `x`, `y` and the side of the square are in mm. Grafts without a bearing are not drawn; those for
    which there is no room are named.
    """
    known = [(mark, mark.bearing_deg) for mark in marks if mark.bearing_deg is not None]
    text(canvas, x, y + side - 3.5, _caption("from above", "bearing", len(marks), len(known)), _NUMBER_PT)
    middle_x, middle_y, reach = x + side / 2, y + side / 2 - 3, side / 2 - 7
    canvas.setLineWidth(0.3 * MM)
    canvas.circle(middle_x * MM, middle_y * MM, reach * MM, stroke=1, fill=0)
    canvas.circle(middle_x * MM, middle_y * MM, 1.6 * MM, stroke=1, fill=1)
    for name, deg in (("N", 0), ("E", 90), ("S", 180), ("W", 270)):
        px, py = _at(middle_x, middle_y, reach + 2.6, deg)
        _centred(canvas, name, px, py, bold=True)
    taken: list[tuple[float, float, float]] = []
    crowded = []
    for mark, bearing in known:
        wide = width(str(mark.number), _NUMBER_PT)
        spots = (_at(middle_x, middle_y, out, bearing + turn) for turn in _TURNS_DEG for out in _outs(reach))
        spot = next((spot for spot in spots if _is_clear(spot, wide, taken)), None)
        if spot is None:
            crowded.append(mark.number)
            continue
        taken.append((*spot, wide))
        _centred(canvas, str(mark.number), *spot)
    if crowded:
        text(canvas, x, y + side - 7.4, fitted(f"no room: {runs(crowded)}", _NUMBER_PT, side / 2 - 3), _NUMBER_PT)


def _outs(reach: float) -> Iterator[float]:
    """Distances from the stem to try, the outermost first."""
    out = reach - 3.2
    while out >= 4.5:
        yield out
        out -= 2


def _is_clear(spot: tuple[float, float], wide: float, taken: Sequence[tuple[float, float, float]]) -> bool:
    return all(
        abs(spot[0] - x) >= (wide + other) / 2 + _APART_MM or abs(spot[1] - y) >= _STEP_MM for x, y, other in taken
    )


def runs(numbers: Sequence[int]) -> str:
    """Numbers in rising order, neighbours as a run: `1-3, 7`."""
    found: list[list[int]] = []
    for number in sorted(numbers):
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in found)


def _at(x: float, y: float, reach: float, deg: float) -> tuple[float, float]:
    turn = pi / 2 - radians(deg)
    return x + reach * cos(turn), y + reach * sin(turn)


def _centred(canvas: Any, words: str, x: float, y: float, bold: bool = False) -> None:
    text(canvas, x - width(words, _NUMBER_PT, bold) / 2, y - 1.1, words, _NUMBER_PT, bold=bold)
