"""Columns for the chance that enough of a must-have live: an exact linear form of a chance that is not linear.

Grafts of one chance on one site are exchangeable, so the distribution of the number that live (Poisson binomial) depends only
on how many grafts of each chance there are on each site: a column stands for one such mix, with its exact chance. A plan may
choose a column when it makes at least that many grafts (better ones may stand in for worse), since a further graft never
lowers the chance. With all mixes as columns the model is exact. Where there would be too many, near chances are merged and
taken as the lowest of them for a feasible plan and as the highest for an upper bound; where sites are too many for that, the
plan keeps to some of them and the bound does without. The plan itself is always evaluated exactly, so the price of merging is
an optimality gap that is shown, never a wrong figure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_law import law_table

if TYPE_CHECKING:
    from numpy.typing import NDArray

# So many columns for one want at the most, where sites are asked for so many for all wants of that sort together, of which
# so many are kept for each where chances must be merged all the same.
MOST_COLUMNS, MOST_BY_SITES, KEPT_BY_SITES, FEW = 1500, 2400, 60, 4
# Numbers in a table of mixes, before it is cut down to columns.
MOST_CELLS = 2_000_000
# Chances below this count as 0, and a graft that adds less to one adds nothing.
_NOTHING = 1e-9
_HARDLY = 2e-7

# A kind of graft: the site it counts for (None: for none), and its chance.
Kind = tuple[str | None, float]


@dataclass(frozen=True)
class Reach:
    """What bears on the grafts of one want: the most of each kind and the fewest buds that one takes from the wood, buds and
    places in all, on how many sites one must live, and how many wants share the columns by sites (1 or more)."""

    most: Mapping[Kind, int]
    buds: Mapping[Kind, int]
    all_buds: int
    all_places: int
    sites: int = 0
    shared_by: int = 1


@dataclass(frozen=True)
class ChanceColumns:
    """The columns of one want: c columns over k classes of kinds of grafts.

    `place_of` says to which class each kind belongs (one that is missing counts for nothing), best class first within a site,
    and `site_of` (k) on which site a class stands; `mixes` (c x k) how many grafts of each class a column asks for; `chance`
    (c) the chance of each, 0 to 1; `exact` when nothing was merged.
    """

    place_of: dict[Kind, int]
    site_of: tuple[str | None, ...]
    mixes: NDArray[Any]
    chance: NDArray[Any]
    exact: bool


def chance_columns(count: int, reach: Reach, sure: float, upper: bool = False) -> ChanceColumns:
    """The columns for `count` trees (0 or more) to live, and one at least on each of the sites asked for.

    Chances of a column are capped at `sure` (above 0, at most 1). `upper` takes merged chances as the highest of them,
    otherwise as the lowest.
    """
    exact = True
    while True:
        found = _merged(count, reach, sure, upper)
        if found is not None:
            return ChanceColumns(*found[:-1], exact and found[-1])
        exact = False
        if upper:
            return _anywhere(count, reach, sure)
        best = sorted({site for site, _ in reach.most} - {None}, key=lambda site: -_worth(site, reach.most))
        kept = {None, *best[: max(reach.sites, len(best) - 1)]} if len(best) > reach.sites else set(best)
        reach = replace(reach, most={kind: number for kind, number in reach.most.items() if kind[0] in kept})


def _anywhere(count: int, reach: Reach, sure: float) -> ChanceColumns:
    """Columns for as many trees as there are sites, wherever they stand: an upper bound."""
    total: dict[Kind, int] = {}
    buds: dict[Kind, int] = {}
    for kind, number in reach.most.items():
        key = None, kind[1]
        total[key] = total.get(key, 0) + number
        buds[key] = min(buds.get(key, reach.buds[kind]), reach.buds[kind])
    whole = chance_columns(max(count, reach.sites), replace(reach, most=total, buds=buds, sites=0), sure, True)
    place_of = {kind: whole.place_of[None, kind[1]] for kind in reach.most}
    return ChanceColumns(place_of, whole.site_of, whole.mixes, whole.chance, False)


def _order(kind: Kind) -> tuple[bool, str, float]:
    """Kinds of one site together, the best chance first."""
    return kind[0] is not None, kind[0] or "", -kind[1]


def _worth(site: str | None, each: Mapping[Kind, int]) -> float:
    """The trees that a site could give."""
    return sum(chance * number for (where, chance), number in each.items() if where == site)


def _merged(
    count: int, reach: Reach, sure: float, upper: bool
) -> tuple[dict[Kind, int], tuple[str | None, ...], NDArray[Any], NDArray[Any], bool] | None:
    """The columns with as few chances merged as will do; None where the sites alone make too many of them."""
    kinds = [[kind] for kind in sorted(reach.most, key=_order)]
    exact, few_sites = True, len({kind[0][0] for kind in kinds} - {None}) <= max(reach.sites, 1)
    by_sites = min(MOST_COLUMNS, max(KEPT_BY_SITES, MOST_BY_SITES // max(FEW, reach.shared_by)))
    while True:
        found = _mixes(count, kinds, reach, sure, upper)
        near, room = _nearest(kinds), MOST_COLUMNS
        if reach.sites:
            room = (
                by_sites
                if exact or reach.shared_by <= FEW
                else max(KEPT_BY_SITES, by_sites // 4)
                if upper
                else KEPT_BY_SITES
            )
        if found is not None and (len(found[1]) <= room or (near is None and not reach.sites)):
            break
        exact = False
        if near is None:
            if upper or not few_sites:
                return None
            found = found or _mixes(count, kinds, reach, sure, upper, count + 12)
            found = _thinned(*(found or _none(len(kinds))))
            break
        kinds[near : near + 2] = [kinds[near] + kinds[near + 1]]
    place_of = {one: at for at, kind in enumerate(kinds) for one in kind}
    return place_of, tuple(kind[0][0] for kind in kinds), *found, exact


def _nearest(kinds: Sequence[Sequence[Kind]]) -> int | None:
    """The class whose chances are nearest to those of the next class on its site; None where each site has one class."""
    pairs = [at for at in range(len(kinds) - 1) if kinds[at][0][0] == kinds[at + 1][0][0]]
    return min(pairs, key=lambda at: kinds[at][0][1] - kinds[at + 1][-1][1], default=None)


def _none(kinds: int) -> tuple[NDArray[Any], NDArray[Any]]:
    import numpy as np

    return np.zeros((1, kinds), int), np.zeros(1)


def _thinned(mixes: NDArray[Any], chance: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
    """The columns with the best chances for their number of grafts, as many of each number."""
    import numpy as np

    grafts = mixes.sum(axis=1)
    order = np.lexsort((-chance, grafts))
    starts = np.searchsorted(grafts[order], grafts[order])
    each = max(1, KEPT_BY_SITES // len(np.unique(grafts)))
    rows = np.sort(order[np.arange(len(order)) - starts < each])
    return mixes[rows], chance[rows]


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


def _enough(count: int, values: Sequence[float], most: Sequence[int], _sure: float) -> list[int]:
    """No more grafts of each class than leave hardly a chance that too few live of them alone."""
    return _largest_useful(max(count, 1), values, most, 1 - _HARDLY)


def _mixes(
    count: int, kinds: Sequence[Sequence[Kind]], reach: Reach, sure: float, upper: bool, largest: int | None = None
) -> tuple[NDArray[Any], NDArray[Any]] | None:
    """Every mix that wood and places allow and that is not dominated: its chance is above 0, and below `sure` with any graft
    less; with no more than `largest` of one class (None: as many as may be). None: too many."""
    import numpy as np

    values = [(kind[0][0], (max if upper else min)(chance for _, chance in kind)) for kind in kinds]
    most = [sum(reach.most[one] for one in kind) for kind in kinds]
    most = [min(number, reach.all_places, reach.all_buds) for number in most]
    most = (_enough if reach.sites else _largest_useful)(count, [chance for _, chance in values], most, sure)
    most = most if largest is None else [min(number, largest) for number in most]
    cells = (count + 1) * (reach.sites + 1)
    for top in most:
        cells *= top + 1
    if cells > MOST_CELLS and (len(values) > 1 or reach.sites):
        return None
    whole = law_table(count, reach.sites, values, most)
    keep = (whole > _NOTHING) & _allowed(most, [min(reach.buds[one] for one in kind) for kind in kinds], reach)
    safe = whole >= sure
    for axis, top in enumerate(most):
        if top:
            after = [slice(None)] * len(most)
            before = list(after)
            after[axis], before[axis] = slice(1, None), slice(None, -1)
            keep[tuple(after)] &= ~safe[tuple(before)]
            same = whole[tuple(after)] <= whole[tuple(before)] + (_HARDLY if reach.sites else 0.0)
            keep[tuple(after)] &= ~same
    mixes = np.vstack([np.zeros((1, len(most)), int), np.argwhere(keep)])
    chance = np.concatenate([[0.0], np.minimum(whole[keep], sure)])
    return mixes, chance


def _allowed(most: Sequence[int], buds: Sequence[int], reach: Reach) -> NDArray[Any]:
    """Whether the wood has the buds and the hosts have the places for a mix."""
    import numpy as np

    shape = tuple(top + 1 for top in most)
    taken, grafts = np.zeros(shape, int), np.zeros(shape, int)
    for axis, (top, each) in enumerate(zip(most, buds, strict=True)):
        along = np.arange(top + 1).reshape([-1 if at == axis else 1 for at in range(len(most))])
        taken, grafts = taken + along * each, grafts + along
    return (taken <= reach.all_buds) & (grafts <= reach.all_places)
