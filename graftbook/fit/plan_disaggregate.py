"""Disaggregation: a solution of the aggregated problem as decision variables of the problem itself.

Whatever pieces and hosts stand behind an aggregated pair may go together with the very chance of that pair, and each
aggregated way of cutting is the image of one of the problem: so every aggregated plan has a plan with the same sites,
chances and trees.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from graftbook.fit.plan_aggregate import aggregate_kinds, aggregate_piece
from graftbook.fit.plan_assignment import assign
from graftbook.fit.plan_facts import Pair, PieceFact, PlanProblem, StickFact
from graftbook.fit.plan_lexicographic import PlanSolution
from graftbook.fit.plan_network import PlanNetwork, Ways, class_of
from graftbook.fit.plan_objectives import weakness


def disaggregate(
    problem: PlanProblem, network: PlanNetwork, aggregated_network: PlanNetwork, aggregated: PlanSolution
) -> tuple[int, ...]:
    """The decision variables of `network` (piece arcs, host arcs, ways of cutting) for an aggregated solution.

    LookupError where the solution is none of this problem.
    """
    pairs, _ = assign(aggregated_network, aggregated)
    by_stick: dict[tuple[str, int], list[Pair]] = defaultdict(list)
    for pair in pairs:
        by_stick[pair.stick, pair.stick_number].append(pair)
    found = _Disaggregation(network)
    named = aggregate_kinds(problem)
    sticks = {stick.key: stick for stick in problem.sticks}
    for (key, _), some in by_stick.items():
        cut = _pieces(sticks[key], some, named, problem.hold_back > 0)
        found.add(sticks[key], list(cut))
    return (*found.piece_arcs, *found.host_arcs, *found.cuts)


def _pieces(
    stick: StickFact, pairs: Sequence[Pair], named: dict[str, str], held: bool
) -> Iterator[tuple[Pair, PieceFact]]:
    """The problem's piece behind each pair of one stick, all of one way of cutting."""
    asked = Counter(pair.cut for pair in pairs)
    for way in stick.ways:
        images: dict[PieceFact, list[PieceFact]] = defaultdict(list)
        for piece in way:
            if piece.kind in named:
                images[aggregate_piece(piece, named, held)].append(piece)
        if all(len(images.get(image, ())) >= number for image, number in asked.items()):
            for pair in pairs:
                yield pair, images[pair.cut].pop()
            return
    raise LookupError(f"no way of {stick.key} gives {asked}")


class _Disaggregation:
    """The decision variables as they are gathered."""

    def __init__(self, network: PlanNetwork) -> None:
        self.network = network
        arcs, both, end = network.ends
        self.piece_arcs, self.host_arcs, self.cuts = [0] * arcs, [0] * (both - arcs), [0] * (end - both)
        self._piece = {piece: at for at, piece in enumerate(network.pieces)}
        self._want = {want.key: at for at, want in enumerate(network.wants)}
        self._host = {member.key: at for at, host in enumerate(network.hosts) for member in host.members}
        self._piece_arc: dict[tuple[int, int, float], list[int]] = defaultdict(list)
        for at, piece_arc in enumerate(network.piece_arcs):
            self._piece_arc[piece_arc.piece, piece_arc.want, piece_arc.chance].append(at)
        self._host_arc: dict[tuple[int, int, float], int] = {}
        for at in sorted(range(len(network.host_arcs)), key=lambda at: -weakness(network.host_arcs[at].how)):
            host_arc = network.host_arcs[at]
            self._host_arc[host_arc.node, host_arc.host, host_arc.how.chance] = at
        self._ways: dict[str, tuple[int, Ways]] = {}
        first = 0
        for stick in network.sticks:
            self._ways.update((member.key, (first, stick.ways)) for member in stick.members)
            first += len(stick.ways)

    def add(self, stick: StickFact, cut: Sequence[tuple[Pair, PieceFact]]) -> None:
        """One stick cut, and its grafts."""
        places = [self._piece[class_of(stick, piece)] for _, piece in cut]
        first, ways = self._ways[stick.key]
        used = Counter(places)
        held = (dict(way) for way in ways)
        at = next(at for at, way in enumerate(held) if all(way.get(place, 0) >= used[place] for place in used))
        self.cuts[first + at] += 1
        for (pair, _), place in zip(cut, places, strict=True):
            host = self._host[pair.host]
            for piece_arc in self._piece_arc[place, self._want[pair.want], pair.chance]:
                host_arc = self._host_arc.get((self.network.piece_arcs[piece_arc].node, host, pair.chance))
                if host_arc is not None:
                    self.piece_arcs[piece_arc] += 1
                    self.host_arcs[host_arc] += 1
                    break
            else:
                raise LookupError(f"{pair.stick} has no arc to {pair.host}")
