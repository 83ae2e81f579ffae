"""What each want gets of a plan, what each unmet one lacks, and what the plan leaves over, in whole sentences."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from math import ceil

from graftbook.fit.plan_facts import LeftOver, Pair, PlanProblem, Shortage, StickCut, WantFact, WantResult
from graftbook.fit.plan_lexicographic import PlanSolution
from graftbook.fit.plan_network import HostArc, PieceArc, PlanNetwork
from graftbook.fit.plan_objectives import is_must_have, living_chance, new_sites, old_sites


def results(
    problem: PlanProblem, network: PlanNetwork, pairs: Sequence[Pair], solution: PlanSolution | None
) -> tuple[WantResult, ...]:
    """What each want gets, and what it lacks, in the order of the wants; `solution` None where no graft can be made."""
    free = _Free(problem, network, solution)
    of: dict[str, list[Pair]] = defaultdict(list)
    for pair in pairs:
        of[pair.want].append(pair)
    found = []
    for at, want in enumerate(network.wants):
        made = of[want.key]
        each = [pair.chance for pair in made]
        chance = living_chance(want, [(pair.site, pair.chance) for pair in made]) if is_must_have(want) else None
        expected = want.living_already + sum(each)
        sites = tuple(sorted({pair.site for pair in made} | old_sites(want)))
        short = tuple(free.shortages(at, made, chance, expected, len(sites)))
        had = len(made), want.living_already
        found.append(WantResult(want.key, want.label, *had, chance, expected, sites, not short, short))
    return tuple(found)


class _Free:
    """What the plan leaves: places on each host class, buds of each label that may still be taken, all but hold-back."""

    def __init__(self, problem: PlanProblem, network: PlanNetwork, solution: PlanSolution | None) -> None:
        self.problem, self.network = problem, network
        self.places = [host.places for host in network.hosts]
        self.buds = {label: max(0, count - problem.hold_back) for label, count in network.buds.items()}
        self.piece_arcs: dict[int, list[PieceArc]] = defaultdict(list)
        self.host_arcs: dict[int, list[HostArc]] = defaultdict(list)
        for piece_arc in network.piece_arcs:
            self.piece_arcs[piece_arc.want].append(piece_arc)
        for host_arc in network.host_arcs:
            self.host_arcs[host_arc.node].append(host_arc)
        if solution is not None:
            for piece_arc, number in zip(network.piece_arcs, solution.piece_arcs, strict=True):
                piece = network.pieces[piece_arc.piece]
                self.buds[piece.label] -= piece.taken * number
            for host_arc, number in zip(network.host_arcs, solution.host_arcs, strict=True):
                self.places[host_arc.host] -= number

    def shortages(
        self, at: int, made: Sequence[Pair], chance: float | None, expected: float, sites: int
    ) -> Iterator[Shortage]:
        """What a want (by index) lacks with these grafts, this chance, so many trees to be expected and on so many sites."""
        want, sure = self.network.wants[at], self.problem.sure
        in_doubt = chance is not None and chance < sure - 1e-9
        lacking = want.number - expected
        if lacking > 1e-9 or in_doubt:
            yield self._lack(at, self._grafts_more(at, lacking, in_doubt))
        if in_doubt:
            yield Shortage(want.key, "chance", 0, self._doubt(at, made, chance or 0.0))
        missing = want.sites - sites
        if new_sites(want) and missing > 0:
            able = {self.network.hosts[host_arc.host].site for host_arc in self._possible_arcs(at)} | old_sites(want)
            there = f"hosts that would do stand on {len(able)}" if able else "no host that would do stands on any"
            words = f"{want.label} is wanted on {want.sites} sites and is on {sites}: {there}."
            yield Shortage(want.key, "sites", missing, words)

    def _doubt(self, at: int, made: Sequence[Pair], chance: float) -> str:
        """How likely a must-have is had, and how likely on the sites that it can stand on where these are too few."""
        want, able = self.network.wants[at], self.network.sites_asked[at]
        asked, where = new_sites(want), ""
        if asked:
            where = f", one on each of {want.sites} sites"
        if able < asked:
            chance = living_chance(want, [(pair.site, pair.chance) for pair in made], able)
            where = f", on {able + len(old_sites(want))} of {want.sites} sites"
        must = f"At least {want.living} of {want.label} must live{where}"
        return f"{must}; the chance of it is {chance:.0%}, and {self.problem.sure:.0%} was asked for."

    def _possible_arcs(self, want: int) -> list[HostArc]:
        """Every host arc that a want could take, used or not."""
        nodes = dict.fromkeys(piece_arc.node for piece_arc in self.piece_arcs[want])
        return [host_arc for node in nodes for host_arc in self.host_arcs[node]]

    def _grafts_more(self, at: int, lacking: float, in_doubt: bool) -> int:
        """How many more grafts the want would take at the best chance it could have."""
        best = max((piece_arc.chance for piece_arc in self.piece_arcs[at]), default=0.0)
        more = ceil(lacking / best - 1e-9) if best > 0 and lacking > 0 else ceil(max(lacking, 0))
        return max(more, 1 if in_doubt else 0)

    def _lack(self, at: int, more: int) -> Shortage:
        """The first thing that stands in the way of so many more grafts."""
        want, hold_back = self.network.wants[at], self.problem.hold_back
        wanted = f"{want.label} wants {more} more graft{'s' if more != 1 else ''}"
        if want.label not in self.network.buds:
            return Shortage(want.key, "sticks", more, f"{wanted}; {_no_wood(self.problem, want)}")
        host_arcs = self._possible_arcs(at)
        if not host_arcs:
            return _nothing_fits(self.problem, want, more, wanted)
        least = min(self.network.pieces[piece_arc.piece].taken for piece_arc in self.piece_arcs[at])
        left = max(0, self.buds[want.label])
        if left < least:
            held, need = f" beside the {hold_back} held back" if hold_back else "", more * least
            return Shortage(want.key, "buds", need, f"{wanted}, {need} buds or so; {left} are left{held}.")
        spare = sum(self.places[host] for host in {host_arc.host for host_arc in host_arcs})
        if spare < more:
            best = max(host_arcs, key=lambda host_arc: (host_arc.how.chance, host_arc.how.share or 0.0))
            like = self.network.hosts[best.host].members[0]
            on = f" on {' or '.join(want.clones)}" if want.clones else ""
            name = " ".join(filter(None, (like.clone, like.grade)))
            number = f"{spare or 'none'} that would do {'are' if spare > 1 else 'is'} free"
            words = f"{wanted}{on}; {number}{f'; best would be {name}' if name else ''}."
            return Shortage(want.key, "stocks", more - spare, words, like.clone, like.grade)
        words = f"{wanted}; the wood and the hosts left do not suit, or too few buds stand together on a stick."
        return Shortage(want.key, "fit", more, words)


def _no_wood(problem: PlanProblem, want: WantFact) -> str:
    barred = next((stick for stick in problem.sticks if stick.label == want.label and stick.barred), None)
    return (
        "there is no wood of it." if barred is None else f"its wood may not be used: {barred.key}: {barred.barred[0]}"
    )


def _nothing_fits(problem: PlanProblem, want: WantFact, more: int, wanted: str) -> Shortage:
    standing = {host.clone for host in problem.free_hosts}
    if want.clones and not standing & set(want.clones):
        words = f"{wanted} on {' or '.join(want.clones)}; no stock of it is free."
        return Shortage(want.key, "stocks", more, words, want.clones[0])
    if not standing:
        return Shortage(want.key, "stocks", more, f"{wanted}; no stock is free.")
    return Shortage(want.key, "fit", more, f"{wanted}; no gate lets its wood go on any stock that is free.")


def left_over(
    problem: PlanProblem, pairs: Sequence[Pair], cuts: Sequence[StickCut], wants: Sequence[WantResult]
) -> tuple[LeftOver, ...]:
    """Wood (in buds) and places that no graft of the plan uses, in the order of the problem, each with the reason."""
    labels = {want.label for want in problem.wants}
    unmet = {want.label for want in wants if not want.met}
    last = {want.label for want in problem.wants if want.last}
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
            elif stick.label in last:
                why = f"It is the last wood of {stick.label}: keep it for a later method or for spares, and throw none away."
            elif stick.label in unmet:
                why = f"No more of {stick.label} can be used: see what it lacks."
            found.append(LeftOver("wood", stick.key, left[stick.key], why))
    used = Counter(pair.host for pair in pairs)
    for host in problem.hosts:
        free = host.positions - used[host.key]
        if free > 0:
            why = host.barred[0] if host.barred else "No graft of the plan needs it."
            found.append(LeftOver("host", host.key, free, why))
    return tuple(found)
