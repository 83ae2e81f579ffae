"""Faults of a problem before any solver sees it: everything at once."""

from __future__ import annotations

from collections import Counter

from graftbook.errors import UsageProblem
from graftbook.fit.plan_facts import PlanProblem, WantFact


def check(problem: PlanProblem) -> None:
    """Raises UsageProblem naming every value out of range and everything that contradicts itself."""
    faults = [fault for want in problem.wants for fault in _want(want)]
    for name, keys in (
        ("want", [want.key for want in problem.wants]),
        ("stick", [stick.key for stick in problem.sticks]),
        ("host", [host.key for host in problem.hosts]),
    ):
        faults += [(f"each {name} once", f"{key} {count} times") for key, count in Counter(keys).items() if count > 1]
    for stick in problem.sticks:
        if stick.many < 0 or not 0 <= stick.wear <= 1:
            faults.append(("0 sticks or more, worn from 0 to 1", f"{stick.key}: {stick.many}, worn {stick.wear:g}"))
        longest = max((sum(piece.buds + piece.lost for piece in way) for way in stick.ways), default=0)
        if longest > stick.buds:
            faults.append(
                (f"ways of cutting {stick.key} with no more than its {stick.buds} buds", f"one with {longest}")
            )
    faults += [
        ("0 free places or more", f"{host.key}: {host.positions}") for host in problem.hosts if host.positions < 0
    ]
    for each in problem.possible:
        if not 0 <= each.chance <= 1 or not 0 <= (0 if each.share is None else each.share) <= 1:
            faults.append(
                ("chances and shares from 0 to 1", f"{each.piece} on {each.host}: {each.chance}, {each.share}")
            )
    if problem.hold_back < 0:
        faults.append(("0 buds or more to hold back", str(problem.hold_back)))
    if not 0 < problem.sure <= 1:
        faults.append(("a chance that is safe enough above 0 and at most 1", f"{problem.sure:g}"))
    if not problem.seconds > 0:
        faults.append(("more than 0 seconds", f"{problem.seconds:g}"))
    if problem.gap is not None and not 0 <= problem.gap < 1:
        faults.append(("a gap from 0 up to 1", f"{problem.gap:g}"))
    if faults:
        raise UsageProblem("; ".join(wanted for wanted, _ in faults), "; ".join(found for _, found in faults))


def _want(want: WantFact) -> list[tuple[str, str]]:
    faults = []
    name = f"{want.label} ({want.key})"
    for wanted, value, least in (
        ("trees", want.number, 1),
        ("sites", want.sites, 1),
        ("priority", want.priority, 1),
        ("living", want.living, 0),
    ):
        if value < least:
            faults.append((f"{wanted} of {least} or more for {name}", str(value)))
    if want.living > want.number:
        faults.append((f"no more trees that must live than are wanted for {name}", f"{want.living} of {want.number}"))
    if want.sites > want.number:
        faults.append((f"no more sites than trees for {name}", f"{want.sites} sites for {want.number}"))
    return faults
