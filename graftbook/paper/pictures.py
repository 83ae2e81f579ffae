"""How every picture looks, on screen and in black and white, and how it becomes the bytes of a file.

Things differ by shades of grey, line styles and marks, never by colour alone. Letters in a PDF stay letters; nothing in a
file holds the hour it was made, so that the same book gives the same file.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Panel = TypeVar("Panel")
KINDS = ("png", "pdf", "svg")
MARK = "<!-- Graftbook -->\n"
"""What an SVG or HTML file of ours begins with."""
DOTS_PER_INCH = 160
INK, GREY, PALE = "0.0", "0.45", "0.84"
_METADATA: dict[str, dict[str, str | None]] = {
    "png": {"Software": "Graftbook"},
    "pdf": {"Creator": "Graftbook", "Producer": "Graftbook", "CreationDate": None},
    "svg": {"Date": None, "Creator": "Graftbook"},
}
_LOOK = (
    ("font.size", 9.5), ("axes.spines.top", False), ("axes.spines.right", False), ("axes.edgecolor", GREY),
    ("axes.linewidth", 0.8), ("axes.titlesize", 10.5), ("axes.titleweight", "bold"), ("axes.titlelocation", "left"),
    ("axes.labelcolor", INK), ("xtick.color", "0.2"), ("ytick.color", "0.2"), ("pdf.fonttype", 42),
    ("svg.hashsalt", "graftbook"), ("svg.fonttype", "none"), ("font.family", ["DejaVu Sans"]), ("axes.unicode_minus", True),
    ("legend.frameon", False), ("hatch.linewidth", 0.6), ("figure.facecolor", "white"), ("savefig.facecolor", "white"),
)  # fmt: skip


@contextmanager
def look() -> Iterator[None]:
    """The look of the pictures made within, and of no others."""
    import matplotlib

    # The stubs list every key as a literal, so that no plain table of keys would do.
    settings: dict[Any, object] = dict(_LOOK)
    with matplotlib.rc_context(settings):
        yield


def new_figure(width: float, height: float) -> Figure:
    """An empty figure of so many inches, bound to no window."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height))
    FigureCanvasAgg(figure)
    return figure


def saved(figure: Figure, kind: str) -> bytes:
    """The figure as the bytes of a PNG, PDF or SVG file."""
    out = io.BytesIO()
    figure.savefig(out, format=kind, dpi=DOTS_PER_INCH if kind == "png" else "figure", metadata=_METADATA[kind])
    return (MARK + svg_alone(out.getvalue().decode())).encode() if kind == "svg" else out.getvalue()


def svg_alone(text: str) -> str:
    """An SVG from its own tag on, to stand in a page."""
    return text[text.index("<svg") :]


def shares(axes: Axes, upright: bool = True) -> None:
    """An axis of shares from 0 to 100 %, with faint lines."""
    marks = (0, 0.25, 0.5, 0.75, 1)
    names = [f"{mark * 100:.0f}" for mark in marks]
    if upright:
        axes.set_ylim(-0.02, 1.02)
        axes.set_yticks(marks, names)
        axes.grid(axis="y", color=PALE, linewidth=0.6)
    else:
        axes.set_xlim(-0.02, 1.02)
        axes.set_xticks(marks, names)
        axes.grid(axis="x", color=PALE, linewidth=0.6)
    axes.set_axisbelow(True)


@dataclass(frozen=True)
class Page:
    """A sheet of paper in inches, with a line at its head and one in its corner; or the part of it from `top` inches down,
    where `onto` holds what stands above."""

    width: float
    height: float
    heading: str
    corner: str
    top: float = 0.0
    onto: Figure | None = None


SIDE, HEAD, FOOT = 0.55, 0.85, 0.45
ALONE_HEAD = 0.08
NOTE_SIZE = 8.5
WIDTH = 7.6
"""Inches across where a picture is on no page."""
MEASURED = 100
"""Letters are measured at this size, in points: small ones would be rounded to whole dots."""


