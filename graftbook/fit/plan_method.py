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
from graftbook.fit.match import TRUST
from graftbook.fit.plan_objectives import UNKNOWN_SHARE

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
    """What was chosen; how many pairs of kinds were left out as `doubtful`, the union not trusted, or `barred` by a gate or
    for being too short."""

    chosen: tuple[Choice, ...]
    doubtful: int
    barred: int


def choose(
    many: JudgedGrids,
    able: Sequence[Collection[str]],
    chances: Sequence[Sequence[float]],
    distrusted: Collection[str] = (),
    every_method: bool = False,
) -> Choices:
    """The method of every pair of kinds that may be grafted, or with `every_method` each method that may be.

    `able` names for each of n pieces, in the order judged, the methods it is long enough for; `chances` holds for each grid n
    chances, 0 to 1, of its method; `distrusted` are words of `match.TRUST` whose unions are left out beside `no`.
    """
    import numpy as np

    row, column = np.asarray(many.wood_row), np.asarray(many.stock_column)
    cells = np.ix_(row, column)
    trusted = np.isin(many.trust, [at for at, word in enumerate(TRUST) if word not in ("no", *distrusted)])[cells]
    ranked, feasible_somehow = _Ranked(trusted.shape), np.zeros(trusted.shape, bool)
    for at, grid in enumerate(many.grids):
        fits = np.array([grid.method.method in names for names in able], bool)[:, None]
        feasible = (grid.verdict[cells] != 2) & fits
        feasible_somehow |= feasible
        chance = np.asarray(chances[at], float)[:, None]
        ranked.offer(at, feasible & trusted, grid.doubts[cells], chance, grid.share[cells], every_method)
    doubtful = feasible_somehow & ~trusted
    return Choices(tuple(ranked.chosen()), int(doubtful.sum()), int((~feasible_somehow).sum()))


class _Ranked:
    """The best method of every pair of kinds so far, or every method that goes."""

    def __init__(self, shape: tuple[int, ...]) -> None:
        import numpy as np

        self._score, self._at = np.full(shape, -np.inf), np.full(shape, -1)
        self._share = np.full(shape, np.nan)
        self._all: list[tuple[int, NDArray[Any], NDArray[Any]]] = []

    def offer(
        self,
        at: int,
        usable: NDArray[Any],
        doubts: NDArray[Any],
        chance: NDArray[Any],
        share: NDArray[Any],
        every: bool,
    ) -> None:
        import numpy as np

        if every:
            self._all.append((at, usable, share))
            return
        met = np.nan_to_num(share, nan=UNKNOWN_SHARE)
        score = -DOUBT_COSTS * doubts + np.round(chance / ALIKE) * ALIKE + SHARE_WEIGHS * met
        better = usable & (score > self._score)
        for held, new in ((self._score, score), (self._share, share)):
            held[better] = new[better]
        self._at[better] = at

    def chosen(self) -> Iterator[Choice]:
        import numpy as np

        used = sorted(set(self._at[self._at >= 0].tolist()))
        for at, cells, share in self._all or [(at, self._at == at, self._share) for at in used]:
            pieces, hosts = np.nonzero(cells)
            shares = share[pieces, hosts].tolist()
            for piece, host, value in zip(pieces.tolist(), hosts.tolist(), shares, strict=True):
                yield Choice(piece, host, at, None if value != value else min(1.0, max(0.0, value)))
