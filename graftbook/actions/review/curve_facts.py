"""What a curve of take consists of, before it is put into words or drawn."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from typing import Any

from graftbook.actions.review import curve_axes
from graftbook.actions.review.curve_axes import Axis
from graftbook.actions.takes.question import TakeQuestion
from graftbook.actions.takes.take_rows import name_of
from graftbook.stats.curve import Curve, CurveCount, NoCurve

SCREENED = ("species", "method", "stock", "season", "tie", "place")
"""Factors screened for confounding with x."""
BANDS = ("chance", "low", "high", "low_whole", "high_whole")
"""The line and its two ranges, as a point of it and a row name them."""


@dataclass
class KindCounts:
    """The counts of one kind: k of n decided by x and day (None where days do not matter); the values of other factors at each
    x; how many have no x or are not decided."""

    cells: dict[tuple[float, int | None], list[int]] = field(default_factory=lambda: defaultdict(lambda: [0, 0]))
    beside: dict[str, Counter[tuple[Any, ...]]] = field(default_factory=lambda: {name: Counter() for name in SCREENED})
    without: int = 0
    undecided: int = 0

    def places(self) -> list[CurveCount]:
        """The counts for graftbook.stats.curve."""
        return [CurveCount(x, k, n, day) for (x, day), (k, n) in self.cells.items()]


@dataclass(frozen=True)
class KindCurve:
    """One kind: its factors' values and unit, its counts, and its line or why there is none."""

    key: tuple[Any, ...]
    counts: KindCounts
    curve: Curve | NoCurve

    @property
    def name(self) -> str:
        """`apple`, or `apple, cleft`; buds say so."""
        return name_of(self.key)


@dataclass(frozen=True)
class Curves:
    """The curves of every kind, and the question they answer."""

    asked: TakeQuestion
    axis: Axis
    by: tuple[str, ...]
    level: float
    kinds: tuple[KindCurve, ...]

    def shown(self, x: float) -> str:
        """A value of the axis as sentences show it."""
        return curve_axes.shown(self.axis, x, self.asked.hemisphere)

    def stored(self, x: float) -> Any:
        """A value of the axis as JSON and CSV hold it."""
        return curve_axes.stored(self.axis, x, self.asked.hemisphere)
