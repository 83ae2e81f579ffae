"""Assignment of a plan over classes to single sticks and places: as few sticks cut as can be, thin wood on thin stocks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from graftbook.fit.plan_facts import Pair, PieceFact, Possible, StickCut, StickFact, WayFact
from graftbook.fit.plan_lexicographic import PlanSolution
from graftbook.fit.plan_network import PieceClass, PlanNetwork, class_of


@dataclass(frozen=True)
class _Scion:
    stick: StickFact
    stick_number: int
    piece: int
    cut: PieceFact

    @property
    def butt_mm(self) -> float:
        """Its thickness, 0 where that is not known."""
        return self.cut.butt_mm or 0.0


# A want by its index, the scion for it, and how it goes on its host.
_Match = tuple[int, _Scion, Possible]


def assign(network: PlanNetwork, solution: PlanSolution) -> tuple[tuple[Pair, ...], tuple[StickCut, ...]]:
    """Every graft with its stick, piece, host and place, and how each stick is cut.

    LookupError where the solution cuts a stick in a way it has not.
    """
    scions = _scions(network, solution)
    through: dict[tuple[int, float], list[tuple[int, _Scion]]] = defaultdict(list)
    for piece_arc, number in zip(network.piece_arcs, solution.piece_arcs, strict=True):
        for _ in range(number):
            through[piece_arc.node, piece_arc.chance].append((piece_arc.want, scions[piece_arc.piece].pop(0)))
    on: dict[int, list[_Match]] = defaultdict(list)
    for at in sorted(range(len(network.host_arcs)), key=lambda at: network.host_arcs[at].host):
        host_arc = network.host_arcs[at]
        some = through[host_arc.node, host_arc.how.chance]
        for _ in range(solution.host_arcs[at]):
            on[host_arc.host].append((*some.pop(), host_arc.how))
    pairs = [pair for host, some in on.items() for pair in _pairs(network, host, some)]
    pairs.sort(key=_order(network))
    return tuple(pairs), tuple(_cuts(network, pairs))


def _scions(network: PlanNetwork, solution: PlanSolution) -> dict[int, list[_Scion]]:
    """The pieces of each class that are cut, thinnest first."""
    wanted = [0] * len(network.pieces)
    for piece_arc, number in zip(network.piece_arcs, solution.piece_arcs, strict=True):
        wanted[piece_arc.piece] += number
    place_of = {piece: at for at, piece in enumerate(network.pieces)}
    found: dict[int, list[_Scion]] = defaultdict(list)
    at = 0
    for stick_class in network.sticks:
        sticks = ((stick, number) for stick in stick_class.members for number in range(1, stick.many + 1))
        for way in stick_class.ways:
            for _ in range(solution.cuts[at]):
                if any(wanted[piece] for piece, _ in way):
                    stick, number = next(sticks)
                    for piece, cut in enumerate(_way(stick, dict(way), place_of), 1):
                        place = place_of.get(class_of(stick, cut))
                        if place is not None and wanted[place]:
                            wanted[place] -= 1
                            found[place].append(_Scion(stick, number, piece, cut))
            at += 1
    for some in found.values():
        some.sort(key=lambda scion: scion.butt_mm)
    return found


def _way(stick: StickFact, counts: dict[int, int], place_of: dict[PieceClass, int]) -> WayFact:
    """The stick's own way that gives these counts."""
    for way in stick.ways:
        held: dict[int, int] = defaultdict(int)
        for piece in way:
            place = place_of.get(class_of(stick, piece))
            if place is not None:
                held[place] += 1
        if held == counts:
            return way
    raise LookupError(f"no way of {stick.key} gives {counts}")


def _pairs(network: PlanNetwork, host: int, some: list[_Match]) -> Iterator[Pair]:
    """Each member's first place is given before any second, and thin pieces go on thin members."""
    every = ((at, each) for each in network.hosts[host].members for at in range(1, each.positions + 1))
    first = sorted(every, key=lambda place: place[0])[: len(some)]
    places = sorted(first, key=lambda place: place[1].diameter_mm or 0.0)
    some = sorted(some, key=lambda match: match[1].butt_mm)
    for (want, scion, how), (position, each) in zip(some, places, strict=True):
        cut = scion.stick.key, scion.stick_number, scion.piece, scion.cut
        key = network.wants[want].key
        yield Pair(*cut, each.key, position, each.site, how.method, how.chance, how.share, key)


def _order(network: PlanNetwork) -> Callable[[Pair], tuple[int, int, int, int]]:
    place = {want.key: at for at, want in enumerate(network.wants)}
    sticks = {stick.key: at for at, stick in enumerate(s for c in network.sticks for s in c.members)}
    return lambda pair: (place[pair.want], sticks[pair.stick], pair.stick_number, pair.piece)


def _cuts(network: PlanNetwork, pairs: list[Pair]) -> Iterator[StickCut]:
    facts = {stick.key: stick for each in network.sticks for stick in each.members}
    cut: dict[tuple[str, int], list[Pair]] = defaultdict(list)
    for pair in pairs:
        cut[pair.stick, pair.stick_number].append(pair)
    for (key, number), some in cut.items():
        pieces = tuple(pair.cut for pair in sorted(some, key=lambda pair: pair.piece))
        left = facts[key].buds - sum(piece.buds + piece.lost for piece in pieces)
        yield StickCut(key, number, pieces, left)
