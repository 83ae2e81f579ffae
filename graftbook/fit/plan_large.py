"""A large day settled: chances, sites and value over coarse kinds, then joints and the order of wood over the fine ones.

How many grafts of which chance each want gets, and on which sites, is settled on the coarse question, where it can be
proven. Those totals stand while pieces and hosts are chosen for their joints; then the hosts stand too, and pieces are
chosen so that worn wood goes first. What no plan can pass in these two parts is told by the programme of the fine question
with the same floors, with whole numbers where time allows and without them where not: so a gap is seen and not hidden.
"""

from __future__ import annotations

import time
from dataclasses import replace

from graftbook.fit.plan_coarse import coarse
from graftbook.fit.plan_facts import Question
from graftbook.fit.plan_greedy import greedy
from graftbook.fit.plan_groups import Groups, group
from graftbook.fit.plan_model import LEVELS, Model, build, build_again, totals_of
from graftbook.fit.plan_settle import (
    Settled,
    State,
    bound_of,
    exact,
    fixed_part,
    level_of,
    settle,
    settled_of,
    solve,
    take,
    told_bound,
)

# The gap that will do for totals, and the one for joints and order of wood, unless told otherwise.
ROUGH_GAP, LARGE_GAP = 0.0005, 0.002
# Settling the totals on fine kinds may take this long even when time is up, in seconds: without it there is no plan.
_AT_LEAST = 10.0
# So long at the most for proving that joints or order of wood could not be better.
_LONGEST = 3.0


def settle_large(groups: Groups, question: Question) -> Settled:
    """The numbers for a large grouped question, near the best in the last two parts and with a gap told for every part."""
    import numpy as np

    end = time.monotonic() + question.seconds
    rough = replace(
        coarse(question), seconds=question.seconds * 0.6, gap=ROUGH_GAP if question.gap is None else question.gap
    )
    rough_groups = group(rough)
    first = settle(rough_groups, rough, "value")
    totals = totals_of(rough_groups, first.uses)
    state = State(np.array(greedy(groups, question.hold_back).numbers, int), [], list(first.levels), first.late)
    again = build_again(groups, totals, question.hold_back)
    found = solve(again, "share", [], max(end - time.monotonic(), _AT_LEAST), _gap(question))
    if found is None or found.x is None:
        state.late = True
        reached = exact(groups, state.numbers, question.sure)
        state.levels += [level_of(level, reached[level], 0.0) for level in LEVELS[-2:]]
        return settled_of(groups, question, state)
    state.numbers = np.rint(found.x[: len(state.numbers)]).astype(int)
    model = build(groups, question.hold_back, question.sure)
    state.floors = [(level.name, level.value - fixed_part(groups, question, level.name)) for level in first.levels]
    _prove(groups, question, model, "share", state, end)
    _wear(groups, question, state, end)
    _prove(groups, question, model, "wear", state, end)
    return settled_of(groups, question, state)


def _wear(groups: Groups, question: Question, state: State, end: float) -> None:
    """Choose the pieces for the hosts as they stand so that worn wood goes first."""
    uses, lanes = len(groups.uses), len(groups.lanes)
    totals = totals_of(groups, state.numbers[:uses].tolist())
    again = build_again(groups, totals, question.hold_back, state.numbers[uses : uses + lanes].tolist())
    found = solve(again, "wear", [], max((end - time.monotonic()) * 0.5, 1.0), _gap(question))
    take(groups, question, again, "wear", state, found)


def _prove(groups: Groups, question: Question, model: Model, level: str, state: State, end: float) -> None:
    """Try a part over everything that is as good in the parts before, and say what no plan can pass."""
    left = end - time.monotonic()
    whole = solve(model, level, state.floors, min(left * 0.5, _LONGEST), question.gap or 0.0)
    take(groups, question, model, level, state, whole)
    bound = told_bound(whole)
    if bound is None:
        bound = _loose(model, level, state, end)
    value = exact(groups, state.numbers, question.sure)[level]
    state.floors.append((level, value))
    told = level_of(level, value, bound)
    state.levels.append(told)
    state.late |= not told.proven and (whole is None or whole.status == 1)


def _loose(model: Model, level: str, state: State, end: float) -> float:
    """What no plan can pass, told without whole numbers."""
    import numpy as np

    loose = replace(model, whole=np.zeros_like(model.whole))
    return bound_of(loose, level, solve(loose, level, state.floors, max(end - time.monotonic(), 3.0), 0.0))


def _gap(question: Question) -> float:
    return LARGE_GAP if question.gap is None else question.gap
