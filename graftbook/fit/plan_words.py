"""Why each graft of a plan is made, what each unmet want lacks, and what the plan leaves over, in whole sentences."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from graftbook.fit.plan_facts import LeftOver, Pair, PlanProblem, Shortage, StickCut, WantFact, WantResult
from graftbook.fit.plan_lexicographic import PlanSolution
from graftbook.fit.plan_network import HostArc, PieceArc, PlanNetwork
from graftbook.fit.plan_objectives import chance_of, is_must_have, new_sites, old_sites


@dataclass(frozen=True)
class _Free:
    """What the plan leaves: places on each host class, buds of each label that may still be taken, all but hold-back."""

    places: tuple[int, ...]
    buds: dict[str, int]
    piece_arcs: dict[int, tuple[PieceArc, ...]]
    host_arcs: dict[int, tuple[HostArc, ...]]

    def possible_arcs(self, want: int) -> tuple[HostArc, ...]:
        """Every host arc that a want could take, used or not."""
        nodes = dict.fromkeys(piece_arc.node for piece_arc in self.piece_arcs.get(want, ()))
        return tuple(host_arc for node in nodes for host_arc in self.host_arcs[node])


def results(
    problem: PlanProblem, network: PlanNetwork, pairs: Sequence[Pair], solution: PlanSolution | None
) -> tuple[WantResult, ...]:
    """What each want gets, and what it lacks, in the order of the wants; `solution` None where no graft can be made."""
    free = _free(problem, network, solution)
    of: dict[str, list[Pair]] = defaultdict(list)
    for pair in pairs:
        of[pair.want].append(pair)
    found = []
    for at, want in enumerate(network.wants):
        made = of[want.key]
        each = [pair.chance for pair in made]
        chance = chance_of(want, each) if is_must_have(want) else None
        expected = want.living_already + sum(each)
        sites = tuple(sorted({pair.site for pair in made} | old_sites(want)))
        short = tuple(_shortages(problem, network, free, at, chance, expected, sites))
        found.append(
            WantResult(want.key, want.label, len(made), want.living_already, chance, expected, sites, not short, short)
        )
    return tuple(found)


def _free(problem: PlanProblem, network: PlanNetwork, solution: PlanSolution | None) -> _Free:
    places = [host.places for host in network.hosts]
    buds = {label: max(0, count - problem.hold_back) for label, count in network.buds.items()}
    piece_arcs: dict[int, list[PieceArc]] = defaultdict(list)
    host_arcs: dict[int, list[HostArc]] = defaultdict(list)
    for at, piece_arc in enumerate(network.piece_arcs):
        piece_arcs[piece_arc.want].append(piece_arc)
        if solution is not None:
            piece = network.pieces[piece_arc.piece]
            buds[piece.label] -= piece.taken * solution.piece_arcs[at]
    for at, host_arc in enumerate(network.host_arcs):
        host_arcs[host_arc.node].append(host_arc)
        if solution is not None:
            places[host_arc.host] -= solution.host_arcs[at]
    return _Free(
        tuple(places), buds, {want: tuple(some) for want, some in piece_arcs.items()},
        {node: tuple(some) for node, some in host_arcs.items()},
    )  # fmt: skip


def _shortages(
    problem: PlanProblem,
    network: PlanNetwork,
    free: _Free,
    at: int,
    chance: float | None,
    expected: float,
    sites: Sequence[str],
) -> Iterator[Shortage]:
    want = network.wants[at]
    in_doubt = chance is not None and chance < problem.sure - 1e-9
    lacking = want.number - expected
    if lacking > 1e-9 or in_doubt:
        yield _lack(problem, network, free, at, _grafts_more(network, free, at, lacking, in_doubt))
    if in_doubt:
        yield Shortage(
            want.key,
            "chance",
            0,
            f"At least {want.living} of {want.label} must live; the chance of it is {chance:.0%}, and "
            f"{problem.sure:.0%} was asked for.",
        )
    missing = want.sites - len(sites)
    if new_sites(want) and missing > 0:
        able = {network.hosts[host_arc.host].site for host_arc in free.possible_arcs(at)} | old_sites(want)
        there = f"hosts that would do stand on {len(able)}" if able else "no host that would do stands on any"
        words = f"{want.label} is wanted on {want.sites} sites and is on {len(sites)}: {there}."
        yield Shortage(want.key, "sites", missing, words)


def _grafts_more(network: PlanNetwork, free: _Free, at: int, lacking: float, in_doubt: bool) -> int:
    """How many more grafts the want would take at the best chance it could have."""
    best = max((piece_arc.chance for piece_arc in free.piece_arcs.get(at, ())), default=0.0)
    more = ceil(lacking / best - 1e-9) if best > 0 and lacking > 0 else ceil(max(lacking, 0))
    return max(more, 1 if in_doubt else 0)


def _lack(problem: PlanProblem, network: PlanNetwork, free: _Free, at: int, more: int) -> Shortage:
    """The first thing that stands in the way of so many more grafts."""
    want = network.wants[at]
    grafts = f"{more} more graft{'s' if more != 1 else ''}"
    if want.label not in network.buds:
        return Shortage(want.key, "sticks", more, _no_wood(problem, want, grafts))
    host_arcs = free.possible_arcs(at)
    if not host_arcs:
        return _nothing_fits(problem, want, more, grafts)
    able = {piece_arc.piece for piece_arc in free.piece_arcs[at]}
    least = min(network.pieces[piece].taken for piece in able)
    left = max(0, free.buds[want.label])
    spare = sum(free.places[host] for host in {host_arc.host for host_arc in host_arcs})
    if left < least:
        held = f" beside the {problem.hold_back} held back" if problem.hold_back else ""
        need = more * least
        words = f"{want.label} wants {grafts}, {need} buds or so; {left} are left{held}."
        return Shortage(want.key, "buds", need, words)
    if spare < more:
        clone, grade = _best_host(network, host_arcs)
        on = f" on {' or '.join(want.clones)}" if want.clones else ""
        like = f"; best would be {' '.join(filter(None, (clone, grade)))}" if clone or grade else ""
        words = f"{want.label} wants {grafts}{on}; {_number(spare)} that would do {_is(spare)} free{like}."
        return Shortage(want.key, "stocks", more - spare, words, clone, grade)
    words = f"{want.label} wants {grafts}; the wood and the hosts left do not suit, or too few buds stand together on a stick."
    return Shortage(want.key, "fit", more, words)


def _number(count: int) -> str:
    return "none" if count == 0 else str(count)


def _is(count: int) -> str:
    return "is" if count in (0, 1) else "are"


def _no_wood(problem: PlanProblem, want: WantFact, grafts: str) -> str:
    barred = [stick for stick in problem.sticks if stick.label == want.label and stick.barred]
    if barred:
        return f"{want.label} wants {grafts}; its wood may not be used: {barred[0].key}: {barred[0].barred[0]}"
    return f"{want.label} wants {grafts}; there is no wood of it."


def _nothing_fits(problem: PlanProblem, want: WantFact, more: int, grafts: str) -> Shortage:
    standing = {host.clone for host in problem.hosts if not host.barred and host.positions}
    if want.clones and not standing & set(want.clones):
        on = " or ".join(want.clones)
        words = f"{want.label} wants {grafts} on {on}; no stock of it is free."
        return Shortage(want.key, "stocks", more, words, want.clones[0])
    if not standing:
        return Shortage(want.key, "stocks", more, f"{want.label} wants {grafts}; no stock is free.")
    words = f"{want.label} wants {grafts}; no gate lets its wood go on any stock that is free."
    return Shortage(want.key, "fit", more, words)


def _best_host(network: PlanNetwork, host_arcs: Sequence[HostArc]) -> tuple[str, str]:
    best = max(host_arcs, key=lambda host_arc: (host_arc.how.chance, host_arc.how.share or 0.0))
    like = network.hosts[best.host].members[0]
    return like.clone, like.grade


def explained(
    problem: PlanProblem, network: PlanNetwork, pairs: Sequence[Pair], wants: Sequence[WantResult]
) -> tuple[Pair, ...]:
    """The pairs with their reasons: what for, whose chance, which cautions. Everything is of the same problem."""
    facts = {want.key: want for want in network.wants}
    got = {result.key: result for result in wants}
    sticks = {stick.key: stick for stick in problem.sticks}
    hosts = {host.key: host for host in problem.hosts}
    doubts = {(each.piece, each.host, each.method): each.doubts for each in problem.possible}
    worst: dict[str, float] = defaultdict(lambda: 1.0)
    for stick in problem.sticks:
        worst[stick.label] = min(worst[stick.label], stick.wear)
    found = []
    for pair in pairs:
        stick, host = sticks[pair.stick], hosts[pair.host]
        why = [_purpose(facts[pair.want], got[pair.want])]
        why.append(f"Chance {pair.chance:.0%}" + (f": {pair.basis}." if pair.basis else "."))
        if stick.wear > worst[stick.label]:
            why.append(f"{stick.bundle} keeps worse than other wood of it and is used first.")
        why += [*stick.cautions, *host.cautions, *doubts.get((pair.cut.kind, host.kind, pair.method), ())]
        found.append(replace(pair, why=tuple(dict.fromkeys(why))))
    return tuple(found)


def _purpose(want: WantFact, got: WantResult) -> str:
    whom = f" for {want.for_whom}" if want.for_whom else ""
    made = f"{got.grafts} graft{'s' if got.grafts != 1 else ''}"
    if got.chance is not None:
        return f"{want.living} of {want.label}{whom} must live: with {made} the chance is {got.chance:.0%}."
    return f"{want.number} of {want.label}{whom} wanted: {got.expected:.1f} to be expected of {made}."


def left_over(
    problem: PlanProblem, pairs: Sequence[Pair], cuts: Sequence[StickCut], wants: Sequence[WantResult]
) -> tuple[LeftOver, ...]:
    """Wood (in buds) and places that no graft of the plan uses, in the order of the problem, each with the reason."""
    labels = {want.label for want in problem.wants}
    unmet = {want.label for want in wants if not want.met}
    left = {stick.key: stick.buds * stick.many for stick in problem.sticks}
    for cut in cuts:
        left[cut.stick] -= sum(piece.buds + piece.lost for piece in cut.pieces)
    found = []
    for stick in problem.sticks:
        if left[stick.key] > 0:
            why = f"{stick.label} has all it was wanted for."
            if stick.barred:
                why = stick.barred[0]
            elif stick.label not in labels:
                why = f"{stick.label} is not wanted."
            elif stick.label in unmet:
                why = f"No more of {stick.label} can be used: see what it lacks."
            found.append(LeftOver("wood", stick.key, left[stick.key], why))
    used = Counter(pair.host for pair in pairs)
    for host in problem.hosts:
        free = host.positions - used[host.key]
        if free > 0:
            found.append(
                LeftOver("host", host.key, free, host.barred[0] if host.barred else "No graft of the plan needs it.")
            )
    return tuple(found)
