"""Aggregation of a large problem: kinds that differ in nothing that bears on chances and sites are merged.

The objectives up to the value depend only on where a piece may go and with what chance at best; joints, wear and the name of
the method come after. So the aggregated problem has the same optimum of those objectives, and is many times smaller.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from graftbook.fit.plan_facts import PieceFact, PlanProblem, Possible, StickFact, WayFact


def aggregate(problem: PlanProblem) -> PlanProblem:
    """The same problem with only as many kinds as differ in chances and sites, without joints, methods and wear."""
    hosts, best_chances = _aggregated(problem)
    pieces = _named("p", best_chances, 0)
    possible = {(pieces[piece], host): chance for (piece, host), chance in best_chances.items()}
    clones = any(want.clones for want in problem.wants)
    return replace(
        problem,
        sticks=tuple(_sticks(problem, pieces)),
        hosts=tuple(
            replace(host, kind=hosts.get(host.kind, ""), clone=host.clone if clones else "", grade="")
            for host in problem.hosts
        ),
        possible=tuple(Possible(piece, host, "", chance) for (piece, host), chance in possible.items()),
    )


def aggregate_kinds(problem: PlanProblem) -> dict[str, str]:
    """The aggregated kind of each kind of piece that may go anywhere."""
    return _named("p", _aggregated(problem)[1], 0)


def aggregate_piece(piece: PieceFact, pieces: dict[str, str], held: bool) -> PieceFact:
    """A usable piece by its aggregated kind (`pieces`); `held` keeps the buds it takes, which count only where buds are held
    back. KeyError for a piece that may go nowhere."""
    return PieceFact(pieces[piece.kind], piece.buds + piece.lost if held else 1)


def _aggregated(problem: PlanProblem) -> tuple[dict[str, str], dict[tuple[str, str], float]]:
    """Aggregated kinds of host, and the best chance of each kind of piece on each of them."""
    best: dict[tuple[str, str], float] = {}
    there = {host.kind for host in problem.hosts if not host.barred}
    for each in problem.possible:
        if each.host in there:
            key = each.piece, each.host
            best[key] = max(best.get(key, 0.0), each.chance)
    hosts = _named("h", best, 1)
    return hosts, {(piece, hosts[host]): chance for (piece, host), chance in best.items()}


def _named(letter: str, best: dict[tuple[str, str], float], side: int) -> dict[str, str]:
    """An aggregated kind for each kind of one side, shared by all that meet the other side with the same chances."""
    met: dict[str, list[tuple[str, float]]] = defaultdict(list)
    for key, chance in best.items():
        met[key[side]].append((key[1 - side], chance))
    numbers: dict[frozenset[tuple[str, float]], int] = {}
    return {kind: f"{letter}{numbers.setdefault(frozenset(some), len(numbers))}" for kind, some in met.items()}


def _sticks(problem: PlanProblem, pieces: dict[str, str]) -> list[StickFact]:
    held = problem.hold_back > 0
    known: dict[int, tuple[WayFact, ...]] = {}
    found = []
    for stick in problem.sticks:
        if id(stick.ways) not in known:
            known[id(stick.ways)] = tuple(dict.fromkeys(_way(way, pieces, held) for way in stick.ways))
        found.append(replace(stick, ways=known[id(stick.ways)], wear=0.0))
    return found


def _way(way: WayFact, pieces: dict[str, str], held: bool) -> WayFact:
    """The usable pieces of a way by their new names, in one order."""
    some = [aggregate_piece(piece, pieces, held) for piece in way if piece.kind in pieces]
    return tuple(sorted(some, key=lambda piece: (piece.kind, piece.buds)))
