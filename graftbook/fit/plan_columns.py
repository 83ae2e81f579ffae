"""Columns for the chance that enough of a must-have live: an exact linear form of a chance that is not linear.

Grafts with one chance are exchangeable, so the distribution of the number that live (Poisson binomial) depends only on how
many grafts of each chance there are: a column stands for one such mix, with its exact chance. A plan may choose a column
when it makes at least that many grafts (better ones may stand in for worse), since a further graft never lowers the chance.
With all mixes as columns the model is exact. Where there would be too many, near chances are merged and taken as the lowest
of them for a feasible plan and as the highest for an upper bound; the plan itself is always evaluated exactly, so the price
of merging is an optimality gap that is shown, never a wrong figure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.stats.binomial import table

if TYPE_CHECKING:
    from numpy.typing import NDArray

# So many columns for one want at the most.
MOST_COLUMNS = 1500
# Cells of a table of mixes, before it is cut down to columns.
MOST_CELLS = 2_000_000
# Chances below this count as 0.
_NOTHING = 1e-9


@dataclass(frozen=True)
class ChanceColumns:
    """The columns of one must-have: c columns over k classes of chances.

    `place_of` says to which class each chance belongs, best class first; `mixes` (c x k) how many grafts of each class a column
    asks for; `chance` (c) the chance of each, 0 to 1; `exact` when no chances were merged.
    """

    place_of: dict[float, int]
    mixes: NDArray[Any]
    chance: NDArray[Any]
    exact: bool


def chance_columns(count: int, each: dict[float, int], sure: float, upper: bool = False) -> ChanceColumns:
    """The columns for `count` trees (1 or more) to live.

    `each` maps every chance (0 to 1) to the most grafts that can have it; chances of a column are capped at `sure` (above 0, at
    most 1). `upper` takes merged chances as the highest of them, otherwise as the lowest.
    """
    kinds = [[chance] for chance in sorted(each, reverse=True)]
    exact = True
    while True:
        values = [max(kind) if upper else min(kind) for kind in kinds]
        most = _largest_useful(count, values, [sum(each[chance] for chance in kind) for kind in kinds], sure)
        found = _mixes(count, values, most, sure)
        if found is not None and (len(found[1]) <= MOST_COLUMNS or len(kinds) == 1):
            break
        exact = False
        near = min(range(len(kinds) - 1), key=lambda at: kinds[at][0] - kinds[at + 1][-1])
        kinds[near : near + 2] = [kinds[near] + kinds[near + 1]]
    place_of = {chance: at for at, kind in enumerate(kinds) for chance in kind}
    return ChanceColumns(place_of, *found, exact)


def _largest_useful(count: int, values: Sequence[float], most: Sequence[int], sure: float) -> list[int]:
    """No more grafts of each class than would do alone."""
    from math import ceil, log

    found = []
    for chance, top in zip(values, most, strict=True):
        if chance <= 0:
            found.append(0)
            continue
        odds = -log(max(1 - sure, 1e-12))
        # Hoeffding's inequality: with n p - count >= sqrt(n odds / 2) the chance of falling short is below 1 - sure.
        n = count / chance
        while n * chance - count < (n * odds / 2) ** 0.5:
            n = n * 1.05 + 1
        found.append(min(top, ceil(n)))
    return found


def _mixes(
    count: int, values: Sequence[float], most: Sequence[int], sure: float
) -> tuple[NDArray[Any], NDArray[Any]] | None:
    """Every mix that is not dominated: its chance is above 0, and below `sure` with any graft less. None: too many."""
    import numpy as np

    cells = count + 1
    for top in most:
        cells *= top + 1
    if cells > MOST_CELLS and len(values) > 1:
        return None
    whole = table(count, values, most)
    keep = whole > _NOTHING
    safe = whole >= sure
    for axis, top in enumerate(most):
        if top:
            after = [slice(None)] * len(most)
            before = list(after)
            after[axis], before[axis] = slice(1, None), slice(None, -1)
            keep[tuple(after)] &= ~safe[tuple(before)]
            same = whole[tuple(after)] <= whole[tuple(before)]
            keep[tuple(after)] &= ~same
    mixes = np.vstack([np.zeros((1, len(most)), int), np.argwhere(keep)])
    chance = np.concatenate([[0.0], np.minimum(whole[keep], sure)])
    return mixes, chance
