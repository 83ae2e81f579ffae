"""The parts of the objective settled one after another, each over all plans that are as good in those before (HiGHS).

What is reached in a part is reckoned exactly from the numbers of grafts; what no plan can pass comes from the solver's
bound. When time runs out the best plan in hand stands, and the parts not settled say so.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import Level, Question
from graftbook.fit.plan_greedy import greedy
from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_model import LEVELS, Model, build
from graftbook.fit.plan_value import (
    chance_of,
    is_must,
    met_share,
    new_sites,
    short_of_sites,
    weight,
    worth,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

# From so many numbers to be found on, a question is large and goes another way (`plan_large`).
LARGE = 1500
# How far below a floor the solver may go, tried in turn.
_TIGHT = (1e-7, 1e-6, 1e-5)
# Gaps below this are rounding.
_CLOSED = 2e-6
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
    """What is in hand while the parts are settled."""

    numbers: NDArray[Any]
    floors: list[tuple[str, float]]
    levels: list[Level]
    late: bool = False


def settle(groups: Groups, question: Question, upto: str = LEVELS[-1]) -> Settled:
    """The best numbers for a grouped question with at least one lane, all parts settled up to one."""
    import numpy as np

    end = time.monotonic() + question.seconds
    model = build(groups, question.hold_back, question.sure)
    state = State(np.array(greedy(groups, question.hold_back).numbers, int), [], [])
    some = LEVELS[: LEVELS.index(upto) + 1]
    asked = [level for level in some if model.worth[level].any()]
    for place, level in enumerate(asked):
        left = end - time.monotonic()
        settle_level(groups, question, model, level, state, max(left / (len(asked) - place), left * 0.4))
    return settled_of(groups, question, state)


def settled_of(groups: Groups, question: Question, state: State) -> Settled:
    """The numbers in hand, with every part rated by them."""
    import numpy as np

    parts = np.split(state.numbers, [len(groups.uses), len(groups.uses) + len(groups.lanes)])
    reached = exact(groups, state.numbers, question.sure)
    levels = tuple(level_of(level.name, reached[level.name], level.bound) for level in state.levels)
    return Settled(*(tuple(part.tolist()) for part in parts), levels, state.late)


def settle_level(groups: Groups, question: Question, model: Model, level: str, state: State, seconds: float) -> None:
    """Settle one part over all plans that are as good in those before: numbers, floor and level go into `state`."""
    start = time.monotonic()
    gap = question.gap or 0.0
    fixed = fixed_part(groups, question, level)
    found = solve(model, level, state.floors, seconds, gap)
    floor = take(groups, question, model, level, state, found)
    value = exact(groups, state.numbers, question.sure)[level]
    bound = bound_of(model, level, found)
    if level == "chance" and not model.exact:
        over = build(groups, question.hold_back, question.sure, high=True)
        left = max(seconds - (time.monotonic() - start), 1.0)
        bound = bound_of(over, level, solve(over, level, state.floors, left, gap))
    state.floors.append((level, value - fixed if floor is None else floor))
    state.levels.append(level_of(level, value, bound + fixed))
    state.late |= found is None or found.status == 1


def take(groups: Groups, question: Question, model: Model, level: str, state: State, found: Any) -> float | None:
    """Take what the solver found unless the plan in hand is better in this part; the model's worth of it when taken."""
    import numpy as np

    if found is None or found.x is None:
        return None
    numbers = np.rint(found.x[: len(state.numbers)]).astype(int)
    before = exact(groups, state.numbers, question.sure)[level]
    if exact(groups, numbers, question.sure)[level] < before - _CLOSED:
        return None
    state.numbers = numbers
    return float(model.worth[level] @ found.x)


def solve(model: Model, level: str, floors: Sequence[tuple[str, float]], seconds: float, gap: float) -> Any:
    """The solver's answer; None when there was no time. Floors are let down a hair at a time where rounding has made
    the plan in hand fall short of them."""
    end = time.monotonic() + seconds
    found = None
    for tight in _TIGHT:
        left = end - time.monotonic()
        if left <= 0:
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
    gap = 0.0 if gap < _CLOSED or bound - value < _CLOSED else gap
    return Level(level, WORDS[level], value, bound if gap else value, gap, gap == 0.0)


def exact(groups: Groups, numbers: Sequence[int] | NDArray[Any], sure: float) -> dict[str, float]:
    """Every part of the objective, exactly, for so many of each use and lane (what follows them is not read)."""
    parts = dict.fromkeys(LEVELS, 0.0)
    each: list[list[float]] = [[] for _ in groups.wants]
    sites: dict[int, set[str]] = defaultdict(set)
    for use, number in zip(groups.uses, numbers, strict=False):
        if number:
            each[use.want] += [use.chance] * int(number)
            sites[use.want].add(groups.sites[use.node] or "")
            parts["wear"] -= (1 - groups.pieces[use.piece].wear) * int(number)
    for lane, number in zip(groups.lanes, numbers[len(groups.uses) :], strict=False):
        if number:
            parts["share"] -= (1 - met_share(lane.how.share)) * int(number)
    for at, want in enumerate(groups.wants):
        short = short_of_sites(want, len(each[at]), sites[at])
        parts["sites" if is_must(want) else "spread"] -= weight(want) * short
        if is_must(want):
            parts["chance"] += weight(want) * min(sure, chance_of(want, each[at]))
        parts["value"] += weight(want) * worth(want, sum(each[at]))
    return parts


def fixed_part(groups: Groups, question: Question, level: str) -> float:
    """What a part holds that no plan can change: wants with nothing to choose, and must-haves that live already."""
    able = {use.want for use in groups.uses}
    total = 0.0
    for at, want in enumerate(groups.wants):
        if is_must(want) and level == "sites" and at not in able:
            total -= weight(want) * new_sites(want)
        if is_must(want) and level == "chance" and (at not in able or chance_of(want, []) > 0):
            total += weight(want) * min(question.sure, chance_of(want, []))
    return total
