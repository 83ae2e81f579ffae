"""How grafts fare over the days since they were made: shares that pushed, grew and were lost, as steps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftbook.paper import pictures

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HEIGHT = 2.9
STYLES = (("-", 1.9), ((0, (5, 2)), 1.6), ((0, (1, 1.5)), 1.8))


@dataclass(frozen=True)
class CourseLine:
    """One thing that happens: its words, and steps: somewhere from `since` to `days` the share came to `share`, with its
    range."""

    words: str
    since: tuple[float, ...]
    days: tuple[float, ...]
    share: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]


@dataclass(frozen=True)
class CoursePanel:
    """One kind: its title, its lines, and the last day to show."""

    title: str
    lines: tuple[CourseLine, ...]
    last: float


def course_figure(panels: tuple[CoursePanel, ...], notes: tuple[str, ...], page: pictures.Page | None = None) -> Figure:
    """The panels under one another, and the notes below them."""
    return pictures.panelled(panels, HEIGHT, notes, page, draw, gap=1.05)


def draw(axes: Axes, panel: CoursePanel) -> None:
    """One panel: each line in its own style, its range as a pale band with the edge in the same style."""
    pictures.shares(axes)
    for line, (style, width) in zip(panel.lines, STYLES, strict=False):
        if not line.days:
            continue
        days, share, low, high = _slopes(line, panel.last)
        axes.fill_between(days, low, high, color=pictures.GREY, alpha=0.2, linewidth=0)
        axes.plot(days, share, color=pictures.INK, linestyle=style, linewidth=width, label=line.words)
    axes.set_xlim(0, panel.last)
    axes.set_xlabel("days since grafting")
    axes.set_ylabel("share, %")
    axes.set_title(panel.title, pad=20)
    if any(line.days for line in panel.lines):
        axes.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=3, fontsize=8, handlelength=2.8, borderaxespad=0.2)


def _slopes(line: CourseLine, last: float) -> tuple[list[float], ...]:
    """Level between steps, and slanting over each stretch in which it is not known when the step came."""
    days, columns = [0.0], ([0.0], [0.0], [0.0])
    for place, (since, day) in enumerate(zip(line.since, line.days, strict=True)):
        days += [max(since, days[-1]), day]
        for column, values in zip(columns, (line.share, line.low, line.high), strict=True):
            column += [column[-1], values[place]]
    for column in columns:
        column.append(column[-1])
    return [*days, last], *columns
