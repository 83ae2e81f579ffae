"""The chance that a want is had: enough of its grafts live in all, and one at least on each of so many sites.

Grafts live or die apart from one another, each with its own chance (Poisson binomial distribution). Sites are taken one after
another, and what is kept is how many of them have one that lives and how many live in all, each only as far as it is asked
for; so the chance is exact. Two sites with enough in all are not enough on each: of two grafts of 0.8 on either site two live
with 0.97, and one on each with 0.92.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.stats.binomial import at_least, chances, table

if TYPE_CHECKING:
    from numpy.typing import NDArray


def had_everywhere(count: int, sites: int, places: Sequence[Sequence[float]], elsewhere: Sequence[float] = ()) -> float:
    """The chance that `count` live in all and one at least on `sites` of the places; 1 where neither is asked for.

    `places` holds the chances (0 to 1) of the grafts of each place, `elsewhere` those of grafts that count for no place.
    """
    if sites <= 0:
        return at_least(count, [chance for some in (*places, elsewhere) for chance in some])
    if sites > len(places):
        return 0.0
    top = max(count, 1)
    state = [[0.0] * (top + 1) for _ in range(sites + 1)]
    state[0] = _capped(elsewhere, top)
    for some in places:
        state = _with_place(state, _capped(some, top), sites, top)
    return min(1.0, sum(state[sites][count:]))


def _capped(each: Sequence[float], top: int) -> list[float]:
    """The probabilities of 0 to `top` that live, the last holding all beyond."""
    whole = chances(each)
    return [*whole[:top], *[0.0] * (top - len(whole)), sum(whole[top:])]


def _with_place(state: list[list[float]], lives: list[float], sites: int, top: int) -> list[list[float]]:
    after = [[0.0] * (top + 1) for _ in range(sites + 1)]
    for had, row in enumerate(state):
        for alive, chance in enumerate(row):
            if chance:
                for more, here in enumerate(lives):
                    after[min(sites, had + (more > 0))][min(top, alive + more)] += chance * here
    return after


def law_table(count: int, sites: int, kinds: Sequence[tuple[str | None, float]], most: Sequence[int]) -> NDArray[Any]:
    """`had_everywhere` for every mix of grafts of a few kinds.

    A kind is a place (None: it counts for none) and a chance; kinds of one place stand together. Cell (a, b, …) of the array
    is for `a` grafts of kinds[0], `b` of kinds[1], …; axis i has most[i] + 1 cells.
    """
    if sites <= 0:
        return table(count, [chance for _, chance in kinds], most)
    import numpy as np

    top = max(count, 1)
    state: NDArray[Any] = np.zeros((sites + 1, top + 1))
    state[0, 0] = 1.0
    for place in dict.fromkeys(place for place, _ in kinds):
        some = [at for at, (where, _) in enumerate(kinds) if where == place]
        lives = _lives([kinds[at][1] for at in some], [most[at] for at in some], top)
        state = _joined(state, lives, len(some), place is not None)
    return np.minimum(state[..., sites, count:].sum(axis=-1), 1.0)


def _lives(each: Sequence[float], most: Sequence[int], top: int) -> NDArray[Any]:
    """The probabilities of 0 to `top` that live, for every mix of grafts of these chances on one place."""
    import numpy as np

    state: NDArray[Any] = np.zeros(top + 1)
    state[0] = 1.0
    for chance, many in zip(each, most, strict=True):
        rows = [state]
        for _ in range(many):
            after = rows[-1] * (1 - chance)
            after[..., -1] = rows[-1][..., -1]
            after[..., 1:] += rows[-1][..., :-1] * chance
            rows.append(after)
        state = np.stack(rows, axis=-2)
    return state


def _joined(state: NDArray[Any], lives: NDArray[Any], axes: int, counts: bool) -> NDArray[Any]:
    """Every cell so far with every mix of one place more: sites that have one and trees that live, each capped at its end."""
    import numpy as np

    sites, top = state.shape[-2] - 1, state.shape[-1] - 1
    before = state.reshape(*state.shape[:-2], *([1] * axes), sites + 1, top + 1)
    after = np.zeros((*state.shape[:-2], *lives.shape[:-1], sites + 1, top + 1))
    for more in range(top + 1):
        here = before * lives[..., more, None, None]
        moved = np.zeros_like(here)
        moved[..., more:] = here[..., : top + 1 - more]
        moved[..., top] += here[..., top + 1 - more :].sum(axis=-1) if more else 0.0
        if more and counts:
            after[..., 1:, :] += moved[..., :-1, :]
            after[..., sites, :] += moved[..., sites, :]
        else:
            after += moved
    return after
