"""A large problem in two stages: chances, sites and trees over aggregated kinds, then joints and wear over the kinds themselves.

Stage 1 optimises how many grafts of which chance each want gets, and on which sites, on the aggregated problem, where the
optimum can be proven; its solution is disaggregated and becomes the incumbent. Stage 2 keeps those totals while pieces and
hosts are reassigned for their joints; then the hosts stay too, and pieces are chosen so that worn wood goes first. The upper
bounds of these two objectives come from the full model with the same floors: from its linear relaxation, and from the MILP
where time allows. So a gap is shown and not hidden.
"""

from __future__ import annotations

import time
from dataclasses import replace

from graftbook.fit.plan_aggregate import aggregate
from graftbook.fit.plan_disaggregate import disaggregate
from graftbook.fit.plan_facts import PlanProblem
from graftbook.fit.plan_highs import LEAST_SECONDS, dual_bound, relaxation_bound, solve_milp
from graftbook.fit.plan_lexicographic import PlanSearch, PlanSolution, objective_result, solve_lexicographic
from graftbook.fit.plan_milp import MilpModel, build_model, build_reassignment
from graftbook.fit.plan_network import PlanNetwork, build_network
from graftbook.fit.plan_objective_values import trivial_bound
from graftbook.fit.plan_objectives import OBJECTIVES

# From so many decision variables on, a problem is large.
LARGE = 1500
# The relative gaps that will do for stage 1 and stage 2, unless the problem sets one.
AGGREGATE_GAP, LARGE_GAP = 0.0005, 0.002
# So long at the most for a MILP that proves an upper bound of joints or wear, in seconds.
_LONGEST = {"strong": 15.0, "wear": 3.0}
# A MILP is begun when there is so many times the time that its relaxation took.
MILP_TIME_RATIO = 3.0


def is_large(network: PlanNetwork) -> bool:
    """Whether a problem has so many decision variables that it is solved in two stages."""
    return network.ends[-1] > LARGE


def solve_two_stage(network: PlanNetwork, problem: PlanProblem) -> PlanSolution:
    """A plan of a large problem with an optimality gap for every objective, within the problem's seconds.

    `network` has at least one host arc. The last two objectives are near their optimum and seldom proven.
    """
    end = time.monotonic() + problem.seconds
    search = PlanSearch(network, problem)
    if end - time.monotonic() <= LEAST_SECONDS:
        return _greedy_only(search)
    _solve_aggregated(search, end)
    reassignment = build_reassignment(network, search.incumbent, problem.hold_back)
    found = solve_milp(reassignment, "strong", [], end - time.monotonic(), _gap(problem))
    search.timed_out |= found is None or found.status == 1
    search.accept("sites", found)
    if found is None or found.x is None:
        for objective in OBJECTIVES[-2:]:
            search.conclude(objective)
        return search.solution()
    _improve_wear(search, end)
    model = build_model(network, problem, upper=True)
    for objective in OBJECTIVES[-2:]:
        _bound_and_improve(search, model, objective, end)
    return search.solution()


def _greedy_only(search: PlanSearch) -> PlanSolution:
    """The greedy plan, where there was time for nothing else."""
    model = build_model(search.network, search.problem)
    search.timed_out = True
    for objective in OBJECTIVES:
        if model.objective[objective].any():
            search.conclude(objective)
    return search.solution()


def _solve_aggregated(search: PlanSearch, end: float) -> None:
    """Stage 1: incumbent, floors and results of the objectives before the joints go into `search`."""
    problem, left = search.problem, max(end - time.monotonic(), 1e-6)
    gap = AGGREGATE_GAP if problem.gap is None else problem.gap
    aggregated = replace(aggregate(problem), seconds=left * 0.6, gap=gap)
    aggregated_network = build_network(aggregated)
    first = solve_lexicographic(aggregated_network, aggregated, "last")
    search.objectives, search.timed_out = list(first.objectives), first.timed_out
    search.offer(disaggregate(problem, search.network, aggregated_network, first))
    search.floors = [(each.name, search.value(each.name) - search.constant(each.name)) for each in first.objectives]


def _improve_wear(search: PlanSearch, end: float) -> None:
    """Reassign the pieces, the hosts staying as they are, so that worn wood goes first."""
    reassignment = build_reassignment(search.network, search.incumbent, search.problem.hold_back, keep_hosts=True)
    search.accept("wear", solve_milp(reassignment, "wear", [], (end - time.monotonic()) * 0.5, _gap(search.problem)))


def _bound_and_improve(search: PlanSearch, model: MilpModel, objective: str, end: float) -> None:
    """The upper bound of an objective: from the relaxation, then from the MILP where time allows and no chances were merged,
    which may find a better plan too. `model` takes merged chances as the highest of them."""
    start = time.monotonic()
    relaxed = relaxation_bound(model, objective, search.floors, end - start) if end - start > LEAST_SECONDS else None
    bound = trivial_bound(search.network, search.problem, objective) if relaxed is None else relaxed
    took, left = time.monotonic() - start, end - time.monotonic()
    search.timed_out |= left <= LEAST_SECONDS
    proven = objective_result(objective, search.value(objective), bound).proven
    if model.exact and left > took * MILP_TIME_RATIO and not proven:
        limit = min(left * 0.5, _LONGEST[objective])
        found = solve_milp(model, objective, search.floors, limit, search.problem.gap or 0.0)
        proved = dual_bound(found)
        bound = bound if proved is None else min(bound, proved)
        search.accept(objective, found)
        if objective == "strong":
            _improve_wear(search, end)
    search.floors.append((objective, search.value(objective)))
    search.conclude(objective, bound)


def _gap(problem: PlanProblem) -> float:
    return LARGE_GAP if problem.gap is None else problem.gap
