"""Several comparisons at once: the more are looked at, the likelier luck alone throws one up."""

from __future__ import annotations

from collections.abc import Sequence


def holm(chances: Sequence[float]) -> tuple[float, ...]:
    """Each chance (0 to 1) made larger for the company it is in, in the order given.

    The smallest is multiplied by their number, the next by one less, and so on, none below one before it nor above 1.
    Reference: Holm, S. (1979). A simple sequentially rejective multiple test procedure. Scandinavian Journal of Statistics
    6:65-70.
    """
    adjusted = [0.0] * len(chances)
    worst = 0.0
    for rank, place in enumerate(sorted(range(len(chances)), key=lambda at: chances[at])):
        worst = max(worst, min(1.0, chances[place] * (len(chances) - rank)))
        adjusted[place] = worst
    return tuple(adjusted)
