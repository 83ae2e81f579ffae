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
    old_sites,
    weight,
    worth,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

# From so many columns on a question is large, and a small gap will do unless told otherwise.
LARGE = 4000
LARGE_GAP = 0.001
_TIGHT = 1e-7
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
    """How many grafts of each edge, and the parts of the objective with what is reached and what cannot be passed."""

    grafts: tuple[int, ...]
    cuts: tuple[int, ...]
    levels: tuple[Level, ...]
    late: bool


@dataclass
class _State:
    """What is in hand while the parts are settled."""

    grafts: NDArray[Any]
    cuts: NDArray[Any]
    floors: list[tuple[str, float]]
    levels: list[Level]
    late: bool = False


def settle(groups: Groups, question: Question) -> Settled:
    """The best numbers of grafts for a grouped question with at least one edge."""
    import numpy as np

    end = time.monotonic() + question.seconds
    model = build(groups, question.hold_back, question.sure)
    first = greedy(groups, question.hold_back)
    state = _State(np.array(first.grafts), np.array(first.cuts), [], [])
    asked = [level for level in LEVELS if model.worth[level].any()]
    for place, level in enumerate(asked):
        left = end - time.monotonic()
        _settle(groups, question, model, level, state, max(left / (len(asked) - place), left * 0.4))
    return Settled(tuple(state.grafts.tolist()), tuple(state.cuts.tolist()), tuple(state.levels), state.late)


def _settle(groups: Groups, question: Question, model: Model, level: str, state: _State, seconds: float) -> None:
    start = time.monotonic()
    gap = question.gap
    if gap is None:
        gap = LARGE_GAP if len(model.most) > LARGE else 0.0
    fixed = _fixed(groups, question, level)
    found = _solve(model, level, state.floors, seconds, gap)
    floor = _take(groups, question, model, level, state, found)
    value = exact(groups, state.grafts, question.sure)[level]
    bound = _bound(model, level, found)
    if level == "chance" and not model.exact:
        over = build(groups, question.hold_back, question.sure, high=True)
        left = max(seconds - (time.monotonic() - start), 1.0)
        bound = _bound(over, level, _solve(over, level, state.floors, left, gap))
    state.floors.append((level, value - fixed if floor is None else floor))
    state.levels.append(_level(level, value, max(bound + fixed, value)))
    state.late |= found is None or found.status == 1


def _take(groups: Groups, question: Question, model: Model, level: str, state: _State, found: Any) -> float | None:
    """Take what the solver found unless the plan in hand is better in this part; the model's worth of it when taken."""
    import numpy as np

    if found is None or found.x is None:
        return None
    grafts = np.rint(found.x[: model.grafts]).astype(int)
    before = exact(groups, state.grafts, question.sure)[level]
    if exact(groups, grafts, question.sure)[level] < before - _CLOSED:
        return None
    state.grafts = grafts
    state.cuts = np.rint(found.x[model.grafts : model.grafts + _ways(groups)]).astype(int)
    return float(model.worth[level] @ found.x)


def _ways(groups: Groups) -> int:
    return sum(len(stick.ways) for stick in groups.sticks)


def _solve(model: Model, level: str, floors: Sequence[tuple[str, float]], seconds: float, gap: float) -> Any:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, vstack

    if seconds <= 0:
        return None
    matrix, low, high = model.matrix, model.low, model.high
    if floors:
        matrix = vstack([matrix, csr_array(np.array([model.worth[name] for name, _ in floors]))], format="csr")
        low = np.concatenate([low, [least - _TIGHT * max(1.0, abs(least)) for _, least in floors]])
        high = np.concatenate([high, np.full(len(floors), np.inf)])
    return milp(
        -model.worth[level],
        integrality=model.whole,
        bounds=Bounds(0, model.most),
        constraints=LinearConstraint(matrix, low, high),
        options={"time_limit": seconds, "mip_rel_gap": gap},
    )


def _bound(model: Model, level: str, found: Any) -> float:
    """What no plan can pass; without an answer of the solver, what is reached when everything is had."""
    import numpy as np

    if found is not None and found.get("mip_dual_bound") is not None and np.isfinite(found.mip_dual_bound):
        return -float(found.mip_dual_bound)
    best = np.maximum(model.worth[level], 0)
    if level == "chance":
        return float(best.sum())
    return float((best * np.minimum(model.most, 1e9)).sum())


def _level(level: str, value: float, bound: float) -> Level:
    gap = max(0.0, bound - value) / max(abs(bound), abs(value), 1e-9)
    gap = 0.0 if gap < _CLOSED or bound - value < _CLOSED else gap
    return Level(level, WORDS[level], value, bound if gap else value, gap, gap == 0.0)


def exact(groups: Groups, grafts: Sequence[int] | NDArray[Any], sure: float) -> dict[str, float]:
    """Every part of the objective for so many grafts of each edge, exactly."""
    parts = dict.fromkeys(LEVELS, 0.0)
    each: list[list[float]] = [[] for _ in groups.wants]
    sites: dict[int, set[str]] = defaultdict(set)
    for edge, number in zip(groups.edges, grafts, strict=True):
        if number:
            each[edge.want] += [edge.how.chance] * int(number)
            sites[edge.want].add(groups.hosts[edge.host].site)
            parts["share"] -= (1 - met_share(edge.how.share)) * int(number)
            parts["wear"] -= (1 - groups.pieces[edge.piece].wear) * int(number)
    for at, want in enumerate(groups.wants):
        short = max(0, new_sites(want) - len(sites[at] - old_sites(want)))
        parts["sites" if is_must(want) else "spread"] -= weight(want) * short
        if is_must(want):
            parts["chance"] += weight(want) * min(sure, chance_of(want, each[at]))
        parts["value"] += weight(want) * worth(want, sum(each[at]))
    return parts


def _fixed(groups: Groups, question: Question, level: str) -> float:
    """What a part holds that no plan can change: wants with nothing to choose, and must-haves that live already."""
    able = {edge.want for edge in groups.edges}
    total = 0.0
    for at, want in enumerate(groups.wants):
        if level == ("sites" if is_must(want) else "spread") and at not in able:
            total -= weight(want) * new_sites(want)
        if level == "chance" and is_must(want) and (at not in able or chance_of(want, []) > 0):
            total += weight(want) * min(question.sure, chance_of(want, []))
    return total
