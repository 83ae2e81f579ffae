"""A plan for a grafting day: which stick is cut how, which piece goes on which host, why, and what is short.

The parts of the objective and their order are those of `plan_value`; the method is that of `plan_settle`.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

from graftbook.fit import plan_settle
from graftbook.fit.plan_check import check
from graftbook.fit.plan_deal import deal
from graftbook.fit.plan_facts import HostFact, Level, Plan, Question
from graftbook.fit.plan_groups import Groups, group
from graftbook.fit.plan_large import settle_large
from graftbook.fit.plan_settle import Settled
from graftbook.fit.plan_words import explained, left_over, results

# Dealing out takes so many seconds a place or so, and no more than this share of the time is kept for it.
_DEALT, _KEPT = 6e-5, 0.3
# Gaps up to here are near enough.
_NEAR = 0.01


def plan(question: Question) -> Plan:
    """The best pairs for a grafting day, with reasons, shortages, what is left over and how sure the solver is.

    Where nothing can be grafted the plan has the status `none` and says what stands in the way. Raises UsageProblem naming
    everything in the question that contradicts itself.
    """
    start = time.monotonic()
    check(question)
    groups = group(question)
    if not groups.lanes:
        return _none(question, groups, time.monotonic() - start)
    large = len(groups.uses) + len(groups.lanes) + groups.ways > plan_settle.LARGE
    within = replace(question, seconds=_left(question, start))
    settled = settle_large(groups, within) if large else plan_settle.settle(groups, within)
    pairs, cuts = deal(groups, settled)
    wants = results(question, groups, pairs, settled)
    pairs = explained(question, groups, pairs, wants)
    proven = all(level.proven for level in settled.levels)
    return Plan(
        "optimal" if proven else "gap",
        pairs,
        cuts,
        wants,
        settled.levels,
        left_over(question, pairs, cuts, wants),
        message=_message(settled, proven),
        seconds=time.monotonic() - start,
    )


def _left(question: Question, start: float) -> float:
    """The time left to the solver, some being kept for dealing out."""
    places = sum(host.positions for host in question.hosts)
    dealing = min(question.seconds * _KEPT, places * _DEALT)
    return max(question.seconds - dealing - (time.monotonic() - start), 1e-6)


def _message(settled: Settled, proven: bool) -> str:
    if proven:
        return "Proven best in every part."
    near = all(level.gap < _NEAR for level in settled.levels)
    why = "Near enough to the best" if near else "Not all is proven best"
    why = "Time ran out before all was proven" if settled.late else why
    told = [f"{level.words} ({_room(level)})" for level in settled.levels if not level.proven]
    return f"{why}; another plan may be better in {'; '.join(told)}."


def _room(level: Level) -> str:
    if level.gap >= 1:
        return "how much was not found out"
    return "less than 0.1% better" if level.gap < 0.001 else f"at most {level.gap:.1%} better"


def _none(question: Question, groups: Groups, seconds: float) -> Plan:
    wants = results(question, groups, (), None)
    return Plan(
        "none",
        wants=wants,
        left_over=left_over(question, (), (), wants),
        in_the_way=tuple(_in_the_way(question, groups)),
        nearest=_nearest(question, groups),
        message="No graft can be made.",
        seconds=seconds,
    )


def _free(question: Question) -> list[HostFact]:
    return [host for host in question.hosts if not host.barred and host.positions]


def _in_the_way(question: Question, groups: Groups) -> Iterator[str]:
    if not question.wants:
        yield "Nothing is wanted."
    if not question.sticks:
        yield "There is no wood."
    if not question.hosts:
        yield "There is no stock, tree or limb to graft on."
    for each in (*question.sticks, *question.hosts):
        if each.barred:
            yield f"{each.key}: {each.barred[0]}"
    labels = {want.label for want in question.wants}
    if question.wants and question.sticks and not any(stick.label in labels for stick in question.sticks):
        yield "None of the wood is of a cultivar that is wanted."
    standing = {host.clone for host in _free(question)}
    for want in question.wants:
        if want.clones and standing and not standing & set(want.clones):
            yield f"{want.label} is wanted on {' or '.join(want.clones)} alone, and no such stock is free."
    if groups.buds and standing and not groups.pieces:
        yield "No piece of the wood that is wanted may go on any of the stocks by any method."


def _nearest(question: Question, groups: Groups) -> str:
    """The smallest change that would let a graft be made."""
    if not question.wants:
        return "Say what is wanted."
    if any(want.clones for want in question.wants):
        freed = tuple(replace(want, clones=()) for want in question.wants)
        if group(replace(question, wants=freed)).lanes:
            return "On another rootstock than the ones asked for, grafts could be made."
    if not groups.buds:
        names = ", ".join(sorted({want.label for want in question.wants})[:3])
        return f"Wood of a cultivar that is wanted ({names}) that may be used."
    if not _free(question):
        return "A stock or a free place on a tree that may be grafted."
    return "Stocks or wood of another thickness or kind, another method or another day; ask of one pair why it does not go."
