"""A plan as it is made by hand: dearest wants first, each stick cut into as many pieces as it gives, best chance first.

It stands in when the solver finds nothing in its time, and is the yardstick that the solver is measured against.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from math import ceil

from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_value import PAST_WANT, is_must, met_share


@dataclass(frozen=True)
class ByHand:
    """How many of each use and lane, and how many sticks cut in each way, ways in the order of the stick classes."""

    uses: tuple[int, ...]
    lanes: tuple[int, ...]
    cuts: tuple[int, ...]

    @property
    def numbers(self) -> tuple[int, ...]:
        """All of them, one after another."""
        return (*self.uses, *self.lanes, *self.cuts)


def greedy(groups: Groups, hold_back: int = 0) -> ByHand:
    """Numbers of grafts that keep every rule but the spread over sites, found without looking back."""
    supply, cuts = _cut(groups)
    hand = _Hand(supply, [host.places for host in groups.hosts], {}, [0] * len(groups.uses), [0] * len(groups.lanes))
    hand.room.update({label: max(0, buds - hold_back) for label, buds in groups.buds.items()})
    of: dict[int, list[int]] = defaultdict(list)
    for at, use in enumerate(groups.uses):
        of[use.want].append(at)
    lanes: dict[tuple[int, float], list[int]] = defaultdict(list)
    for at in sorted(range(len(groups.lanes)), key=lambda at: -met_share(groups.lanes[at].how.share)):
        lane = groups.lanes[at]
        lanes[lane.node, lane.how.chance].append(at)
    for want in sorted(of, key=lambda at: (not is_must(groups.wants[at]), groups.wants[at].priority)):
        wanted = groups.wants[want]
        most = wanted.number * (PAST_WANT[-1][0] if is_must(wanted) else 1.0) - wanted.living_already
        for at in sorted(
            of[want], key=lambda at: (-groups.uses[at].chance, -groups.pieces[groups.uses[at].piece].wear)
        ):
            use = groups.uses[at]
            if use.chance > 0 and most > 0:
                most -= use.chance * _take(groups, hand, at, lanes[use.node, use.chance], ceil(most / use.chance))
    return ByHand(tuple(hand.uses), tuple(hand.lanes), cuts)


@dataclass
class _Hand:
    """Pieces, places and buds still to be had, and what is taken."""

    supply: list[int]
    places: list[int]
    room: dict[str, int]
    uses: list[int]
    lanes: list[int]


def _take(groups: Groups, hand: _Hand, at: int, lanes: list[int], most: int) -> int:
    """Take up to so many grafts of a use through these lanes; how many were had."""
    use, had = groups.uses[at], 0
    piece = groups.pieces[use.piece]
    for lane in lanes:
        host = groups.lanes[lane].host
        number = min(most - had, hand.supply[use.piece], hand.places[host], hand.room[piece.label] // piece.taken)
        if number > 0:
            hand.supply[use.piece] -= number
            hand.places[host] -= number
            hand.room[piece.label] -= number * piece.taken
            hand.uses[at] += number
            hand.lanes[lane] += number
            had += number
    return had


def _cut(groups: Groups) -> tuple[list[int], tuple[int, ...]]:
    """Every stick cut in the way that gives most pieces."""
    supply, cuts = [0] * len(groups.pieces), []
    for stick in groups.sticks:
        best = max(range(len(stick.ways)), key=lambda at: sum(count for _, count in stick.ways[at]))
        for at, way in enumerate(stick.ways):
            cuts.append(stick.number if at == best else 0)
            for piece, count in way if at == best else ():
                supply[piece] += count * stick.number
    return supply, tuple(cuts)
