"""What a curve of take consists of, before it is put into words or drawn."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from graftbook.stats.curve import Curve, NoCurve, Place

if TYPE_CHECKING:
    from graftbook.actions.review.curve_axes import Axis

WATCHED = ("species", "method", "stock", "season", "tie", "place")


@dataclass
class KindCounts:
    """What is decided of one kind: k of n by x and day (None where days do not matter); what else stood at each x; what has
    no x or is not decided."""

    cells: dict[tuple[float, int | None], list[int]] = field(default_factory=lambda: defaultdict(lambda: [0, 0]))
    beside: dict[str, Counter] = field(default_factory=lambda: {name: Counter() for name in WATCHED})
    without: int = 0
    undecided: int = 0

    def places(self) -> list[Place]:
        """The counts for graftbook.stats.curve."""
        return [Place(x, k, n, day) for (x, day), (k, n) in self.cells.items()]


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
    """Every kind's line with what was asked."""

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
