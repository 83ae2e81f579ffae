"""What became of grafts from stage to stage: for each, a bar of those that reached it and of those lost before it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftbook.paper import pictures

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

BAR, ROUND = 0.3, 1.0
PARTS = (
    ("reached", "white", "", "reached it"),
    ("union", "0.1", "", "lost, the union"),
    ("other", "0.62", "", "lost, another cause"),
    ("unsure", "white", "////", "lost, unsure why"),
    ("not_known", "white", "....", "not known"),
)


@dataclass(frozen=True)
class StageBar:
    """One stage: its words, how many reached it, were lost before it by cause, and are not known; and k of n in words."""

    words: str
    counted: str
    reached: int
    union: int = 0
    other: int = 0
    unsure: int = 0
    not_known: int = 0


@dataclass(frozen=True)
class StagePanel:
    """One kind's stages; `unit` says what is counted."""

    title: str
    unit: str
    bars: tuple[StageBar, ...]


def stage_figure(panels: tuple[StagePanel, ...], notes: tuple[str, ...], page: pictures.Page | None = None) -> Figure:
    """The panels under one another, and what the parts of the bars are above the first."""

    def draw(axes: Axes, panel: StagePanel) -> None:
        _draw(axes, panel, legend=panel is panels[0])

    height = ROUND + BAR * max((len(panel.bars) for panel in panels), default=0)
    return pictures.panelled(panels, height, notes, page, draw, left=1.65, right=0.92, gap=ROUND)


def _draw(axes: Axes, panel: StagePanel, legend: bool) -> None:
    from matplotlib.ticker import MaxNLocator

    ahead = [0] * len(panel.bars)
    for part, shade, hatch, words in PARTS:
        counts = [getattr(bar, part) for bar in panel.bars]
        axes.barh(range(len(counts)), counts, left=ahead, height=0.62, color=shade, hatch=hatch,
                  edgecolor=pictures.GREY if part == "not_known" else "0.1", linewidth=0.8, label=words)  # fmt: skip
        ahead = [before + count for before, count in zip(ahead, counts, strict=True)]
    axes.xaxis.set_major_locator(MaxNLocator("auto", steps=[1, 2, 2.5, 5, 10], integer=True))
    axes.set_xlabel(panel.unit)
    axes.set_title(panel.title, pad=22 if legend else 6)
    pictures.named_rows(axes, [bar.words for bar in panel.bars], [bar.counted for bar in panel.bars], 0.55)
    if legend:
        axes.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=len(PARTS), fontsize=7.5, handlelength=1.4, columnspacing=1.0,
                    borderaxespad=0.1)  # fmt: skip
