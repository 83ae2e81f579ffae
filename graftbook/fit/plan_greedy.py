"""A plan as it is made by hand: dearest wants first, each stick cut into as many pieces as it gives, best chance first.

No plan that is handed back is worse: it stands where the solver finds nothing better in its time, and is the yardstick that
the solver is measured against. In the same manner a plan that serves the first parts of the objective alone is filled up.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from graftbook.fit.plan_facts import WantFact
from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_value import PAST_WANT, is_must, met_share, new_sites, old_sites, short_of_sites


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
    hand = _hand(groups, hold_back, None)
    of, lanes = _uses_of(groups), _lanes_of(groups)
    for want in _dearest(groups, of):
        _serve(groups, hand, of[want], lanes, _trees(groups.wants[want]))
    return ByHand(tuple(hand.uses), tuple(hand.lanes), tuple(hand.cuts))


def filled(groups: Groups, hold_back: int = 0, start: Sequence[int] | None = None) -> ByHand:
    """Numbers (uses, lanes, ways of cutting, one after another; None: none) with grafts added from the wood and the places
    they leave, first on sites that a want still lacks; wants that cannot be spread as asked get no more than that."""
    hand = _hand(groups, hold_back, start)
    of, lanes = _uses_of(groups), _lanes_of(groups)
    for want in _dearest(groups, of):
        _spread(groups, hand, of[want], lanes)
    for want in _dearest(groups, of):
        wanted = groups.wants[want]
        made = [at for at in of[want] if hand.uses[at]]
        lacking = short_of_sites(wanted, new_sites(wanted), {groups.sites[groups.uses[at].node] or "" for at in made})
        if is_must(wanted) or not lacking:
            most = _trees(wanted) - sum(groups.uses[at].chance * hand.uses[at] for at in made)
            _serve(groups, hand, of[want], lanes, most)
    return ByHand(tuple(hand.uses), tuple(hand.lanes), tuple(hand.cuts))


def _uses_of(groups: Groups) -> dict[int, list[int]]:
    """The uses of each want, best chance first, then worn wood."""
    of: dict[int, list[int]] = defaultdict(list)
    for at, use in enumerate(groups.uses):
        of[use.want].append(at)
    for some in of.values():
        some.sort(key=lambda at: (-groups.uses[at].chance, -groups.pieces[groups.uses[at].piece].wear))
    return of


def _lanes_of(groups: Groups) -> dict[tuple[int, float], list[int]]:
    """The lanes of each node and chance, best joint first."""
    lanes: dict[tuple[int, float], list[int]] = defaultdict(list)
    for at in sorted(range(len(groups.lanes)), key=lambda at: -met_share(groups.lanes[at].how.share)):
        lane = groups.lanes[at]
        lanes[lane.node, lane.how.chance].append(at)
    return lanes


def _dearest(groups: Groups, of: Iterable[int]) -> list[int]:
    return sorted(of, key=lambda at: (not is_must(groups.wants[at]), groups.wants[at].priority))


def _trees(want: WantFact) -> float:
    """How many more trees a want is given by hand."""
    return want.number * (PAST_WANT[-1][0] if is_must(want) else 1.0) - want.living_already


@dataclass
class _Hand:
    """Pieces, places and buds still to be had, and what is taken and cut."""

    supply: list[int]
    places: list[int]
    room: dict[str, int]
    uses: list[int]
    lanes: list[int]
    cuts: list[int]


def _hand(groups: Groups, hold_back: int, start: Sequence[int] | None) -> _Hand:
    """What is in hand after these numbers, none at first; every stick not cut yet is cut for the most pieces."""
    split, end = len(groups.uses), len(groups.uses) + len(groups.lanes)
    given = [0] * (end + groups.ways) if start is None else [int(number) for number in start]
    supply, cuts = _cut(groups, given[end : end + groups.ways])
    room = {label: max(0, buds - hold_back) for label, buds in groups.buds.items()}
    hand = _Hand(supply, [host.places for host in groups.hosts], room, given[:split], given[split:end], cuts)
    for use, number in zip(groups.uses, hand.uses, strict=True):
        hand.supply[use.piece] -= number
        hand.room[groups.pieces[use.piece].label] -= number * groups.pieces[use.piece].taken
    for lane, number in zip(groups.lanes, hand.lanes, strict=True):
        hand.places[lane.host] -= number
    return hand


_Lanes = dict[tuple[int, float], list[int]]


def _serve(groups: Groups, hand: _Hand, uses: Iterable[int], lanes: _Lanes, trees: float) -> None:
    """Take grafts through these uses, in their order, until so many trees are to be expected."""
    for at in uses:
        use = groups.uses[at]
        if use.chance > 0 and trees > 1e-9:
            more = ceil(trees / use.chance - 1e-9)
            trees -= use.chance * _take(groups, hand, at, lanes[use.node, use.chance], more)


def _spread(groups: Groups, hand: _Hand, uses: Sequence[int], lanes: _Lanes) -> None:
    """Take a graft on each site that the want of these uses lacks, while it lacks any."""
    want = groups.wants[groups.uses[uses[0]].want]
    stands = {groups.sites[groups.uses[at].node] or "" for at in uses if hand.uses[at]}
    for at in uses if new_sites(want) else ():
        use = groups.uses[at]
        site = groups.sites[use.node] or ""
        if not short_of_sites(want, new_sites(want), stands):
            return
        if (
            use.chance > 0
            and site not in stands | old_sites(want)
            and _take(groups, hand, at, lanes[use.node, use.chance], 1)
        ):
            stands.add(site)


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


def _cut(groups: Groups, given: Sequence[int]) -> tuple[list[int], list[int]]:
    """Every stick that is not cut yet cut in the way that gives most pieces."""
    supply, cuts = [0] * len(groups.pieces), list(given)
    first = 0
    for stick in groups.sticks:
        here = range(first, first + len(stick.ways))
        best = max(here, key=lambda at: sum(count for _, count in stick.ways[at - first]))
        cuts[best] += stick.number - sum(cuts[at] for at in here)
        for at in here:
            for piece, count in stick.ways[at - first]:
                supply[piece] += count * cuts[at]
        first += len(stick.ways)
    return supply, cuts
