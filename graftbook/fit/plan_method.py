"""Which method a kind of piece goes on a kind of host by, where several may: judged arrays in, one choice a pair out.

What is printed or counted cannot tell two methods apart whose chances differ by a few points, so there the better joint
decides; and a method that leaves a doubt must be that much better to be chosen. Score of a method, the highest being chosen:
chance rounded to ALIKE - DOUBT_COSTS x doubts + SHARE_WEIGHS x share of the joint (a rule of this project, no source).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.joint_gates import JudgedGrids
from graftbook.fit.plan_objectives import UNKNOWN_SHARE
from graftbook.trade.pairs import TRUST

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Chances by two methods that differ by less are taken as equal; then the better joint decides (a choice of ours).
ALIKE = 0.05
# Between two methods a doubt weighs as much as so much chance (a choice of ours).
DOUBT_COSTS = 0.1
# A joint without a model is assumed to meet half; shares only decide between methods that are otherwise equal.
SHARE_WEIGHS = 0.01


@dataclass(frozen=True)
class Choice:
    """A piece and a host, by their places as judged, and the method by its place among the grids; `share` of the joint is
    None where there is no model of it."""

    piece: int
    host: int
    method: int
    share: float | None


@dataclass(frozen=True)
class Choices:
    """What was chosen, and how many pairs of kinds were left out as `doubtful`, the union not trusted."""

    chosen: tuple[Choice, ...]
    doubtful: int


def choose(
    many: JudgedGrids,
    able: Sequence[Collection[str]],
    chances: Sequence[Sequence[float] | Sequence[Sequence[float]]],
    distrusted: Collection[str] = (),
    every_method: bool = False,
) -> Choices:
    """The method of every pair of kinds that may be grafted, or with `every_method` each method that may be.

    `able` names for each of n pieces, in the order judged, the methods it is long enough for; `chances` holds for each grid n
    chances, 0 to 1, of its method, or one for each of the pieces on each of the hosts (n x m); `distrusted` are words of
    `pairs.TRUST` whose unions are left out beside `no`.
    """
    import numpy as np

    cells = np.ix_(many.wood_row, many.stock_column)
    trusted = np.isin(many.trust, [at for at, word in enumerate(TRUST) if word not in ("no", *distrusted)])[cells]
    feasible_somehow, best_at = np.zeros(trusted.shape, bool), np.full(trusted.shape, -1)
    best, best_share = np.full(trusted.shape, -np.inf), np.full(trusted.shape, np.nan)
    every: list[Choice] = []
    for at, grid in enumerate(many.grids):
        fits = np.array([grid.method.method in names for names in able], bool)[:, None]
        feasible, share = (grid.verdict[cells] != 2) & fits, grid.share[cells]
        feasible_somehow |= feasible
        if every_method:
            every += _choices(at, feasible & trusted, share)
            continue
        each = np.asarray(chances[at], float)
        chance = np.round((each if each.ndim == 2 else each[:, None]) / ALIKE) * ALIKE
        score = chance - DOUBT_COSTS * grid.doubts[cells] + SHARE_WEIGHS * np.nan_to_num(share, nan=UNKNOWN_SHARE)
        better = feasible & trusted & (score > best)
        best[better], best_share[better], best_at[better] = score[better], share[better], at
    chosen = every or [each for at in range(len(many.grids)) for each in _choices(at, best_at == at, best_share)]
    return Choices(tuple(chosen), int((feasible_somehow & ~trusted).sum()))


def _choices(at: int, cells: NDArray[Any], share: NDArray[Any]) -> Iterator[Choice]:
    """The cells marked as choices of the method at a place among the grids."""
    import numpy as np

    pieces, hosts = np.nonzero(cells)
    for piece, host, value in zip(pieces.tolist(), hosts.tolist(), share[pieces, hosts].tolist(), strict=True):
        yield Choice(piece, host, at, None if value != value else min(1.0, max(0.0, value)))
