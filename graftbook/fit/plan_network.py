"""The flow network of a plan: classes of like sticks, pieces and hosts, with nodes and arcs between them.

Sticks are alike when they can be cut in the same ways into pieces of the same kinds and wear alike; hosts when the same
pieces may go on them in the same way, on one site, and on one clone where any is asked for. Only what is wanted, not
barred, and may go together by some method is built. A plan is optimised over classes and assigned to single things after.

Which hosts a piece may go on, how, and with what chance depends on its size and kind and seldom on its cultivar. So all
pieces that have the very same choice of hosts share a node. A piece arc leads a class of pieces to a node, for a want and
with a chance; a host arc leads from the node to a class of hosts, by a method with that chance; flow is conserved for each
node and chance. A want that asks for several sites uses nodes of one site each. The model stays exact, and a hundred
cultivars on a hundred classes of stocks need no table of the one by the other.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from graftbook.fit.plan_facts import HostFact, PieceFact, PlanProblem, Possible, StickFact, WantFact
from graftbook.fit.plan_objectives import is_must_have, new_sites, old_sites, weakness


@dataclass(frozen=True)
class PieceClass:
    """Pieces of so many buds that may stand for one another; `taken` buds each takes from its stick, those lost to the cut
    counted in."""

    kind: str
    label: str
    wear: float
    taken: int
    buds: int


Ways = tuple[tuple[tuple[int, int], ...], ...]


@dataclass(frozen=True)
class StickClass:
    """Sticks alike: each way as how many pieces of which class (place, number), and the facts that stand behind them."""

    ways: Ways
    members: tuple[StickFact, ...]

    @property
    def number(self) -> int:
        """How many sticks these are."""
        return sum(stick.many for stick in self.members)


@dataclass(frozen=True)
class HostClass:
    """Hosts alike. `clone` is empty where no want asks for one."""

    kind: str
    site: str
    clone: str
    members: tuple[HostFact, ...]

    @property
    def places(self) -> int:
        """Free places on all of them."""
        return sum(host.positions for host in self.members)


@dataclass(frozen=True)
class PieceArc:
    """Pieces of a class that go through a node for a want, with a chance; all but `chance` are places in lists of Groups."""

    piece: int
    want: int
    node: int
    chance: float


@dataclass(frozen=True)
class HostArc:
    """From a node to a class of hosts (by index) by a possible method."""

    node: int
    host: int
    how: Possible


@dataclass(frozen=True)
class PlanNetwork:
    """Everything a plan is optimised over. `sites` says for each node on which site alone its hosts stand, None for any;
    `buds` counts the sound buds of each wanted label that may be used."""

    pieces: tuple[PieceClass, ...]
    sticks: tuple[StickClass, ...]
    hosts: tuple[HostClass, ...]
    wants: tuple[WantFact, ...]
    sites: tuple[str | None, ...]
    piece_arcs: tuple[PieceArc, ...]
    host_arcs: tuple[HostArc, ...]
    buds: dict[str, int]

    @property
    def ends(self) -> tuple[int, int, int]:
        """Where the piece arcs, the host arcs and the ways of cutting, stick by stick, end among the decision variables."""
        arcs = len(self.piece_arcs)
        both = arcs + len(self.host_arcs)
        return arcs, both, both + sum(len(stick.ways) for stick in self.sticks)

    @cached_property
    def sites_asked(self) -> tuple[int, ...]:
        """On how many new sites each want must have one that lives: those a must-have asks for, as far as it can reach them."""
        able: list[set[str]] = [set() for _ in self.wants]
        for arc in self.piece_arcs:
            able[arc.want].add(self.sites[arc.node] or "")
        return tuple(
            min(new_sites(want), len(sites - old_sites(want))) if is_must_have(want) else 0
            for want, sites in zip(self.wants, able, strict=True)
        )

    def site(self, arc: PieceArc) -> str:
        """The site of a piece arc, '' where its want may stand on any."""
        return self.sites[arc.node] or ""


def class_of(stick: StickFact, piece: PieceFact) -> PieceClass:
    """The class a stick's piece belongs to."""
    return PieceClass(piece.kind, stick.label, stick.wear, piece.buds + piece.lost, piece.buds)


def build_network(problem: PlanProblem) -> PlanNetwork:
    """The network of a problem that `plan_check.check` passed; without host arcs where nothing can be grafted."""
    labels = {want.label for want in problem.wants}
    sticks = [stick for stick in problem.sticks if stick.label in labels and not stick.barred and stick.many > 0]
    hosts = problem.free_hosts
    best = _best(problem.possible, {host.kind for host in hosts})
    usable = {piece for piece, _ in best}
    places: dict[PieceClass, int] = {}
    stick_classes = _stick_classes(sticks, usable, places)
    clones = any(want.clones for want in problem.wants)
    host_classes = _host_classes(hosts, _equivalent_hosts(best), clones)
    sites, piece_arcs, host_arcs = _arcs(tuple(places), host_classes, problem.wants, best)
    buds: dict[str, int] = defaultdict(int)
    for stick in sticks:
        buds[stick.label] += stick.buds * stick.many
    classes = tuple(places), stick_classes, host_classes
    return PlanNetwork(*classes, problem.wants, sites, piece_arcs, host_arcs, dict(buds))


