"""Why each graft of a plan is made, what each unmet want lacks, and what the plan leaves over, in whole sentences."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

from graftbook.fit.plan_facts import LeftOver, Pair, Question, Shortage, StickCut, WantFact, WantResult
from graftbook.fit.plan_groups import Groups, Lane, Use
from graftbook.fit.plan_settle import Settled
from graftbook.fit.plan_value import chance_of, is_must, new_sites, old_sites


@dataclass(frozen=True)
class _Free:
    """What the plan leaves: places on each host class, buds of each label that may still be taken, all but hold-back."""

    places: tuple[int, ...]
    buds: dict[str, int]
    uses: dict[int, tuple[Use, ...]]
    lanes: dict[int, tuple[Lane, ...]]

    def hows(self, want: int) -> tuple[Lane, ...]:
        """Every lane that a want could take, plan or no plan."""
        nodes = dict.fromkeys(use.node for use in self.uses.get(want, ()))
        return tuple(lane for node in nodes for lane in self.lanes[node])


def results(
    question: Question, groups: Groups, pairs: Sequence[Pair], settled: Settled | None
) -> tuple[WantResult, ...]:
    """What each want gets, and what it lacks."""
    free = _free(question, groups, settled)
    of: dict[str, list[Pair]] = defaultdict(list)
    for pair in pairs:
        of[pair.want].append(pair)
    found = []
    for at, want in enumerate(groups.wants):
        made = of[want.key]
        each = [pair.chance for pair in made]
        chance = chance_of(want, each) if is_must(want) else None
        expected = want.living_already + sum(each)
        sites = tuple(sorted({pair.site for pair in made} | old_sites(want)))
        short = tuple(_shortages(question, groups, free, at, chance, expected, sites))
        found.append(
            WantResult(want.key, want.label, len(made), want.living_already, chance, expected, sites, not short, short)
        )
    return tuple(found)


def _free(question: Question, groups: Groups, settled: Settled | None) -> _Free:
    places = [host.places for host in groups.hosts]
    buds = {label: max(0, count - question.hold_back) for label, count in groups.buds.items()}
    uses: dict[int, list[Use]] = defaultdict(list)
    lanes: dict[int, list[Lane]] = defaultdict(list)
    for at, use in enumerate(groups.uses):
        uses[use.want].append(use)
        if settled is not None:
            piece = groups.pieces[use.piece]
            buds[piece.label] -= piece.taken * settled.uses[at]
    for at, lane in enumerate(groups.lanes):
        lanes[lane.node].append(lane)
        if settled is not None:
            places[lane.host] -= settled.lanes[at]
    return _Free(
        tuple(places), buds, {want: tuple(some) for want, some in uses.items()},
        {node: tuple(some) for node, some in lanes.items()},
    )  # fmt: skip


def _shortages(
    question: Question,
    groups: Groups,
    free: _Free,
    at: int,
    chance: float | None,
    expected: float,
    sites: Sequence[str],
) -> Iterator[Shortage]:
    want = groups.wants[at]
    in_doubt = chance is not None and chance < question.sure - 1e-9
    lacking = want.number - expected
    if lacking > 1e-9 or in_doubt:
        yield _lack(question, groups, free, at, _grafts_more(groups, free, at, lacking, in_doubt))
    if in_doubt:
        yield Shortage(
            want.key,
            "chance",
            0,
            f"At least {want.living} of {want.label} must live; the chance of it is {chance:.0%}, and "
            f"{question.sure:.0%} was asked for.",
        )
    missing = want.sites - len(sites)
    if new_sites(want) and missing > 0:
        able = {groups.hosts[lane.host].site for lane in free.hows(at)} | old_sites(want)
        there = f"hosts that would do stand on {len(able)}" if able else "no host that would do stands on any"
        words = f"{want.label} is wanted on {want.sites} sites and is on {len(sites)}: {there}."
        yield Shortage(want.key, "sites", missing, words)


def _grafts_more(groups: Groups, free: _Free, at: int, lacking: float, in_doubt: bool) -> int:
    """How many more grafts the want would take at the best chance it could have."""
    best = max((use.chance for use in free.uses.get(at, ())), default=0.0)
    more = ceil(lacking / best - 1e-9) if best > 0 and lacking > 0 else ceil(max(lacking, 0))
    return max(more, 1 if in_doubt else 0)


def _lack(question: Question, groups: Groups, free: _Free, at: int, more: int) -> Shortage:
    """The first thing that stands in the way of so many more grafts."""
    want = groups.wants[at]
    grafts = f"{more} more graft{'s' if more != 1 else ''}"
    if want.label not in groups.buds:
        return Shortage(want.key, "sticks", more, _no_wood(question, want, grafts))
    lanes = free.hows(at)
    if not lanes:
        return _nothing_fits(question, want, more, grafts)
    able = {use.piece for use in free.uses[at]}
    least = min(groups.pieces[piece].taken for piece in able)
    left = max(0, free.buds[want.label])
    spare = sum(free.places[host] for host in {lane.host for lane in lanes})
    if left < least:
        held = f" beside the {question.hold_back} held back" if question.hold_back else ""
        need = more * least
        words = f"{want.label} wants {grafts}, {need} buds or so; {left} are left{held}."
        return Shortage(want.key, "buds", need, words)
    if spare < more:
        clone, grade = _best_host(groups, lanes)
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


def _no_wood(question: Question, want: WantFact, grafts: str) -> str:
    barred = [stick for stick in question.sticks if stick.label == want.label and stick.barred]
    if barred:
        return f"{want.label} wants {grafts}; its wood may not be used: {barred[0].key}: {barred[0].barred[0]}"
    return f"{want.label} wants {grafts}; there is no wood of it."


def _nothing_fits(question: Question, want: WantFact, more: int, grafts: str) -> Shortage:
    standing = {host.clone for host in question.hosts if not host.barred and host.positions}
    if want.clones and not standing & set(want.clones):
        on = " or ".join(want.clones)
        words = f"{want.label} wants {grafts} on {on}; no stock of it is free."
        return Shortage(want.key, "stocks", more, words, want.clones[0])
    if not standing:
        return Shortage(want.key, "stocks", more, f"{want.label} wants {grafts}; no stock is free.")
    words = f"{want.label} wants {grafts}; no gate lets its wood go on any stock that is free."
    return Shortage(want.key, "fit", more, words)


def _best_host(groups: Groups, lanes: Sequence[Lane]) -> tuple[str, str]:
    best = max(lanes, key=lambda lane: (lane.how.chance, lane.how.share or 0.0))
    like = groups.hosts[best.host].members[0]
    return like.clone, like.grade


def explained(
    question: Question, groups: Groups, pairs: Sequence[Pair], wants: Sequence[WantResult]
) -> tuple[Pair, ...]:
    """The pairs with the reasons added: what for, whose chance, what to mind."""
    facts = {want.key: want for want in groups.wants}
    got = {result.key: result for result in wants}
    sticks = {stick.key: stick for stick in question.sticks}
    hosts = {host.key: host for host in question.hosts}
    doubts = {(each.piece, each.host, each.method): each.doubts for each in question.possible}
    worst: dict[str, float] = defaultdict(lambda: 1.0)
    for stick in question.sticks:
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
    question: Question, pairs: Sequence[Pair], cuts: Sequence[StickCut], wants: Sequence[WantResult]
) -> tuple[LeftOver, ...]:
    """Wood and places that no graft of the plan uses."""
    labels = {want.label for want in question.wants}
    unmet = {want.label for want in wants if not want.met}
    left = {stick.key: stick.buds * stick.many for stick in question.sticks}
    for cut in cuts:
        left[cut.stick] -= sum(piece.buds + piece.lost for piece in cut.pieces)
    found = []
    for stick in question.sticks:
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
    for host in question.hosts:
        free = host.positions - used[host.key]
        if free > 0:
            found.append(
                LeftOver("host", host.key, free, host.barred[0] if host.barred else "No graft of the plan needs it.")
            )
    return tuple(found)
