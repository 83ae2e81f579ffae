"""A large problem in two stages: chances, sites and value over aggregated kinds, then joints and wear over the kinds themselves.

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
from graftbook.fit.plan_facts import ObjectiveResult, PlanProblem
from graftbook.fit.plan_highs import LEAST_SECONDS, dual_bound, relaxation_bound, solve_milp
from graftbook.fit.plan_lexicographic import (
    PlanSolution,
    SolverState,
    accept,
    objective_result,
    offer,
    solution_of,
    solve_lexicographic,
    start_of,
)
from graftbook.fit.plan_milp import MilpModel, build_model, build_reassignment, totals_of
from graftbook.fit.plan_network import PlanNetwork, build_network
from graftbook.fit.plan_objective_values import constant_term, objective_values, trivial_bound
from graftbook.fit.plan_objectives import OBJECTIVES

# From so many decision variables on, a problem is large.
LARGE = 1500
# The relative gaps that will do for stage 1 and stage 2, unless the problem sets one.
AGGREGATE_GAP, LARGE_GAP = 0.0005, 0.002
# So long at the most for a MILP that proves an upper bound of joints or wear, in seconds.
_LONGEST = {"share": 15.0, "wear": 3.0}
# A MILP is begun when there is so many times the time that its relaxation took.
MILP_TIME_RATIO = 3.0


def is_large(network: PlanNetwork) -> bool:
    """Whether a problem has so many decision variables that it is solved in two stages."""
    return len(network.piece_arcs) + len(network.host_arcs) + network.ways > LARGE


def solve_two_stage(network: PlanNetwork, problem: PlanProblem) -> PlanSolution:
    """A plan of a large problem with an optimality gap for every objective, within the problem's seconds.

    `network` has at least one host arc. The last two objectives are near their optimum and seldom proven.
    """
    end = time.monotonic() + problem.seconds
    state = start_of(network, problem)
    if end - time.monotonic() <= LEAST_SECONDS:
        return _greedy_only(network, problem, state)
    _solve_aggregated(network, problem, state, end)
    totals = totals_of(network, state.incumbent[: len(network.piece_arcs)].tolist())
    reassignment = build_reassignment(network, totals, problem.hold_back)
    found = solve_milp(reassignment, "share", [], end - time.monotonic(), _gap(problem))
    state.timed_out |= found is None or found.status == 1
    if found is None or found.x is None:
        state.objectives += [_unsolved(network, problem, objective, state) for objective in OBJECTIVES[-2:]]
        return solution_of(network, problem, state)
    accept(network, problem, "sites", state, found)
    _improve_wear(network, problem, state, end)
    model = build_model(network, problem.hold_back, problem.sure, upper=True)
    for objective in OBJECTIVES[-2:]:
        _bound_and_improve(network, problem, model, objective, state, end)
    return solution_of(network, problem, state)


def _greedy_only(network: PlanNetwork, problem: PlanProblem, state: SolverState) -> PlanSolution:
    """The greedy plan, where there was time for nothing else."""
    model = build_model(network, problem.hold_back, problem.sure)
    state.timed_out = True
    state.objectives = [
        _unsolved(network, problem, objective, state) for objective in OBJECTIVES if model.objective[objective].any()
    ]
    return solution_of(network, problem, state)


def _solve_aggregated(network: PlanNetwork, problem: PlanProblem, state: SolverState, end: float) -> None:
    """Stage 1: incumbent, floors and results of the objectives up to the value go into `state`."""
    left = max(end - time.monotonic(), 1e-6)
    gap = AGGREGATE_GAP if problem.gap is None else problem.gap
    aggregated = replace(aggregate(problem), seconds=left * 0.6, gap=gap)
    aggregated_network = build_network(aggregated)
    first = solve_lexicographic(aggregated_network, aggregated, "value")
    state.objectives, state.timed_out = list(first.objectives), first.timed_out
    offer(network, problem, state, disaggregate(problem, network, aggregated_network, first))
    reached = objective_values(network, state.incumbent, problem.sure)
    state.floors = [
        (each.name, reached[each.name] - constant_term(network, problem, each.name)) for each in first.objectives
    ]


def _improve_wear(network: PlanNetwork, problem: PlanProblem, state: SolverState, end: float) -> None:
    """Reassign the pieces, the hosts staying as they are, so that worn wood goes first."""
    split, stop = len(network.piece_arcs), len(network.piece_arcs) + len(network.host_arcs)
    totals = totals_of(network, state.incumbent[:split].tolist())
    reassignment = build_reassignment(network, totals, problem.hold_back, state.incumbent[split:stop].tolist())
    found = solve_milp(reassignment, "wear", [], (end - time.monotonic()) * 0.5, _gap(problem))
    accept(network, problem, "wear", state, found)


def _bound_and_improve(
    network: PlanNetwork, problem: PlanProblem, model: MilpModel, objective: str, state: SolverState, end: float
) -> None:
    """The upper bound of an objective: from the relaxation, then from the MILP where time allows and no chances were merged,
    which may find a better plan too. `model` takes merged chances as the highest of them."""
    start = time.monotonic()
    relaxed = relaxation_bound(model, objective, state.floors, end - start) if end - start > LEAST_SECONDS else None
    bound = trivial_bound(network, problem, objective) if relaxed is None else relaxed
    took, left = time.monotonic() - start, end - time.monotonic()
    state.timed_out |= left <= LEAST_SECONDS
    value = objective_values(network, state.incumbent, problem.sure)[objective]
    if model.exact and left > took * MILP_TIME_RATIO and not objective_result(objective, value, bound).proven:
        limit = min(left * 0.5, _LONGEST[objective])
        found = solve_milp(model, objective, state.floors, limit, problem.gap or 0.0)
        proved = dual_bound(found)
        bound = bound if proved is None else min(bound, proved)
        accept(network, problem, objective, state, found)
        if objective == "share":
            _improve_wear(network, problem, state, end)
    value = objective_values(network, state.incumbent, problem.sure)[objective]
    state.floors.append((objective, value))
    state.objectives.append(objective_result(objective, value, bound))


def _unsolved(network: PlanNetwork, problem: PlanProblem, objective: str, state: SolverState) -> ObjectiveResult:
    """The result of an objective for which there was no time."""
    value = objective_values(network, state.incumbent, problem.sure)[objective]
    return objective_result(objective, value, trivial_bound(network, problem, objective))


def _gap(problem: PlanProblem) -> float:
    return LARGE_GAP if problem.gap is None else problem.gap
