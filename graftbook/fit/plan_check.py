"""Faults of a problem before any solver sees it: everything at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from graftbook.errors import UsageProblem
from graftbook.fit.plan_facts import PlanProblem, WantFact


def check(problem: PlanProblem) -> None:
    """Raises UsageProblem naming every value out of range and everything that contradicts itself."""
    faults = [*_things(problem), *_settings(problem)]
    if faults:
        raise UsageProblem("; ".join(wanted for wanted, _ in faults), "; ".join(found for _, found in faults))


def _things(problem: PlanProblem) -> Iterator[tuple[str, str]]:
    for want in problem.wants:
        yield from _want(want)
    for name, things in (("want", problem.wants), ("stick", problem.sticks), ("host", problem.hosts)):
        keys = Counter(thing.key for thing in things)
        yield from ((f"each {name} once", f"{key} {count} times") for key, count in keys.items() if count > 1)
    for stick in problem.sticks:
        if stick.many < 0 or not 0 <= stick.wear <= 1:
            yield "0 sticks or more, worn from 0 to 1", f"{stick.key}: {stick.many}, worn {stick.wear:g}"
        longest = max((sum(piece.buds + piece.lost for piece in way) for way in stick.ways), default=0)
        if longest > stick.buds:
            yield f"ways of cutting {stick.key} with no more than its {stick.buds} buds", f"one with {longest}"
    for host in problem.hosts:
        if host.positions < 0:
            yield "0 free places or more", f"{host.key}: {host.positions}"
    for each in problem.possible:
        if not all(0 <= share <= 1 for share in (each.chance, each.share or 0, each.short)):
            found = f"{each.piece} on {each.host}: {each.chance}, {each.share}, {each.short}"
            yield "chances and shares from 0 to 1", found


def _settings(problem: PlanProblem) -> Iterator[tuple[str, str]]:
    if problem.hold_back < 0:
        yield "0 buds or more to hold back", str(problem.hold_back)
    if not 0 < problem.sure <= 1:
        yield "a chance that is safe enough above 0 and at most 1", f"{problem.sure:g}"
    if not 0 <= problem.spare <= 1:
        yield "a share to spare from 0 to 1", f"{problem.spare:g}"
    if not problem.seconds > 0:
        yield "more than 0 seconds", f"{problem.seconds:g}"
    if problem.gap is not None and not 0 <= problem.gap < 1:
        yield "a gap from 0 up to 1", f"{problem.gap:g}"


def _want(want: WantFact) -> Iterator[tuple[str, str]]:
    name = f"{want.label} ({want.key})"
    least = {
        "trees": (want.number, 1),
        "sites": (want.sites, 1),
        "priority": (want.priority, 1),
        "living": (want.living, 0),
    }
    for wanted, (value, low) in least.items():
        if value < low:
            yield f"{wanted} of {low} or more for {name}", str(value)
    if want.living > want.number:
        yield f"no more trees that must live than are wanted for {name}", f"{want.living} of {want.number}"
    if want.sites > want.number:
        yield f"no more sites than trees for {name}", f"{want.sites} sites for {want.number}"
