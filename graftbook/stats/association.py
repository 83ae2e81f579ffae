"""How far two things that were recorded moved together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import sqrt

STRONG = 0.7
"""From this bias-corrected V on two things are said to have changed together: a rule of this book, no source."""


@dataclass(frozen=True)
class Together:
    """How a thing moved with another: `wholly` when each of its values stands with one value of the other alone;
    `v` is Cramer's V, corrected for bias, 0 (not at all) to 1 (wholly); `counts` how many of each pair of values."""

    wholly: bool
    v: float
    counts: tuple[tuple[tuple[Hashable, Hashable], int], ...]

    @property
    def strong(self) -> bool:
        """Whether the two cannot well be told apart."""
        return self.wholly or self.v >= STRONG


def together(
    first: Sequence[Hashable], second: Sequence[Hashable], weights: Sequence[int] | None = None
) -> Together | None:
    """How `second` moved with `first`, both of one length; `weights` how many each stands for (None: one).

    None when either has a single value only, for then nothing moved. Reference for the corrected V: Bergsma, W. (2013). A
    bias-correction for Cramer's V and Tschuprow's T. Journal of the Korean Statistical Society 42:323-328.
    """
    counts: Counter = Counter()
    for pair, weight in zip(zip(first, second, strict=True), weights or [1] * len(first), strict=True):
        counts[pair] += weight
    rows, columns = Counter(), Counter()
    for (a, b), number in counts.items():
        rows[a] += number
        columns[b] += number
    if len(rows) < 2 or len(columns) < 2:
        return None
    wholly = len({b for _a, b in counts}) == len(counts)
    ordered = sorted(counts.items(), key=lambda item: tuple(map(str, item[0])))
    return Together(wholly, _corrected_v(counts, rows, columns), tuple(ordered))


def _corrected_v(counts: Counter, rows: Counter, columns: Counter) -> float:
    n = counts.total()
    if n < 2:
        return 0.0
    square = sum(
        (counts[a, b] - rows[a] * columns[b] / n) ** 2 / (rows[a] * columns[b] / n) for a in rows for b in columns
    )
    r, c = len(rows), len(columns)
    phi = max(0.0, square / n - (r - 1) * (c - 1) / (n - 1))
    room = min(r - (r - 1) ** 2 / (n - 1), c - (c - 1) ** 2 / (n - 1)) - 1
    return min(1.0, sqrt(phi / room)) if room > 0 else 0.0
