"""Things alike put together, so that a plan for thousands is settled over kinds and dealt out afterwards.

Sticks are alike when they can be cut in the same ways into pieces of the same kinds and wear alike; hosts when gates,
site, clone and grade are the same. Only what is wanted, not barred, and may go together by some method is built.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from graftbook.fit.plan_facts import HostFact, PieceFact, Possible, Question, StickFact, WantFact
from graftbook.fit.plan_value import met_share


@dataclass(frozen=True)
class PieceClass:
    """Pieces that may stand for one another; `taken` buds each takes from its stick, those lost to the cut counted in."""

    kind: str
    label: str
    wear: float
    taken: int


@dataclass(frozen=True)
class StickClass:
    """Sticks alike: each way as how many pieces of which class (place, number), and the facts that stand behind them."""

    ways: tuple[tuple[tuple[int, int], ...], ...]
    members: tuple[StickFact, ...]

    @property
    def number(self) -> int:
        """How many sticks these are."""
        return sum(stick.many for stick in self.members)


@dataclass(frozen=True)
class HostClass:
    """Hosts alike."""

    kind: str
    site: str
    clone: str
    grade: str
    members: tuple[HostFact, ...]

    @property
    def places(self) -> int:
        """Free places on all of them."""
        return sum(host.positions for host in self.members)


@dataclass(frozen=True)
class Edge:
    """A piece class on a host class for a want, by one possible method; all but `how` are places in the lists of Groups."""

    piece: int
    host: int
    want: int
    how: Possible


@dataclass(frozen=True)
class Groups:
    """Everything a plan is settled over. `buds` counts the sound buds of each wanted label that may be used."""

    pieces: tuple[PieceClass, ...]
    sticks: tuple[StickClass, ...]
    hosts: tuple[HostClass, ...]
    wants: tuple[WantFact, ...]
    edges: tuple[Edge, ...]
    buds: dict[str, int]


def class_of(stick: StickFact, piece: PieceFact) -> PieceClass:
    """The class a stick's piece belongs to."""
    return PieceClass(piece.kind, stick.label, stick.wear, piece.buds + piece.lost)


def group(question: Question) -> Groups:
    """What the question comes to once like is put with like and what cannot meet is left out."""
    labels = {want.label for want in question.wants}
    sticks = [stick for stick in question.sticks if stick.label in labels and not stick.barred and stick.many > 0]
    hosts = [host for host in question.hosts if not host.barred and host.positions > 0]
    best = _best(question.possible, {host.kind for host in hosts})
    usable = {piece for piece, _ in best}
    places: dict[PieceClass, int] = {}
    stick_classes = _stick_classes(sticks, usable, places)
    host_classes = _host_classes(hosts)
    edges = tuple(_edges(tuple(places), host_classes, question.wants, best))
    buds: dict[str, int] = defaultdict(int)
    for stick in sticks:
        buds[stick.label] += stick.buds * stick.many
    return Groups(tuple(places), stick_classes, host_classes, question.wants, edges, dict(buds))


def _best(possible: Iterable[Possible], host_kinds: set[str]) -> dict[tuple[str, str], list[Possible]]:
    """The methods of each pair of kinds that no other beats in both chance and share."""
    found: dict[tuple[str, str], list[Possible]] = defaultdict(list)
    for each in possible:
        if each.host in host_kinds:
            found[each.piece, each.host].append(each)
    for key, some in found.items():
        if len(some) > 1:
            some.sort(key=lambda each: (-each.chance, -met_share(each.share)))
            kept = some[:1]
            for each in some[1:]:
                if met_share(each.share) > met_share(kept[-1].share):
                    kept.append(each)
            found[key] = kept
    return found


def _stick_classes(
    sticks: Sequence[StickFact], usable: set[str], places: dict[PieceClass, int]
) -> tuple[StickClass, ...]:
    alike: dict[tuple[tuple[tuple[int, int], ...], ...], list[StickFact]] = defaultdict(list)
    seen: dict[tuple[object, ...], tuple[tuple[tuple[int, int], ...], ...]] = {}
    for stick in sticks:
        key = (stick.ways, stick.label, stick.wear)
        if key not in seen:
            seen[key] = _ways(stick, usable, places)
        if seen[key]:
            alike[seen[key]].append(stick)
    return tuple(StickClass(ways, tuple(members)) for ways, members in alike.items())


def _ways(stick: StickFact, usable: set[str], places: dict[PieceClass, int]) -> tuple[tuple[tuple[int, int], ...], ...]:
    """The ways that give more of something than every other, as counts of classes."""
    counted = set()
    for way in stick.ways:
        counts: dict[int, int] = defaultdict(int)
        for piece in way:
            if piece.kind in usable:
                counts[places.setdefault(class_of(stick, piece), len(places))] += 1
        if counts:
            counted.add(tuple(sorted(counts.items())))
    ways = sorted(counted)
    return tuple(way for way in ways if not any(other != way and _covers(other, way) for other in ways))


def _covers(more: Iterable[tuple[int, int]], less: Iterable[tuple[int, int]]) -> bool:
    held = dict(more)
    return all(held.get(piece, 0) >= number for piece, number in less)


def _host_classes(hosts: Iterable[HostFact]) -> tuple[HostClass, ...]:
    alike: dict[tuple[str, str, str, str], list[HostFact]] = defaultdict(list)
    for host in hosts:
        alike[host.kind, host.site, host.clone, host.grade].append(host)
    return tuple(HostClass(*key, tuple(members)) for key, members in alike.items())


def _edges(
    pieces: Sequence[PieceClass],
    hosts: Sequence[HostClass],
    wants: Sequence[WantFact],
    best: dict[tuple[str, str], list[Possible]],
) -> Iterable[Edge]:
    by_label: dict[str, list[int]] = defaultdict(list)
    for at, want in enumerate(wants):
        by_label[want.label].append(at)
    of_kind: dict[str, list[int]] = defaultdict(list)
    for at, host in enumerate(hosts):
        of_kind[host.kind].append(at)
    reach: dict[str, list[tuple[int, Possible]]] = defaultdict(list)
    for (piece, kind), some in best.items():
        reach[piece] += [(at, how) for at in of_kind[kind] for how in some]
    for row, piece in enumerate(pieces):
        for want in by_label[piece.label]:
            clones = wants[want].clones
            for at, how in reach[piece.kind]:
                if not clones or hosts[at].clone in clones:
                    yield Edge(row, at, want, how)