def _best(possible: Iterable[Possible], host_kinds: set[str]) -> dict[tuple[str, str], list[Possible]]:
    """The methods of each pair of kinds that no other dominates in chance and strength (the Pareto front)."""
    found: dict[tuple[str, str], list[Possible]] = defaultdict(list)
    for each in possible:
        if each.host in host_kinds:
            found[each.piece, each.host].append(each)
    for key, some in found.items():
        if len(some) > 1:
            some.sort(key=lambda each: (-each.chance, weakness(each)))
            kept = some[:1]
            for each in some[1:]:
                if weakness(each) < weakness(kept[-1]):
                    kept.append(each)
            found[key] = kept
    return found


def _stick_classes(
    sticks: Sequence[StickFact], usable: set[str], places: dict[PieceClass, int]
) -> tuple[StickClass, ...]:
    alike: dict[Ways, list[StickFact]] = defaultdict(list)
    seen: dict[tuple[object, ...], Ways] = {}
    for stick in sticks:
        key = (id(stick.ways), stick.label, stick.wear)
        if key not in seen:
            seen[key] = _ways(stick, usable, places)
        if seen[key]:
            alike[seen[key]].append(stick)
    return tuple(StickClass(ways, tuple(members)) for ways, members in alike.items())


def _ways(stick: StickFact, usable: set[str], places: dict[PieceClass, int]) -> Ways:
    """The ways of cutting that no other dominates, as counts of classes."""
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


def _equivalent_hosts(best: dict[tuple[str, str], list[Possible]]) -> dict[str, str]:
    """For each kind of host the first that takes the very same pieces in the same way."""
    taken: dict[str, set[object]] = defaultdict(set)
    for (piece, kind), some in best.items():
        taken[kind] |= {(piece, how.method, how.chance, how.share, how.short) for how in some}
    first: dict[frozenset[object], str] = {}
    return {kind: first.setdefault(frozenset(key), kind) for kind, key in taken.items()}


def _host_classes(hosts: Iterable[HostFact], same: dict[str, str], clones: bool) -> tuple[HostClass, ...]:
    alike: dict[tuple[str, str, str], list[HostFact]] = defaultdict(list)
    for host in hosts:
        if host.kind in same:
            alike[same[host.kind], host.site, host.clone if clones else ""].append(host)
    return tuple(HostClass(*key, tuple(members)) for key, members in alike.items())


_HostChoice = tuple[tuple[str, Possible], ...]


def _arcs(
    pieces: Sequence[PieceClass],
    hosts: Sequence[HostClass],
    wants: Sequence[WantFact],
    best: dict[tuple[str, str], list[Possible]],
) -> tuple[tuple[str | None, ...], tuple[PieceArc, ...], tuple[HostArc, ...]]:
    """Nodes with their sites, piece arcs and host arcs."""
    by_label: dict[str, list[int]] = defaultdict(list)
    for at, want in enumerate(wants):
        by_label[want.label].append(at)
    choices = _choices(best)
    nodes = _Nodes(hosts)
    piece_arcs: list[PieceArc] = []
    for row, piece in enumerate(pieces):
        number, choice = choices[piece.kind]
        for at in by_label[piece.label]:
            some_sites: tuple[str | None, ...] = nodes.every_site if new_sites(wants[at]) else (None,)
            for site in some_sites:
                node = nodes.find(number, choice, frozenset(wants[at].clones), site)
                piece_arcs += [PieceArc(row, at, node, chance) for chance in nodes.chances[node]]
    return tuple(nodes.sites), tuple(piece_arcs), tuple(host_arc for some in nodes.host_arcs for host_arc in some)


class _Nodes:
    """Nodes made as they are needed: one for each choice of hosts, clones and site."""

    def __init__(self, hosts: Sequence[HostClass]) -> None:
        self.hosts = hosts
        self.every_site = tuple(dict.fromkeys(host.site for host in hosts))
        self.sites: list[str | None] = []
        self.host_arcs: list[list[HostArc]] = []
        self.chances: list[list[float]] = []
        self._found: dict[tuple[int, frozenset[str], str | None], int] = {}
        self._of_kind: dict[str, list[int]] = defaultdict(list)
        for at, host in enumerate(hosts):
            self._of_kind[host.kind].append(at)

    def find(self, number: int, choice: _HostChoice, clones: frozenset[str], site: str | None) -> int:
        """The node of a numbered choice; no chances where no host of the site would do."""
        key = number, clones, site
        if key not in self._found:
            node = self._found[key] = len(self.sites)
            host_arcs = [
                HostArc(node, at, how)
                for kind, how in choice
                for at in self._of_kind[kind]
                if (not clones or self.hosts[at].clone in clones) and site in (None, self.hosts[at].site)
            ]
            self.sites.append(site)
            self.host_arcs.append(host_arcs)
            self.chances.append(sorted({host_arc.how.chance for host_arc in host_arcs}, reverse=True))
        return self._found[key]


def _choices(best: dict[tuple[str, str], list[Possible]]) -> dict[str, tuple[int, _HostChoice]]:
    """For each kind of piece where it may go, numbered so that kinds with the same choice share a number."""
    choices: dict[str, list[tuple[str, Possible]]] = defaultdict(list)
    for (piece, kind), some in best.items():
        choices[piece] += [(kind, how) for how in some]
    numbers: dict[object, int] = {}
    found = {}
    for piece, choice in choices.items():
        key = frozenset((kind, how.method, how.chance, how.share, how.short) for kind, how in choice)
        found[piece] = (numbers.setdefault(key, len(numbers)), tuple(choice))
    return found
