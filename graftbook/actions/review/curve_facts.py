"""What a curve of take consists of, before it is put into words or drawn."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from graftbook.actions.review.curve_axes import Axis
from graftbook.stats.curve import Curve, CurveCount, NoCurve

SCREENED = ("species", "method", "stock", "season", "tie", "place")
"""Factors screened for confounding with x."""


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
    """One kind: its name, its counts, and its line or why there is none."""

    key: tuple[Any, ...]
    unit: str
    counts: KindCounts
    curve: Curve | NoCurve

    @property
    def name(self) -> str:
        """`apple`, or `apple, cleft`; buds say so."""
        words = ", ".join(str(part) if part is not None else "not recorded" for part in self.key) or "all kinds"
        return f"{words} (buds)" if self.unit == "bud" else words


@dataclass(frozen=True)
class Curves:
    """The curves of every kind, and the question they answer."""

    axis: Axis
    hemisphere: str
    by: tuple[str, ...]
    endpoint: str
    as_of: date
    season: str | None
    level: float
    kinds: tuple[KindCurve, ...]

    @property
    def which(self) -> str:
        """`grafts of 2026-27`."""
        return f"grafts of {self.season}" if self.season is not None else "grafts of all seasons"
