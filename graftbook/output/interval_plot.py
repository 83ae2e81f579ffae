"""A plain plot of rates and their ranges, to look at beside the numbers.

One line a row on a scale from 0 to 100 %: the range as a bar, the rate as a dot, k of n at the end. Rows in which nothing
is decided have a name and no dot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from graftbook.visible import visible

SCALE = 41


@dataclass(frozen=True)
class Bar:
    """One row: its label, k of n, and rate and range as shares from 0 to 1 (None: nothing decided)."""

    label: str
    counted: str
    rate: float | None
    low: float | None
    high: float | None


def plot_text(bars: Sequence[Bar], width: int = 80, unicode: bool = True) -> str:
    """The plot as text, no wider than `width`; long labels are folded onto lines of their own."""
    if not bars:
        return ""
    bars = [replace(bar, label=visible(bar.label)) for bar in bars]
    room = max(12, width - SCALE - max(len(bar.counted) for bar in bars) - 4)
    label_width = min(room, max(len(bar.label) for bar in bars))
    lines = [" " * (label_width + 2) + _ruler()]
    for bar in bars:
        head, tail = bar.label[:label_width], bar.label[label_width:]
        lines.append(f"{head:<{label_width}}  {_bar(bar, unicode)}  {bar.counted}".rstrip())
        if tail:
            lines.append(f"  {tail}")
    return "\n".join(lines) + "\n"


def _ruler() -> str:
    marks = [" "] * (SCALE + 4)
    for share in (0, 25, 50, 75, 100):
        text = f"{share}"
        start = max(round(share / 100 * (SCALE - 1)) - len(text) // 2, 0)
        marks[start : start + len(text)] = text
    return "".join(marks).rstrip() + " %"


def _bar(bar: Bar, unicode: bool) -> str:
    left, right, line, dot, rail = ("├", "┤", "─", "●", "·") if unicode else ("|", "|", "-", "o", ".")
    cells = [rail if place % 10 == 0 else " " for place in range(SCALE)]
    if bar.rate is None or bar.low is None or bar.high is None:
        return "".join(cells)
    low, high, at = (round(share * (SCALE - 1)) for share in (bar.low, bar.high, bar.rate))
    cells[low : high + 1] = line * (high - low + 1)
    cells[low], cells[high] = left, right
    cells[at] = dot
    return "".join(cells)
