"""The parts of the objective settled one after another, each over all plans that are as good in those before (HiGHS).

What is reached in a part is reckoned exactly from the numbers of grafts; what no plan can pass comes from the solver's
bound. A plan by hand is there before the first part, and each plan of the solver is filled up by hand with what its part
does not ask for: so when time runs out, a whole plan stands that is no worse than the one by hand, and the parts not
settled say so.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import Level, Question
from graftbook.fit.plan_greedy import filled, greedy
from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_model import LEVELS, Model, build
from graftbook.fit.plan_parts import ceiling, exact, fixed_part, parts_of
from graftbook.fit.plan_value import ALIKE, outranks

if TYPE_CHECKING:
    from numpy.typing import NDArray

# From so many numbers to be found on, a question is large and goes another way (`plan_large`).
LARGE = 1500
# How far below a floor the solver may go, tried in turn.
_TIGHT = (1e-7, 1e-6, 1e-5)
# No part is begun with less time, in seconds.
LEAST = 0.05
WORDS = {
    "sites": "must-haves on the sites asked for",
    "chance": "the chance that enough of each must-have live",
    "spread": "other wants on the sites asked for",
    "value": "trees to be expected, by priority, counting less past the number wanted",
    "share": "how well the joints meet",
    "wear": "wood that keeps worst used first",
}


@dataclass(frozen=True)
class Settled:
    """How many of each use, lane and way of cutting, and the parts of the objective as far as they were settled."""

    uses: tuple[int, ...]
    lanes: tuple[int, ...]
    cuts: tuple[int, ...]
    levels: tuple[Level, ...]
    late: bool


@dataclass
class State:
    """What is in hand while the parts are settled: the numbers (none worse than those by hand), floors, what was told."""

    numbers: NDArray[Any]
    by_hand: NDArray[Any]
    floors: list[tuple[str, float]]
    levels: list[Level]
    late: bool = False


def start_of(groups: Groups, question: Question) -> State:
    """The plan by hand, the better of two."""
    import numpy as np

    hand = np.array(greedy(groups, question.hold_back).numbers, int)
    state = State(hand, hand, [], [])
    offer(groups, question, state, filled(groups, question.hold_back).numbers)
    state.by_hand = state.numbers
    return state


def offer(groups: Groups, question: Question, state: State, numbers: Sequence[int] | NDArray[Any]) -> None:
    """Take these numbers if they outrank those in hand."""
    import numpy as np

    if outranks(parts_of(groups, question, numbers), parts_of(groups, question, state.numbers)):
        state.numbers = np.array(numbers, int)


def settle(groups: Groups, question: Question, upto: str = LEVELS[-1]) -> Settled:
    """The best numbers for a grouped question with at least one lane, all parts settled up to one."""
    end = time.monotonic() + question.seconds
    state = start_of(groups, question)
    model = build(groups, question.hold_back, question.sure)
    some = LEVELS[: LEVELS.index(upto) + 1]
    asked = [level for level in some if model.worth[level].any()]
    for place, level in enumerate(asked):
        left = end - time.monotonic()
        settle_level(groups, question, model, level, state, max(left / (len(asked) - place), left * 0.4))
    return settled_of(groups, question, state)


def settled_of(groups: Groups, question: Question, state: State) -> Settled:
    """The numbers in hand, or those by hand where these outrank them, with every part rated by them. A bound told for plans
    that are better in the parts before than what is reached is let go."""
    import numpy as np

    offer(groups, question, state, state.by_hand)
    parts = np.split(state.numbers, [len(groups.uses), len(groups.uses) + len(groups.lanes)])
    reached = exact(groups, state.numbers, question.sure)
    levels, holds = [], True
    for level in state.levels:
        bound = level.bound if holds else ceiling(groups, question, level.name)
        levels.append(level_of(level.name, reached[level.name], bound))
        holds &= reached[level.name] >= level.value - ALIKE * max(1.0, abs(level.value))
    return Settled(*(tuple(part.tolist()) for part in parts), tuple(levels), state.late)


def settle_level(groups: Groups, question: Question, model: Model, level: str, state: State, seconds: float) -> None:
    """Settle one part over all plans that are as good in those before: numbers, floor and level go into `state`."""
    end = time.monotonic() + seconds
    gap = question.gap or 0.0
    fixed = fixed_part(groups, question, level)
    found = solve(model, level, state.floors, seconds if model.exact else seconds * 0.5, gap)
    take(groups, question, level, state, found)
    value = exact(groups, state.numbers, question.sure)[level]
    floor = value - fixed
    if model.exact or LEVELS.index(level) < LEVELS.index("chance"):
        bound = bound_of(model, level, found)
    else:
        over = build(groups, question.hold_back, question.sure, high=True)
        told = [(each.name, each.value - fixed_part(groups, question, each.name)) for each in state.levels]
        bound = bound_of(over, level, solve(over, level, told, end - time.monotonic(), gap))
        if level == "chance" and found is not None and found.x is not None:
            floor = min(floor, float(model.worth[level] @ found.x))
    state.floors.append((level, floor))
    state.levels.append(level_of(level, value, min(bound + fixed, ceiling(groups, question, level))))
    state.late |= found is None or found.status == 1


def take(groups: Groups, question: Question, level: str, state: State, found: Any) -> None:
    """Take what the solver found, filled up where that helps, unless the plan in hand is better from this part on or the
    one by hand is better in all."""
    import numpy as np

    if found is None or found.x is None:
        return
    numbers = np.rint(found.x[: len(state.numbers)]).astype(int)
    mine, at = parts_of(groups, question, numbers), LEVELS.index(level)
    if at <= LEVELS.index("value"):
        more = np.array(filled(groups, question.hold_back, numbers).numbers, int)
        told = parts_of(groups, question, more)
        if outranks(told, mine):
            numbers, mine = more, told
    hand, least = (parts_of(groups, question, some) for some in (state.numbers, state.by_hand))
    if not outranks(hand[at:], mine[at:]) and not outranks(least, mine):
        state.numbers = numbers


def solve(model: Model, level: str, floors: Sequence[tuple[str, float]], seconds: float, gap: float) -> Any:
    """The solver's answer; None when there was no time. Floors are let down a hair at a time where rounding has made
    the plan in hand fall short of them."""
    end = time.monotonic() + seconds
    found = None
    for tight in _TIGHT:
        left = end - time.monotonic()
        if left <= LEAST:
            break
        found = _ask(model, level, [(name, low - tight * max(1.0, abs(low))) for name, low in floors], left, gap)
        if found.status in (0, 1) or not floors:
            break
    return found


def _ask(model: Model, level: str, floors: Sequence[tuple[str, float]], seconds: float, gap: float) -> Any:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, vstack

    matrix, low, high = model.matrix, model.low, model.high
    if floors:
        matrix = vstack([matrix, csr_array(np.array([model.worth[name] for name, _ in floors]))], format="csr")
        low = np.concatenate([low, [least for _, least in floors]])
        high = np.concatenate([high, np.full(len(floors), np.inf)])
    return milp(
        -model.worth[level],
        integrality=model.whole,
        bounds=Bounds(model.least, model.most),
        constraints=LinearConstraint(matrix, low, high),
        options={"time_limit": seconds, "mip_rel_gap": gap},
    )


def told_bound(found: Any) -> float | None:
    """What the solver says no plan can pass; None when it says nothing."""
    import numpy as np

    told = None if found is None else found.get("mip_dual_bound")
    return None if told is None or not np.isfinite(told) else -float(told)


def bound_of(model: Model, level: str, found: Any) -> float:
    """What no plan can pass; without an answer of the solver, what is reached when everything is had."""
    import numpy as np

    told = told_bound(found)
    if told is not None:
        return told
    if found is not None and found.status == 0 and not model.whole.any():
        return -float(found.fun)
    return float((np.maximum(model.worth[level], 0) * model.most).sum())


def level_of(level: str, value: float, bound: float) -> Level:
    """A part as told to people, differences that are rounding left out."""
    bound = max(bound, value)
    gap = (bound - value) / max(abs(bound), abs(value), 1e-9)
    gap = 0.0 if gap < ALIKE or bound - value < ALIKE else gap
    return Level(level, WORDS[level], value, bound if gap else value, gap, gap == 0.0)
