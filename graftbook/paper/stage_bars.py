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


def height_of(panel: StagePanel) -> float:
    """How many inches a panel takes."""
    return ROUND + BAR * len(panel.bars)


def stage_figure(panels: tuple[StagePanel, ...], notes: tuple[str, ...], page: pictures.Page | None = None) -> Figure:
    """The panels under one another, and what the parts of the bars are below them."""
    with pictures.look():
        height = max((height_of(panel) for panel in panels), default=ROUND)
        figure, every = pictures.stacked(len(panels), height, notes, page, left=1.65, gap=ROUND)
        for number, (axes, panel) in enumerate(zip(every, panels, strict=True)):
            _draw(axes, panel, legend=number == 0)
            box = axes.get_position()
            axes.set_position((box.x0, box.y0, box.width - 0.8 / figure.get_size_inches()[0], box.height))
    return figure


def _draw(axes: Axes, panel: StagePanel, legend: bool) -> None:
    from matplotlib.ticker import MaxNLocator

    for part, shade, hatch, words in PARTS:
        starts = [
            sum(getattr(bar, name) for name, *_ in PARTS[: [p[0] for p in PARTS].index(part)]) for bar in panel.bars
        ]
        axes.barh(range(len(panel.bars)), [getattr(bar, part) for bar in panel.bars], left=starts, height=0.62, color=shade,
                  hatch=hatch, edgecolor=pictures.GREY if part == "not_known" else "0.1", linewidth=0.8, label=words)  # fmt: skip
    for place, bar in enumerate(panel.bars):
        axes.annotate(bar.counted, (1, place), (4, 0), xycoords=("axes fraction", "data"), textcoords="offset points",
                      va="center", fontsize=8.5, annotation_clip=False)  # fmt: skip
    axes.set_yticks(range(len(panel.bars)), [bar.words for bar in panel.bars])
    axes.set_ylim(len(panel.bars) - 0.45, -0.55)
    axes.tick_params(axis="y", length=0)
    axes.xaxis.set_major_locator(MaxNLocator("auto", steps=[1, 2, 2.5, 5, 10], integer=True))
    axes.set_xlabel(panel.unit)
    axes.set_title(panel.title, pad=22 if legend else 6)
    if legend:
        axes.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=len(PARTS), fontsize=7.5, handlelength=1.4, columnspacing=1.0,
                    borderaxespad=0.1)  # fmt: skip
