"""Faults of a problem before any solver sees it, and of a list of pairs after: everything at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from graftbook.errors import UsageProblem
from graftbook.fit.plan_facts import Pair, PlanProblem, WantFact


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


def faults(problem: PlanProblem, pairs: Sequence[Pair]) -> tuple[str, ...]:
    """Every constraint that a list of pairs breaks, a sentence each; empty when the list is feasible."""
    found = [*_places(problem, pairs), *_gates(problem, pairs), *_cuts(problem, pairs)]
    return tuple(found)


def _places(problem: PlanProblem, pairs: Iterable[Pair]) -> Iterable[str]:
    hosts = {host.key: host for host in problem.hosts}
    for (key, position), count in Counter((pair.host, pair.position) for pair in pairs).items():
        if key not in hosts:
            yield f"{key} is no host of this day."
        elif count > 1:
            yield f"Place {position} of {key} is given {count} times."
        elif not 1 <= position <= hosts[key].positions:
            yield f"{key} has no place {position}."
        elif hosts[key].barred:
            yield f"{key}: {hosts[key].barred[0]}"


def _gates(problem: PlanProblem, pairs: Iterable[Pair]) -> Iterable[str]:
    hosts = {host.key: host for host in problem.hosts}
    wants = {want.key: want for want in problem.wants}
    sticks = {stick.key: stick for stick in problem.sticks}
    able = {(each.piece, each.host, each.method) for each in problem.possible}
    for pair in pairs:
        want, host, stick = wants.get(pair.want), hosts.get(pair.host), sticks.get(pair.stick)
        if want is None or stick is None:
            yield f"{pair.want} or {pair.stick} is unknown."
        elif want.label != stick.label:
            yield f"{pair.stick} is {stick.label}, and {want.label} is wanted."
        elif host is not None:
            if want.clones and host.clone not in want.clones:
                yield f"{pair.host} stands on {host.clone or 'an unknown rootstock'}, not on {' or '.join(want.clones)}."
            if (pair.cut.kind, host.kind, pair.method) not in able:
                yield f"{pair.stick} does not go on {pair.host} by {pair.method}."


def _cuts(problem: PlanProblem, pairs: Sequence[Pair]) -> Iterable[str]:
    sticks = {stick.key: stick for stick in problem.sticks}
    cut: dict[tuple[str, int], list[Pair]] = {}
    for pair in pairs:
        cut.setdefault((pair.stick, pair.stick_number), []).append(pair)
    used: Counter[str] = Counter()
    for (key, number), some in cut.items():
        stick = sticks.get(key)
        if stick is None:
            continue
        used[stick.label] += sum(pair.cut.buds + pair.cut.lost for pair in some)
        asked = Counter((pair.piece, pair.cut) for pair in some)
        if stick.barred:
            yield f"{key}: {stick.barred[0]}"
        if not 1 <= number <= stick.many:
            yield f"There is no stick {number} of {key}."
        if max(asked.values()) > 1 or not any(
            all(1 <= at <= len(way) and way[at - 1] == piece for at, piece in asked) for way in stick.ways
        ):
            yield f"Stick {number} of {key} cannot be cut like that."
    buds: Counter[str] = Counter()
    for stick in problem.sticks:
        if not stick.barred:
            buds[stick.label] += stick.buds * stick.many
    for label, taken in used.items():
        if buds[label] - taken < min(problem.hold_back, buds[label]):
            yield f"Too few buds of {label} are held back."
