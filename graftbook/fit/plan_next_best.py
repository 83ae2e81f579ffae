"""What another choice would cost: the best plan with other numbers of scions for one want, and the one with more buds held back.

The next best is found by the same objectives in their order, over all plans but those in which the want is grafted with the
very numbers of scions of each length that the plan has; so it may differ by one bud, and then says how little that costs.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import HoldingCost, NextBest, PlanProblem, SolvedPlan
from graftbook.fit.plan_highs import solve_milp
from graftbook.fit.plan_milp import ScionMix, build_model
from graftbook.fit.plan_network import PlanNetwork, build_network
from graftbook.fit.plan_objective_values import objective_vector
from graftbook.fit.plan_objectives import ALIKE, OBJECTIVES, is_must_have, living_chance
from graftbook.fit.plan_solve import plan
from graftbook.fit.plan_two_stage import is_large

if TYPE_CHECKING:
    from numpy.typing import NDArray


def holding_costs(problem: PlanProblem, found: SolvedPlan, more: int = 1) -> tuple[HoldingCost, ...]:
    """What each want loses when `more` buds (1 or more) of every wanted cultivar are held back beside those already.

    `found` is the plan of the problem as it stands; the day is planned again with more buds held back. Wants in the order of
    the problem; one that loses nothing stands with zeros. A loss may be negative: stocks that one cultivar gives up another
    may take. None at all where time ran out, since a better plan would cost less. Raises as `plan`.
    """
    other = plan(replace(problem, hold_back=problem.hold_back + more))
    if other.timed_out:
        return ()
    return tuple(
        HoldingCost(now.key, now.chance, then.chance, now.expected - then.expected)
        for now, then in zip(found.wants, other.wants, strict=True)
    )


def next_best(problem: PlanProblem, found: SolvedPlan, seconds: float) -> tuple[NextBest, ...]:
    """For each want that is grafted, the best plan with other numbers of scions for it, as far as `seconds` (above 0) go.

    `found` is the plan of the problem. Where chances were merged it is the best by the highest of them, and its own chance is
    exact all the same. None at all for a problem so large that it is solved in stages.
    """
    network, end = build_network(problem), time.monotonic() + seconds
    if not network.host_arcs or is_large(network):
        return ()
    results = []
    for at, want in enumerate(network.wants):
        made = Counter(pair.cut.buds for pair in found.pairs if pair.want == want.key)
        model = build_model(network, problem, upper=True, other_than=ScionMix(at, made)) if made else None
        vector = None if model is None else _solved(model, end)
        if vector is not None:
            results.append(_told(problem, network, found, at, vector))
    return tuple(results)


def _solved(model: Any, end: float) -> NDArray[Any] | None:
    """The optimum of the model by all objectives in their order; None where time ran out or there is none."""
    floors: list[tuple[str, float]] = []
    solution = None
    for objective in OBJECTIVES:
        if model.objective[objective].any():
            solution = solve_milp(model, objective, floors, end - time.monotonic(), 0.0)
            if solution is None or solution.status != 0:
                return None
            floors.append((objective, float(model.objective[objective] @ solution.x)))
    return None if solution is None else solution.x.round().astype(int)


def _told(problem: PlanProblem, network: PlanNetwork, found: SolvedPlan, at: int, vector: NDArray[Any]) -> NextBest:
    each: list[list[tuple[str, float]]] = [[] for _ in network.wants]
    scions: Counter[int] = Counter()
    for arc, number in zip(network.piece_arcs, vector.tolist(), strict=False):
        each[arc.want] += [(network.site(arc), arc.chance)] * number
        if arc.want == at:
            scions[network.pieces[arc.piece].buds] += number
    want = network.wants[at]
    expected = [
        wanted.living_already + sum(chance for _, chance in grafts)
        for wanted, grafts in zip(network.wants, each, strict=True)
    ]
    lost = [now.expected - then for now, then in zip(found.wants, expected, strict=True)]
    chance = living_chance(want, each[at]) if is_must_have(want) else None
    now = [objective.value for objective in found.objectives]
    names = [objective.name for objective in found.objectives]
    then = dict(zip(OBJECTIVES, objective_vector(network, problem, vector), strict=True))
    worse = _first_worse(names, now, [then[name] for name in names])
    mix = tuple(sorted(((buds, number) for buds, number in scions.items() if number), reverse=True))
    return NextBest(want.key, mix, chance, expected[at], sum(lost) - lost[at], worse)


def _first_worse(names: Sequence[str], now: Sequence[float], then: Sequence[float]) -> str:
    for name, mine, other in zip(names, now, then, strict=True):
        if mine - other > 2 * ALIKE:
            return name
    return ""
