"""A greedy heuristic: wants by priority, each stick cut into as many pieces as it gives, best chance first.

It is the first incumbent, so no plan that is handed back is worse, and the yardstick that the solver is measured against. In
the same manner a solution that serves the first objectives alone is completed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from graftbook.fit.plan_facts import WantFact
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import PAST_WANT, is_must_have, met_share, new_sites, old_sites, short_of_sites


@dataclass(frozen=True)
class GreedyPlan:
    """Grafts through each piece arc and host arc, and sticks cut in each way, ways in the order of the stick classes."""

    piece_arcs: tuple[int, ...]
    host_arcs: tuple[int, ...]
    cuts: tuple[int, ...]

    @property
    def vector(self) -> tuple[int, ...]:
        """All of them, one after another: the integer decision variables of the MILP."""
        return (*self.piece_arcs, *self.host_arcs, *self.cuts)


def greedy(network: PlanNetwork, hold_back: int = 0) -> GreedyPlan:
    """A feasible plan but for the spread over sites, found without looking back; `hold_back` buds (0 or more) of every label
    stay uncut."""
    remaining = _remaining(network, hold_back, None)
    of, host_arcs = _piece_arcs_of(network), _host_arcs_of(network)
    for want in _by_priority(network, of):
        _serve(network, remaining, of[want], host_arcs, _trees(network.wants[want]))
    return GreedyPlan(tuple(remaining.piece_arcs), tuple(remaining.host_arcs), tuple(remaining.cuts))


def completed(network: PlanNetwork, hold_back: int = 0, start: Sequence[int] | None = None) -> GreedyPlan:
    """A plan with grafts added from the wood and the places it leaves, first on sites that a want still lacks.

    `start` holds the decision variables as `GreedyPlan.vector` does; None starts from no graft. A want that cannot stand on as
    many sites as asked gets no grafts beyond those for its sites, unless it is a must-have.
    """
    remaining = _remaining(network, hold_back, start)
    of, host_arcs = _piece_arcs_of(network), _host_arcs_of(network)
    for want in _by_priority(network, of):
        _spread(network, remaining, of[want], host_arcs)
    for want in _by_priority(network, of):
        wanted = network.wants[want]
        made = [at for at in of[want] if remaining.piece_arcs[at]]
        lacking = short_of_sites(
            wanted, new_sites(wanted), {network.sites[network.piece_arcs[at].node] or "" for at in made}
        )
        if is_must_have(wanted) or not lacking:
            most = _trees(wanted) - sum(network.piece_arcs[at].chance * remaining.piece_arcs[at] for at in made)
            _serve(network, remaining, of[want], host_arcs, most)
    return GreedyPlan(tuple(remaining.piece_arcs), tuple(remaining.host_arcs), tuple(remaining.cuts))


def _piece_arcs_of(network: PlanNetwork) -> dict[int, list[int]]:
    """The piece arcs of each want, best chance first, then worn wood."""
    of: dict[int, list[int]] = defaultdict(list)
    for at, piece_arc in enumerate(network.piece_arcs):
        of[piece_arc.want].append(at)
    for some in of.values():
        some.sort(key=lambda at: (-network.piece_arcs[at].chance, -network.pieces[network.piece_arcs[at].piece].wear))
    return of


def _host_arcs_of(network: PlanNetwork) -> dict[tuple[int, float], list[int]]:
    """The host arcs of each node and chance, best joint first."""
    host_arcs: dict[tuple[int, float], list[int]] = defaultdict(list)
    for at in sorted(range(len(network.host_arcs)), key=lambda at: -met_share(network.host_arcs[at].how.share)):
        host_arc = network.host_arcs[at]
        host_arcs[host_arc.node, host_arc.how.chance].append(at)
    return host_arcs


def _by_priority(network: PlanNetwork, of: Iterable[int]) -> list[int]:
    return sorted(of, key=lambda at: (not is_must_have(network.wants[at]), network.wants[at].priority))


def _trees(want: WantFact) -> float:
    """How many more trees the heuristic gives a want."""
    return want.number * (PAST_WANT[-1][0] if is_must_have(want) else 1.0) - want.living_already


@dataclass
class _Remaining:
    """Pieces, places and buds still to be had, and what is taken and cut."""

    supply: list[int]
    places: list[int]
    room: dict[str, int]
    piece_arcs: list[int]
    host_arcs: list[int]
    cuts: list[int]


def _remaining(network: PlanNetwork, hold_back: int, start: Sequence[int] | None) -> _Remaining:
    """What these decision variables leave; every stick not cut yet is cut for the most pieces."""
    split, end = len(network.piece_arcs), len(network.piece_arcs) + len(network.host_arcs)
    given = [0] * (end + network.ways) if start is None else [int(number) for number in start]
    supply, cuts = _cut(network, given[end : end + network.ways])
    room = {label: max(0, buds - hold_back) for label, buds in network.buds.items()}
    remaining = _Remaining(supply, [host.places for host in network.hosts], room, given[:split], given[split:end], cuts)
    for piece_arc, number in zip(network.piece_arcs, remaining.piece_arcs, strict=True):
        remaining.supply[piece_arc.piece] -= number
        remaining.room[network.pieces[piece_arc.piece].label] -= number * network.pieces[piece_arc.piece].taken
    for host_arc, number in zip(network.host_arcs, remaining.host_arcs, strict=True):
        remaining.places[host_arc.host] -= number
    return remaining


_HostArcs = dict[tuple[int, float], list[int]]


def _serve(
    network: PlanNetwork, remaining: _Remaining, piece_arcs: Iterable[int], host_arcs: _HostArcs, trees: float
) -> None:
    """Take grafts through these piece arcs, in their order, until so many trees are to be expected."""
    for at in piece_arcs:
        piece_arc = network.piece_arcs[at]
        if piece_arc.chance > 0 and trees > 1e-9:
            more = ceil(trees / piece_arc.chance - 1e-9)
            trees -= piece_arc.chance * _take(network, remaining, at, host_arcs[piece_arc.node, piece_arc.chance], more)


def _spread(network: PlanNetwork, remaining: _Remaining, piece_arcs: Sequence[int], host_arcs: _HostArcs) -> None:
    """Take a graft on each site that the want of these piece arcs lacks, while it lacks any."""
    want = network.wants[network.piece_arcs[piece_arcs[0]].want]
    stands = {network.sites[network.piece_arcs[at].node] or "" for at in piece_arcs if remaining.piece_arcs[at]}
    for at in piece_arcs if new_sites(want) else ():
        piece_arc = network.piece_arcs[at]
        site = network.sites[piece_arc.node] or ""
        if not short_of_sites(want, new_sites(want), stands):
            return
        if (
            piece_arc.chance > 0
            and site not in stands | old_sites(want)
            and _take(network, remaining, at, host_arcs[piece_arc.node, piece_arc.chance], 1)
        ):
            stands.add(site)


def _take(network: PlanNetwork, remaining: _Remaining, at: int, host_arcs: list[int], most: int) -> int:
    """Take up to so many grafts of a piece arc through these host arcs; how many were taken."""
    piece_arc, had = network.piece_arcs[at], 0
    piece = network.pieces[piece_arc.piece]
    for host_arc in host_arcs:
        host = network.host_arcs[host_arc].host
        number = min(
            most - had,
            remaining.supply[piece_arc.piece],
            remaining.places[host],
            remaining.room[piece.label] // piece.taken,
        )
        if number > 0:
            remaining.supply[piece_arc.piece] -= number
            remaining.places[host] -= number
            remaining.room[piece.label] -= number * piece.taken
            remaining.piece_arcs[at] += number
            remaining.host_arcs[host_arc] += number
            had += number
    return had


def _cut(network: PlanNetwork, given: Sequence[int]) -> tuple[list[int], list[int]]:
    """Every stick that is not cut yet cut in the way that gives most pieces."""
    supply, cuts = [0] * len(network.pieces), list(given)
    first = 0
    for stick in network.sticks:
        here = range(first, first + len(stick.ways))
        best = max(here, key=lambda at: sum(count for _, count in stick.ways[at - first]))
        cuts[best] += stick.number - sum(cuts[at] for at in here)
        for at in here:
            for piece, count in stick.ways[at - first]:
                supply[piece] += count * cuts[at]
        first += len(stick.ways)
    return supply, cuts
