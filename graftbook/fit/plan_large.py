"""A large day settled: chances, sites and value over coarse kinds, then joints and the order of wood over the fine ones.

How many grafts of which chance each want gets, and on which sites, is settled on the coarse question, where it can be
proven. Those totals stand while pieces and hosts are chosen for their joints; then the hosts stand too, and pieces are
chosen so that worn wood goes first. What no plan can pass in these two parts is told by the programme of the fine question
with the same floors, without whole numbers first and with them where time allows: so a gap is seen and not hidden. The coarse
plan itself is told in fine numbers first, so that it stands where there is no time for more.
"""

from __future__ import annotations

import time
from dataclasses import replace

from graftbook.fit.plan_bound import loose_bound
from graftbook.fit.plan_coarse import coarse
from graftbook.fit.plan_facts import Level, Question
from graftbook.fit.plan_groups import Groups, group
from graftbook.fit.plan_lift import lifted
from graftbook.fit.plan_model import LEVELS, Model, build, build_again, totals_of
from graftbook.fit.plan_parts import ceiling, exact, fixed_part
from graftbook.fit.plan_settle import (
    LEAST,
    Settled,
    State,
    level_of,
    offer,
    settle,
    settled_of,
    solve,
    start_of,
    take,
    told_bound,
)

# The gap that will do for totals, and the one for joints and order of wood, unless told otherwise.
ROUGH_GAP, LARGE_GAP = 0.0005, 0.002
# So long at the most for proving that joints or order of wood could not be better, in seconds.
_LONGEST = {"share": 15.0, "wear": 3.0}
# A programme with whole numbers is begun when there is so many times the time that it takes without them.
_WORTH_TRYING = 3.0


def settle_large(groups: Groups, question: Question) -> Settled:
    """The numbers for a large grouped question, near the best in the last two parts and with a gap told for every part."""
    end = time.monotonic() + question.seconds
    state = start_of(groups, question)
    if end - time.monotonic() <= LEAST:
        return _by_hand(groups, question, state)
    _first(groups, question, state, end)
    totals = totals_of(groups, state.numbers[: len(groups.uses)].tolist())
    again = build_again(groups, totals, question.hold_back)
    found = solve(again, "share", [], end - time.monotonic(), _gap(question))
    state.late |= found is None or found.status == 1
    if found is None or found.x is None:
        state.levels += [_untold(groups, question, level, state) for level in LEVELS[-2:]]
        return settled_of(groups, question, state)
    take(groups, question, "sites", state, found)
    _wear(groups, question, state, end)
    model = build(groups, question.hold_back, question.sure, high=True)
    for level in LEVELS[-2:]:
        _prove(groups, question, model, level, state, end)
    return settled_of(groups, question, state)


def _by_hand(groups: Groups, question: Question, state: State) -> Settled:
    """The plan by hand, where there was time for nothing else."""
    model = build(groups, question.hold_back, question.sure)
    state.late = True
    state.levels = [_untold(groups, question, level, state) for level in LEVELS if model.worth[level].any()]
    return settled_of(groups, question, state)


def _first(groups: Groups, question: Question, state: State, end: float) -> None:
    """Settle the parts up to the value on the coarse question; numbers, floors and levels of these parts go into `state`."""
    left = max(end - time.monotonic(), 1e-6)
    rough = replace(coarse(question), seconds=left * 0.6, gap=ROUGH_GAP if question.gap is None else question.gap)
    rough_groups = group(rough)
    first = settle(rough_groups, rough, "value")
    state.levels, state.late = list(first.levels), first.late
    offer(groups, question, state, lifted(question, groups, rough_groups, first))
    reached = exact(groups, state.numbers, question.sure)
    state.floors = [
        (level.name, reached[level.name] - fixed_part(groups, question, level.name)) for level in first.levels
    ]


def _wear(groups: Groups, question: Question, state: State, end: float) -> None:
    """Choose the pieces for the hosts as they stand so that worn wood goes first."""
    uses, lanes = len(groups.uses), len(groups.lanes)
    totals = totals_of(groups, state.numbers[:uses].tolist())
    again = build_again(groups, totals, question.hold_back, state.numbers[uses : uses + lanes].tolist())
    found = solve(again, "wear", [], (end - time.monotonic()) * 0.5, _gap(question))
    take(groups, question, "wear", state, found)


def _prove(groups: Groups, question: Question, model: Model, level: str, state: State, end: float) -> None:
    """What no plan can pass in a part: first without whole numbers, then with them where time allows and no chances are put
    together, which may find a better plan too. The model tells chances put together as the highest."""
    start = time.monotonic()
    loose = loose_bound(model, level, state.floors, end - start) if end - start > LEAST else None
    bound = ceiling(groups, question, level) if loose is None else loose
    took, left = time.monotonic() - start, end - time.monotonic()
    state.late |= left <= LEAST
    value = exact(groups, state.numbers, question.sure)[level]
    if model.exact and left > took * _WORTH_TRYING and not level_of(level, value, bound).proven:
        limit = min(left * 0.5, _LONGEST[level])
        whole = solve(model, level, state.floors, limit, question.gap or 0.0)
        told = told_bound(whole)
        bound = bound if told is None else min(bound, told)
        take(groups, question, level, state, whole)
        if level == "share":
            _wear(groups, question, state, end)
    value = exact(groups, state.numbers, question.sure)[level]
    state.floors.append((level, value))
    state.levels.append(level_of(level, value, bound))


def _untold(groups: Groups, question: Question, level: str, state: State) -> Level:
    """A part for which there was no time."""
    return level_of(level, exact(groups, state.numbers, question.sure)[level], ceiling(groups, question, level))


def _gap(question: Question) -> float:
    return LARGE_GAP if question.gap is None else question.gap
