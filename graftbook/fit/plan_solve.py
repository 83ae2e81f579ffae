"""A plan for a grafting day: which stick is cut how, which piece goes on which host, and what is short.

The objectives and their order are those of `plan_objectives`; the method is that of `plan_lexicographic`, for a large problem
that of `plan_two_stage`.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

from graftbook.fit.plan_assignment import assign
from graftbook.fit.plan_check import check
from graftbook.fit.plan_facts import HostFact, ObjectiveResult, PlanProblem, SolvedPlan, StickFact
from graftbook.fit.plan_lexicographic import PlanSolution, solve_lexicographic
from graftbook.fit.plan_network import PlanNetwork, build_network
from graftbook.fit.plan_two_stage import is_large, solve_two_stage
from graftbook.fit.plan_words import left_over, results

# Assignment takes so many seconds a place or so, and no more than this share of the time is kept for it.
_ASSIGNMENT_SECONDS, _MOST_KEPT = 6e-5, 0.3
# Gaps up to here are near enough.
_NEAR = 0.01


def plan(problem: PlanProblem) -> SolvedPlan:
    """The best pairs for a grafting day, with shortages, what is left over and the optimality gaps.

    Where nothing can be grafted the plan has the status `none` and says what stands in the way. Raises UsageProblem naming
    everything in the problem that contradicts itself.
    """
    start = time.monotonic()
    check(problem)
    network = build_network(problem)
    if not network.host_arcs:
        return _none(problem, network, time.monotonic() - start)
    within = replace(problem, seconds=_left(problem, start))
    solution = solve_two_stage(network, within) if is_large(network) else solve_lexicographic(network, within)
    pairs, cuts = assign(network, solution)
    wants = results(problem, network, pairs, solution)
    status = "optimal" if all(objective.proven for objective in solution.objectives) else "gap"
    left = left_over(problem, pairs, cuts, wants)
    late = solution.timed_out and status != "optimal"
    message, seconds = _message(solution, status == "optimal"), time.monotonic() - start
    return SolvedPlan(status, pairs, cuts, wants, solution.objectives, left, (), "", message, seconds, late)


def _left(problem: PlanProblem, start: float) -> float:
    """The seconds left to the solver, some being kept for the assignment."""
    places = sum(host.positions for host in problem.hosts)
    kept = min(problem.seconds * _MOST_KEPT, places * _ASSIGNMENT_SECONDS)
    return max(problem.seconds - kept - (time.monotonic() - start), 1e-6)


def _message(solution: PlanSolution, proven: bool) -> str:
    if proven:
        return "Proven best, by the rules in their order."
    near = all(objective.gap < _NEAR for objective in solution.objectives)
    why = "Near enough to the best" if near else "Not proven best by every rule"
    why = "Time ran out before the plan was proven best" if solution.timed_out else why
    room = [f"{objective.words} ({_room(objective)})" for objective in solution.objectives if not objective.proven]
    return f"{why}; another plan may be better in {'; '.join(room)}."


def _room(objective: ObjectiveResult) -> str:
    if objective.gap >= 1:
        return "by how much is not known"
    return "less than 0.1% better" if objective.gap < 0.001 else f"at most {objective.gap:.1%} better"


def _none(problem: PlanProblem, network: PlanNetwork, seconds: float) -> SolvedPlan:
    wants = results(problem, network, (), None)
    return SolvedPlan(
        "none",
        wants=wants,
        left_over=left_over(problem, (), (), wants),
        in_the_way=tuple(_in_the_way(problem, network)),
        nearest=_nearest(problem, network),
        message="No graft can be made.",
        seconds=seconds,
    )


def _in_the_way(problem: PlanProblem, network: PlanNetwork) -> Iterator[str]:
    if not problem.wants:
        yield "Nothing is wanted."
    if not problem.sticks:
        yield "There is no wood."
    if not problem.hosts:
        yield "There is no stock, tree or limb to graft on."
    things: tuple[StickFact | HostFact, ...] = (*problem.sticks, *problem.hosts)
    for thing in things:
        if thing.barred:
            yield f"{thing.key}: {thing.barred[0]}"
    labels = {want.label for want in problem.wants}
    if problem.wants and problem.sticks and not any(stick.label in labels for stick in problem.sticks):
        yield "None of the wood is of a cultivar that is wanted."
    standing = {host.clone for host in problem.free_hosts}
    for want in problem.wants:
        if want.clones and standing and not standing & set(want.clones):
            yield f"{want.label} is wanted on {' or '.join(want.clones)} alone, and no such stock is free."
    if network.buds and standing and not network.pieces:
        yield "No piece of the wood that is wanted may go on any of the stocks by any method."


def _nearest(problem: PlanProblem, network: PlanNetwork) -> str:
    """The smallest change that would let a graft be made."""
    if not problem.wants:
        return "Say what is wanted."
    if any(want.clones for want in problem.wants):
        freed = tuple(replace(want, clones=()) for want in problem.wants)
        if build_network(replace(problem, wants=freed)).host_arcs:
            return "On another rootstock than the ones asked for, grafts could be made."
    if not network.buds:
        names = ", ".join(sorted({want.label for want in problem.wants})[:3])
        return f"Wood of a cultivar that is wanted ({names}) that may be used."
    if not problem.free_hosts:
        return "A stock or a free place on a tree that may be grafted."
    return "Stocks or wood of another thickness or kind, another method or another day; ask of one pair why it does not go."
