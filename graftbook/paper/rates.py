"""Shares with their ranges, one line each: a dot, a bar, and k of n beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftbook.paper import pictures

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LINE, ROUND = 0.27, 0.95
MOST_LINES = 30


@dataclass(frozen=True)
class RateLine:
    """One line: its words, k of n in words, and share and range from 0 to 1 (None: nothing decided)."""

    words: str
    counted: str
    rate: float | None
    low: float | None
    high: float | None


def rate_figure(
    lines: tuple[RateLine, ...], title: str, x_label: str, notes: tuple[str, ...], page: pictures.Page | None = None
) -> Figure:
    """The lines from the top down; groups keep the order they are given in."""
    with pictures.look():
        height = ROUND + LINE * len(lines)
        longest = max((len(line.words) for line in lines), default=0)
        left = min(0.5 + longest * 0.068, 3.2)
        figure, (axes,) = pictures.stacked(1, height, notes, page, left=left, right=1.07, gap=ROUND)
        pictures.shares(axes, upright=False)
        for place, line in enumerate(lines):
            if line.rate is not None and line.low is not None and line.high is not None:
                ends, ink = [line.low, line.high], pictures.INK
                axes.plot(ends, [place, place], color=ink, linewidth=1.4, solid_capstyle="butt")
                for end in ends:
                    axes.plot([end, end], [place - 0.16, place + 0.16], color=ink, linewidth=1.0)
                axes.plot([line.rate], [place], "o", markersize=5.5, markerfacecolor=ink, markeredgecolor=ink)
        axes.set_xlabel(x_label)
        axes.set_title(title)
        pictures.named_rows(axes, [line.words for line in lines], [line.counted for line in lines], 0.6)
    return figure
