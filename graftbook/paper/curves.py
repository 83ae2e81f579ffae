"""Chance over a date, an age or a diameter: a smooth line with its bands, over the counts it was drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftbook.paper import pictures

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HEIGHT = 2.9
MOST_LABELS = 12


@dataclass(frozen=True)
class StretchCount:
    """`k` of `n` in the stretch from `first` to `last`, and the range of that share alone (0 to 1)."""

    first: float
    last: float
    k: int
    n: int
    low: float
    high: float


@dataclass(frozen=True)
class CurvePanel:
    """One kind's picture. Shares are from 0 to 1; `line`, `low` and so on are as long as `xs`, None where no line is drawn;
    without any line `xs` are the first and last value, the rest is empty, and the counts stand with their own ranges.
    `ticks` are places with what to write there; `window` is the stretch to hatch, None for none."""

    title: str
    xs: tuple[float, ...]
    line: tuple[float | None, ...]
    low: tuple[float | None, ...]
    high: tuple[float | None, ...]
    low_whole: tuple[float | None, ...]
    high_whole: tuple[float | None, ...]
    counts: tuple[StretchCount, ...]
    ticks: tuple[tuple[float, str], ...]
    x_label: str
    window: tuple[float, float] | None = None


def curve_figure(
    panels: tuple[CurvePanel, ...], share_label: str, notes: tuple[str, ...], page: pictures.Page | None = None
) -> Figure:
    """The panels under one another, and the notes below them."""

    def draw(axes: Axes, panel: CurvePanel) -> None:
        _draw(axes, panel)
        axes.set_ylabel(share_label)

    return pictures.panelled(panels, HEIGHT, notes, page, draw, gap=1.1)


def _draw(axes: Axes, panel: CurvePanel) -> None:
    """One panel: window shaded, narrow band grey, band of the whole dotted, counts as k/n above."""
    pictures.shares(axes)
    if panel.window is not None:
        axes.axvspan(*panel.window, facecolor="none", edgecolor="0.75", hatch="//", linewidth=0, zorder=0)
    if panel.line:
        _line(axes, panel)
    _counts(axes, panel.counts, whiskers=not panel.line)
    margin = (panel.xs[-1] - panel.xs[0]) * 0.02 or 0.5
    axes.set_xlim(panel.xs[0] - margin, panel.xs[-1] + margin)
    axes.set_xticks([place for place, _ in panel.ticks], [words for _, words in panel.ticks])
    axes.set_xlabel(panel.x_label)
    axes.set_title(panel.title, pad=16)


def _line(axes: Axes, panel: CurvePanel) -> None:
    import numpy as np

    def column(values: tuple[float | None, ...]) -> np.ndarray:
        return np.array([np.nan if value is None else value for value in values])

    axes.fill_between(panel.xs, column(panel.low), column(panel.high), color=pictures.PALE, linewidth=0, zorder=1)
    for whole in (panel.low_whole, panel.high_whole):
        axes.plot(panel.xs, column(whole), color=pictures.GREY, linewidth=0.9, linestyle=(0, (1, 2)), zorder=2)
    axes.plot(panel.xs, column(panel.line), color=pictures.INK, linewidth=1.8, zorder=3)


def _counts(axes: Axes, counts: tuple[StretchCount, ...], whiskers: bool) -> None:
    """A dot at k/n in the middle of each stretch, larger where it rests on more, and the counts written above the frame."""
    largest = max((one.n for one in counts), default=1)
    for one in counts:
        middle = (one.first + one.last) / 2
        if whiskers:
            axes.plot([middle, middle], [one.low, one.high], color=pictures.GREY, linewidth=1.2, zorder=3)
        axes.plot([middle], [one.k / one.n], marker="o", markersize=3 + 5 * (one.n / largest) ** 0.5, markerfacecolor="white",
                  markeredgecolor=pictures.INK, markeredgewidth=0.9, linestyle="none", zorder=4, clip_on=False)  # fmt: skip
        if len(counts) <= MOST_LABELS:
            axes.annotate(f"{one.k}/{one.n}", (middle, 1), (0, 5), xycoords=("data", "axes fraction"),
                          textcoords="offset points", ha="center", fontsize=7.5, color="0.25", annotation_clip=False)  # fmt: skip