def stacked(
    count: int, height: float, notes: tuple[str, ...], page: Page | None, left: float = 0.62, right: float = 0.12,
    gap: float = 0.85,
) -> tuple[Figure, list[Axes]]:  # fmt: skip
    """A figure with so many axes under one another, each taking `height` inches of which `gap` is for what is written round
    them, as `left` and `right` are beside them, and the notes below the last; on a page where one is given, else as large as
    it must be."""
    side, head = (SIDE, HEAD + page.top) if page is not None else (0.2, ALONE_HEAD)
    inner = (page.width if page is not None else WIDTH) - 2 * side
    folded = [part for note in notes for part in folded_lines(note, inner, NOTE_SIZE)]
    line = NOTE_SIZE / 72 * 1.4
    tall = page.height if page is not None else head + count * height + 0.15 + line * len(folded) + 0.1
    wide = inner + 2 * side
    figure = page.onto if page is not None and page.onto is not None else new_figure(wide, tall)
    across, high = (inner - left - right) / wide, (height - gap) / tall
    feet = [1 - (head + number * height - gap * 0.58) / tall for number in range(1, count + 1)]
    axes = [figure.add_axes(((side + left) / wide, foot, across, high)) for foot in feet]
    for number, part in enumerate(folded):
        at = head + count * height + 0.15 + line * (number + 0.8)
        figure.text(side / wide, 1 - at / tall, part, fontsize=NOTE_SIZE, color="0.15", va="baseline")
    if page is not None:
        headed(figure, page)
    return figure, axes


def panelled(
    panels: Sequence[Panel], height: float, notes: tuple[str, ...], page: Page | None, draw: Callable[[Axes, Panel], None],
    **room: float,
) -> Figure:  # fmt: skip
    """A figure with so many inches for each panel, drawn by `draw`; the rest is as `stacked` takes it."""
    with look():
        figure, every = stacked(len(panels), height, notes, page, **room)
        for axes, panel in zip(every, panels, strict=True):
            draw(axes, panel)
    return figure


def named_rows(axes: Axes, names: Sequence[str], counted: Sequence[str], edge: float) -> None:
    """Rows from the top down with their names, and what was counted to the right of each; `edge` rows stay free above the
    first and below the last."""
    for place, words in enumerate(counted):
        axes.annotate(words, (1, place), (4, 0), xycoords=("axes fraction", "data"), textcoords="offset points",
                      va="center", fontsize=8.5, annotation_clip=False)  # fmt: skip
    axes.set_yticks(range(len(names)), names)
    axes.set_ylim(len(names) - 1 + edge, -edge)
    axes.tick_params(axis="y", length=0)


def headed(figure: Figure, page: Page) -> None:
    """The head and the corner of a page, or of a part of it the head alone."""
    head = 1 - (0.5 + page.top) / page.height
    figure.text(SIDE / page.width, head, page.heading, fontsize=13, weight="bold", va="baseline")
    if page.onto is not None:
        return
    figure.text(
        1 - SIDE / page.width, FOOT / page.height, page.corner, fontsize=8, color="0.3", ha="right", va="baseline"
    )


def pages(figures: Sequence[Figure]) -> bytes:
    """The figures as the pages of one PDF."""
    from matplotlib.backends.backend_pdf import PdfPages

    out = io.BytesIO()
    with look(), PdfPages(out, metadata=_METADATA["pdf"]) as book:
        for figure in figures:
            book.savefig(figure)
    return out.getvalue()


def folded_lines(text: str, width: float, size: float, bold: bool = False) -> list[str]:
    """The text folded to lines no wider than so many inches at a size in points."""
    measured = _measure(size, bold)
    lines: list[str] = []
    for word in text.split():
        if lines and measured(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines or [""]


def _measure(size: float, bold: bool) -> Callable[[str], float]:
    from matplotlib import font_manager

    name = font_manager.findfont(font_manager.FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal"))
    font = font_manager.get_font(name)
    font.set_size(MEASURED, 72)

    def inches(text: str) -> float:
        font.set_text(text, 0.0)
        return font.get_width_height()[0] / 64 / 72 * size / MEASURED

    return inches
