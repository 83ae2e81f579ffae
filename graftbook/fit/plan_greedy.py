"""A greedy heuristic: wants by priority, each stick cut into as many pieces as it gives, best chance first.

It is the first incumbent, so no plan that is handed back is worse, and the yardstick that the solver is measured against. In
the same manner a solution that serves the first objectives alone is completed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import ceil

from graftbook.fit.plan_facts import PlanProblem
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import (
    is_must_have,
    living_chance,
    new_sites,
    old_sites,
    room,
    short_of_sites,
    weakness,
)


def greedy(network: PlanNetwork, problem: PlanProblem) -> tuple[int, ...]:
    """The decision variables of a plan that is feasible but for the spread over sites, found without looking back."""
    plan = _Heuristic(network, problem, None)
    for want in plan.by_priority:
        plan.make_sure(want)
    for want in plan.by_priority:
        plan.serve(want, room(network.wants[want]) - plan.expected(want))
    return plan.vector


def completed(network: PlanNetwork, problem: PlanProblem, start: Sequence[int] | None = None) -> tuple[int, ...]:
    """The decision variables of a plan with grafts added from the wood and the places it leaves, first on sites that a want
    still lacks.

    `start` holds the decision variables to start from; None starts from no graft. A want that cannot stand on as many sites
    as asked gets no grafts beyond those for its sites, unless it is a must-have.
    """
    plan = _Heuristic(network, problem, start)
    for want in plan.by_priority:
        plan.spread(want)
    for want in plan.by_priority:
        plan.make_sure(want)
    for want in plan.by_priority:
        wanted = network.wants[want]
        if is_must_have(wanted) or not short_of_sites(wanted, new_sites(wanted), plan.stands(want)):
            plan.serve(want, room(wanted) - plan.expected(want))
    return plan.vector


class _Heuristic:
    """Pieces, places and buds still to be had, what is taken and cut, and where each want and node may take more."""

    def __init__(self, network: PlanNetwork, problem: PlanProblem, start: Sequence[int] | None) -> None:
        """What the decision variables `start` leave; every stick not cut yet is cut for the most pieces."""
        self.network, self.sure = network, problem.sure
        arcs, both, end = network.ends
        given = [0] * end if start is None else [int(number) for number in start]
        self.piece_arcs, self.host_arcs, self.cuts = given[:arcs], given[arcs:both], given[both:end]
        self.supply = self._cut()
        self.places = [host.places for host in network.hosts]
        self.room = {label: max(0, buds - problem.hold_back) for label, buds in network.buds.items()}
        self.of: dict[int, list[int]] = defaultdict(list)
        for at, piece_arc in enumerate(network.piece_arcs):
            self.of[piece_arc.want].append(at)
            self._use_piece(at, self.piece_arcs[at])
        for some in self.of.values():
            some.sort(
                key=lambda at: (-network.piece_arcs[at].chance, -network.pieces[network.piece_arcs[at].piece].wear)
            )
        for host_arc, number in zip(network.host_arcs, self.host_arcs, strict=True):
            self.places[host_arc.host] -= number
        self.through: dict[tuple[int, float], list[int]] = defaultdict(list)
        for at in sorted(range(len(network.host_arcs)), key=lambda at: weakness(network.host_arcs[at].how)):
            self.through[network.host_arcs[at].node, network.host_arcs[at].how.chance].append(at)
        self.by_priority = sorted(
            self.of, key=lambda want: (not is_must_have(network.wants[want]), network.wants[want].priority)
        )

    @property
    def vector(self) -> tuple[int, ...]:
        """The integer decision variables of the MILP: grafts through each piece arc and host arc, sticks cut in each way."""
        return (*self.piece_arcs, *self.host_arcs, *self.cuts)

    def expected(self, want: int) -> float:
        """How many trees are to be expected of the grafts of a want."""
        return sum(self.network.piece_arcs[at].chance * self.piece_arcs[at] for at in self.of[want])

    def stands(self, want: int) -> set[str]:
        """The sites on which grafts of a want stand."""
        return {self._site(at) for at in self.of[want] if self.piece_arcs[at]}

    def make_sure(self, want: int) -> None:
        """Take grafts of a must-have, best chance first and twice as many each time, until it is as sure as was asked for."""
        wanted, step = self.network.wants[want], 1
        for at in self.of[want] if is_must_have(wanted) else ():
            while self.chance(want) < self.sure and self.network.piece_arcs[at].chance > 0:
                had = self._take(at, step)
                if had < step:
                    break
                step = min(step * 2, max(1, wanted.living // 4))

    def chance(self, want: int) -> float:
        """The chance that a must-have is had by the grafts taken."""
        made = [
            (self._site(at), self.network.piece_arcs[at].chance)
            for at in self.of[want]
            for _ in range(self.piece_arcs[at])
        ]
        return living_chance(self.network.wants[want], made, self.network.sites_asked[want])

    def serve(self, want: int, trees: float) -> None:
        """Take grafts through the piece arcs of a want, best chance first, until so many trees are to be expected."""
        for at in self.of[want]:
            chance = self.network.piece_arcs[at].chance
            if chance > 0 and trees > 1e-9:
                trees -= chance * self._take(at, ceil(trees / chance - 1e-9))

    def spread(self, want: int) -> None:
        """Take a graft on each site that a want lacks, while it lacks any."""
        wanted, stands = self.network.wants[want], self.stands(want)
        for at in self.of[want] if new_sites(wanted) else ():
            if not short_of_sites(wanted, new_sites(wanted), stands):
                return
            new = self._site(at) not in stands | old_sites(wanted)
            if new and self.network.piece_arcs[at].chance > 0 and self._take(at, 1):
                stands.add(self._site(at))

    def _site(self, at: int) -> str:
        return self.network.site(self.network.piece_arcs[at])

    def _use_piece(self, at: int, number: int) -> None:
        place = self.network.piece_arcs[at].piece
        self.supply[place] -= number
        self.room[self.network.pieces[place].label] -= number * self.network.pieces[place].taken

    def _take(self, at: int, most: int) -> int:
        """Take up to so many grafts of a piece arc, best joint first; how many were taken."""
        piece_arc, had = self.network.piece_arcs[at], 0
        piece = self.network.pieces[piece_arc.piece]
        for host_arc in self.through[piece_arc.node, piece_arc.chance]:
            host = self.network.host_arcs[host_arc].host
            left = self.supply[piece_arc.piece], self.places[host], self.room[piece.label] // piece.taken
            number = min(most - had, *left)
            if number > 0:
                self._use_piece(at, number)
                self.places[host] -= number
                self.piece_arcs[at] += number
                self.host_arcs[host_arc] += number
                had += number
        return had

    def _cut(self) -> list[int]:
        """Every stick that is not cut yet cut in the way that gives most pieces; how many pieces of each class there are."""
        supply, first = [0] * len(self.network.pieces), 0
        for stick in self.network.sticks:
            here = range(first, first + len(stick.ways))
            best = max(here, key=lambda at: sum(count for _, count in stick.ways[at - first]))
            self.cuts[best] += stick.number - sum(self.cuts[at] for at in here)
            for at in here:
                for piece, count in stick.ways[at - first]:
                    supply[piece] += count * self.cuts[at]
            first += len(stick.ways)
        return supply
