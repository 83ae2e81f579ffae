"""What it costs to hold buds back for a later method: the same day planned again with more of them kept."""

from __future__ import annotations

from dataclasses import replace

from graftbook.fit.plan_facts import HoldingCost, Plan, PlanProblem
from graftbook.fit.plan_solve import plan


def holding_costs(problem: PlanProblem, found: Plan, more: int = 1) -> tuple[HoldingCost, ...]:
    """What each want loses when `more` buds (1 or more) of every wanted cultivar are held back beside those already.

    `found` is the plan of the question as it stands. Wants in the order of the question; one that loses nothing is told
    with zeros. A loss may be negative: stocks that one cultivar gives up another may take. Raises as `plan`.
    """
    buds = problem.hold_back + more
    other = plan(replace(problem, hold_back=buds))
    costs = []
    for now, then in zip(found.wants, other.wants, strict=True):
        chance = None if now.chance is None or then.chance is None else now.chance - then.chance
        costs.append(
            HoldingCost(
                now.key, buds, problem.hold_back, now.grafts - then.grafts, chance, now.expected - then.expected
            )
        )
    return tuple(costs)
