"""Identity by counting the sticks of a mix: where six of one kind and five of another went in, and all six are found, the rest
are the other.

Each stick came from one of the bundles mixed, and each bundle gave so many. By Hall's theorem on matchings (P. Hall, 1935,
On representatives of subsets) sticks can be shared out among the bundles just where, for every choice of bundles, no more
sticks must come from these than they gave.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence


def possible(allowed: Sequence[int], counts: Sequence[int]) -> list[int] | None:
    """Which bundles each stick can have come from, as bit masks, once all are counted.

    `allowed` holds, for each stick, the bundles it may come from by itself (bit n for bundle n); `counts` how many sticks,
    0 or more, each bundle gave, or at most gave. None where the counts sum to fewer than the sticks, or where the sticks cannot be
    shared out. Time grows with 2 to the number of bundles (at most `threads.MOST_PARTS`).
    """
    if sum(counts) < len(allowed):
        return None
    masks = Counter(allowed)
    if not _fits(masks, counts):
        return None
    found = {mask: _of(mask, masks, counts) for mask in masks}
    return [found[mask] for mask in allowed]


def _of(mask: int, masks: Counter[int], counts: Sequence[int]) -> int:
    """The bundles from which one of the sticks with this mask can come, the others still finding theirs."""
    others = masks.copy()
    others[mask] -= 1
    result = 0
    for bundle, given in enumerate(counts):
        if mask >> bundle & 1 and given:
            left = [count - (number == bundle) for number, count in enumerate(counts)]
            if _fits(others, left):
                result |= 1 << bundle
    return result


def _fits(masks: Counter[int], counts: Sequence[int]) -> bool:
    for subset in range(1 << len(counts)):
        room = sum(count for bundle, count in enumerate(counts) if subset >> bundle & 1)
        if sum(sticks for mask, sticks in masks.items() if mask | subset == subset) > room:
            return False
    return True
