"""A plan as it is made by hand: dearest wants first, each stick cut into as many pieces as it gives, best chance first.

It stands in when the solver finds nothing in its time, and is the yardstick that the solver is measured against.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_value import PAST_WANT, is_must, met_share


@dataclass(frozen=True)
class ByHand:
    """How many grafts of each edge and how many sticks cut in each way, ways in the order of the stick classes."""

    grafts: tuple[int, ...]
    cuts: tuple[int, ...]


def greedy(groups: Groups, hold_back: int = 0) -> ByHand:
    """Numbers of grafts that keep every rule but the spread over sites, found without looking back."""
    supply, cuts = _cut(groups)
    places = [host.places for host in groups.hosts]
    room = {label: max(0, buds - hold_back) if hold_back else buds for label, buds in groups.buds.items()}
    grafts = [0] * len(groups.edges)
    of: dict[int, list[int]] = defaultdict(list)
    for at, edge in enumerate(groups.edges):
        of[edge.want].append(at)
    for want in sorted(of, key=lambda at: (not is_must(groups.wants[at]), groups.wants[at].priority)):
        wanted = groups.wants[want]
        expected = float(wanted.living_already)
        most = wanted.number * (PAST_WANT[-1][0] if is_must(wanted) else 1.0)
        for at in sorted(of[want], key=lambda at: _order(groups, at)):
            edge = groups.edges[at]
            piece = groups.pieces[edge.piece]
            while (
                expected < most
                and edge.how.chance > 0
                and supply[edge.piece]
                and places[edge.host]
                and room[piece.label] >= piece.taken
            ):
                supply[edge.piece] -= 1
                places[edge.host] -= 1
                room[piece.label] -= piece.taken
                grafts[at] += 1
                expected += edge.how.chance
    return ByHand(tuple(grafts), cuts)


def _order(groups: Groups, at: int) -> tuple[float, float, float]:
    edge = groups.edges[at]
    return -edge.how.chance, -met_share(edge.how.share), -groups.pieces[edge.piece].wear


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
