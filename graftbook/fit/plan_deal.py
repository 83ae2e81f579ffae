"""A plan over kinds dealt out to single sticks and places: as few sticks cut as the numbers allow, thin wood on thin stocks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from graftbook.fit.plan_facts import HostFact, Pair, PieceFact, Possible, StickCut, StickFact, WayFact
from graftbook.fit.plan_groups import Groups, class_of
from graftbook.fit.plan_settle import Settled


@dataclass(frozen=True)
class _Scion:
    stick: StickFact
    stick_number: int
    piece: int
    cut: PieceFact


def deal(groups: Groups, settled: Settled) -> tuple[tuple[Pair, ...], tuple[StickCut, ...]]:
    """Every graft with its stick, piece, host and place, and how each stick is cut; reasons are left to be added."""
    scions = _scions(groups, settled)
    through: dict[tuple[int, float], list[tuple[int, _Scion]]] = defaultdict(list)
    for use, number in zip(groups.uses, settled.uses, strict=True):
        for _ in range(number):
            through[use.node, use.chance].append((use.want, scions[use.piece].pop(0)))
    on: dict[int, list[_Met]] = defaultdict(list)
    for at in sorted(range(len(groups.lanes)), key=lambda at: groups.lanes[at].host):
        lane = groups.lanes[at]
        some = through[lane.node, lane.how.chance]
        for _ in range(settled.lanes[at]):
            on[lane.host].append(_Met(*some.pop(), lane.how))
    pairs = [pair for host, some in on.items() for pair in _pairs(groups, host, some)]
    pairs.sort(key=_order(groups))
    return tuple(pairs), tuple(_cuts(groups, pairs))


@dataclass(frozen=True)
class _Met:
    want: int
    scion: _Scion
    how: Possible


def _thick(host: HostFact) -> float:
    return 0.0 if host.diameter_mm is None else host.diameter_mm


def _thin(scion: _Scion) -> float:
    return 0.0 if scion.cut.butt_mm is None else scion.cut.butt_mm


def _scions(groups: Groups, settled: Settled) -> dict[int, list[_Scion]]:
    """The pieces of each class that are cut, thinnest first."""
    wanted = [0] * len(groups.pieces)
    for use, number in zip(groups.uses, settled.uses, strict=True):
        wanted[use.piece] += number
    place_of = {piece: at for at, piece in enumerate(groups.pieces)}
    found: dict[int, list[_Scion]] = defaultdict(list)
    at = 0
    for stick_class in groups.sticks:
        sticks = ((stick, number) for stick in stick_class.members for number in range(1, stick.many + 1))
        for way in stick_class.ways:
            for _ in range(settled.cuts[at]):
                if any(wanted[piece] for piece, _ in way):
                    stick, number = next(sticks)
                    for piece, cut in enumerate(_way(stick, dict(way), place_of), 1):
                        place = place_of.get(class_of(stick, cut))
                        if place is not None and wanted[place]:
                            wanted[place] -= 1
                            found[place].append(_Scion(stick, number, piece, cut))
            at += 1
    for some in found.values():
        some.sort(key=_thin)
    return found


def _way(stick: StickFact, counts: dict[int, int], place_of: dict[object, int]) -> WayFact:
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


def _pairs(groups: Groups, host: int, some: list[_Met]) -> Iterator[Pair]:
    """Each member's first place is given before any second, and thin pieces go on thin members."""
    every = ((at, each) for each in groups.hosts[host].members for at in range(1, each.positions + 1))
    first = sorted(every, key=lambda place: place[0])[: len(some)]
    places = sorted(first, key=lambda place: _thick(place[1]))
    some = sorted(some, key=lambda met: _thin(met.scion))
    for met, (position, each) in zip(some, places, strict=True):
        scion, how = met.scion, met.how
        yield Pair(
            scion.stick.key, scion.stick_number, scion.piece, scion.cut, each.key, position, each.site, how.method,
            how.chance, how.basis, how.share, groups.wants[met.want].key,
        )  # fmt: skip


def _order(groups: Groups) -> Callable[[Pair], tuple[int, int, int, int]]:
    place = {want.key: at for at, want in enumerate(groups.wants)}
    sticks = {stick.key: at for at, stick in enumerate(s for c in groups.sticks for s in c.members)}
    return lambda pair: (place[pair.want], sticks[pair.stick], pair.stick_number, pair.piece)


def _cuts(groups: Groups, pairs: list[Pair]) -> Iterator[StickCut]:
    facts = {stick.key: stick for each in groups.sticks for stick in each.members}
    cut: dict[tuple[str, int], list[Pair]] = defaultdict(list)
    for pair in pairs:
        cut[pair.stick, pair.stick_number].append(pair)
    for (key, number), some in cut.items():
        pieces = tuple(pair.cut for pair in sorted(some, key=lambda pair: pair.piece))
        left = facts[key].buds - sum(piece.buds + piece.lost for piece in pieces)
        yield StickCut(key, number, pieces, left)
