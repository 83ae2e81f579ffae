"""What a curve of take consists of, before it is put into words or drawn."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from typing import Any

from graftbook.actions.review import curve_axes
from graftbook.actions.review.curve_axes import Axis
from graftbook.actions.takes.early import Waits, is_early
from graftbook.actions.takes.question import TakeQuestion
from graftbook.actions.takes.take_rows import name_of
from graftbook.actions.takes.timing import EffectTest
from graftbook.stats.curve import Curve, CurveCount, NoCurve

SCREENED = ("species", "method", "stock", "season", "tie", "place", "wood", "donor")
"""Factors screened for confounding with x."""
BANDS = ("chance", "low", "high", "low_whole", "high_whole")
"""The line and its two ranges, as a point of it and a row name them."""


@dataclass
class KindCounts:
    """The counts of one kind: k of n decided by x and day (None where days do not matter); the values of other factors at each
    x; how many have no x or are not decided; `waits` what waits, by the state it was last seen in, and `open_days` how much of
    that is at each x; `early` whether it is too early for a rate; `young` how many decided are left out because half or more of
    their day still waits."""

    cells: dict[tuple[float, int | None], list[int]] = field(default_factory=lambda: defaultdict(lambda: [0, 0]))
    beside: dict[str, Counter[tuple[Any, ...]]] = field(default_factory=lambda: {name: Counter() for name in SCREENED})
    without: int = 0
    undecided: int = 0
    waits: Waits = field(default_factory=Counter)
    open_days: dict[float, Waits] = field(default_factory=lambda: defaultdict(Counter))
    early: bool = False
    young: list[tuple[float, int, int]] = field(default_factory=list)

    def settle(self, of_the_day: bool) -> None:
        """Take out every day half or more of which still waits, seen alive, since what failed of it stands alone so far (a rule
        of this book); and say whether it is too early for a rate of the rest, or for all where that is every day."""
        young = self._young() if of_the_day else ()
        waits = self.waits.copy()
        if len(young) < len({x for x, _day in self.cells}):
            for x in young:
                self.young.append((x, *self._decided(x)))
                waits.subtract(self.open_days[x])
            self.cells = {place: counts for place, counts in self.cells.items() if place[0] not in young}
            self.beside = {name: Counter({at: many for at, many in counts.items() if at[1] not in young})
                           for name, counts in self.beside.items()}  # fmt: skip
        k, n = (sum(counts[at] for counts in self.cells.values()) for at in (0, 1))
        self.early = is_early(k, n, waits)

    def _young(self) -> frozenset[float]:
        days = {x for x, _day in self.cells} & set(self.open_days)
        return frozenset(x for x in days if self.open_days[x].total() >= self._decided(x)[1])

    def _decided(self, x: float) -> tuple[int, int]:
        held = [counts for (at, _day), counts in self.cells.items() if at == x]
        return sum(k for k, _n in held), sum(n for _k, n in held)

    def places(self) -> list[CurveCount]:
        """The counts for graftbook.stats.curve."""
        return [CurveCount(x, k, n, day) for (x, day), (k, n) in self.cells.items()]


@dataclass(frozen=True)
class KindCurve:
    """One kind: its factors' values and unit, its counts, its line or why there is none, and the test of any effect of x."""

    key: tuple[Any, ...]
    counts: KindCounts
    curve: Curve | NoCurve
    effect: EffectTest | None = None

    @property
    def name(self) -> str:
        """`apple`, or `apple, cleft`; buds say so."""
        return name_of(self.key)


@dataclass(frozen=True)
class Curves:
    """The curves of every kind, and the question they answer; `whose` says from whose green tip days are counted, where they
    are."""

    asked: TakeQuestion
    axis: Axis
    by: tuple[str, ...]
    level: float
    kinds: tuple[KindCurve, ...]
    whose: str = ""

    def shown(self, x: float) -> str:
        """A value of the axis as sentences show it."""
        return curve_axes.shown(self.axis, x, self.asked.hemisphere)

    def stored(self, x: float) -> Any:
        """A value of the axis as JSON and CSV hold it."""
        return curve_axes.stored(self.axis, x, self.asked.hemisphere)
