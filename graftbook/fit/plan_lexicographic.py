"""Lexicographic optimisation: the objectives one after another, each over the plans that keep the values of those before.

Each objective is a MILP (HiGHS). The value reached is computed exactly from the numbers of grafts; the upper bound comes from
the solver. A greedy plan is the first incumbent, and each solution of the solver is completed greedily with what its own
objective does not ask for: so when time runs out, a whole plan stands that is no worse than the greedy one, and the
objectives that were not optimised say so.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import ObjectiveResult, PlanProblem
from graftbook.fit.plan_greedy import completed, greedy
from graftbook.fit.plan_highs import solve_milp, upper_bound
from graftbook.fit.plan_milp import MilpModel, build_model
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objective_values import constant_term, objective_values, objective_vector, trivial_bound
from graftbook.fit.plan_objectives import ALIKE, OBJECTIVES, outranks

if TYPE_CHECKING:
    from numpy.typing import NDArray

WORDS = {
    "sites": "must-haves on the sites asked for",
    "chance": "the chance that enough of each must-have live",
    "spread": "other wants on the sites asked for",
    "value": "trees to be expected, by priority, counting less past the number wanted",
    "share": "how well the joints meet",
    "wear": "wood that keeps worst used first",
}


@dataclass(frozen=True)
class PlanSolution:
    """Grafts through each piece arc and each host arc, sticks cut in each way, and the objectives as far as optimised.

    `timed_out` when the time limit ended an optimisation before its proof.
    """

    piece_arcs: tuple[int, ...]
    host_arcs: tuple[int, ...]
    cuts: tuple[int, ...]
    objectives: tuple[ObjectiveResult, ...]
    timed_out: bool


@dataclass
class SolverState:
    """The incumbent (decision variables in the order piece arcs, host arcs, cuts), the greedy plan, the floors that keep the
    objectives optimised so far, and their results."""

    incumbent: NDArray[Any]
    greedy: NDArray[Any]
    floors: list[tuple[str, float]]
    objectives: list[ObjectiveResult]
    timed_out: bool = False


def start_of(network: PlanNetwork, problem: PlanProblem) -> SolverState:
    """The better of two greedy plans as the first incumbent (a warm start)."""
    import numpy as np

    first = np.array(greedy(network, problem.hold_back).vector, int)
    state = SolverState(first, first, [], [])
    offer(network, problem, state, completed(network, problem.hold_back).vector)
    state.greedy = state.incumbent
    return state


def offer(network: PlanNetwork, problem: PlanProblem, state: SolverState, vector: Sequence[int] | NDArray[Any]) -> None:
    """Make these decision variables the incumbent if they outrank it."""
    import numpy as np

    if outranks(objective_vector(network, problem, vector), objective_vector(network, problem, state.incumbent)):
        state.incumbent = np.array(vector, int)


def solve_lexicographic(network: PlanNetwork, problem: PlanProblem, upto: str = OBJECTIVES[-1]) -> PlanSolution:
    """The optimum of all objectives up to `upto`, one of OBJECTIVES, within the problem's seconds.

    `network` has at least one host arc. The time left is shared out among the objectives still to come.
    """
    end = time.monotonic() + problem.seconds
    state = start_of(network, problem)
    model = build_model(network, problem.hold_back, problem.sure)
    some = OBJECTIVES[: OBJECTIVES.index(upto) + 1]
    asked = [objective for objective in some if model.objective[objective].any()]
    for place, objective in enumerate(asked):
        left = end - time.monotonic()
        seconds = max(left / (len(asked) - place), left * 0.4)
        optimise_objective(network, problem, model, objective, state, seconds)
    return solution_of(network, problem, state)


def solution_of(network: PlanNetwork, problem: PlanProblem, state: SolverState) -> PlanSolution:
    """The incumbent, or the greedy plan where it outranks it, with every objective evaluated for it.

    A bound that holds only for plans with better values of the earlier objectives than those reached is dropped for the
    trivial one.
    """
    import numpy as np

    offer(network, problem, state, state.greedy)
    split = np.split(state.incumbent, [len(network.piece_arcs), len(network.piece_arcs) + len(network.host_arcs)])
    piece_arcs, host_arcs, cuts = (tuple(part.tolist()) for part in split)
    reached = objective_values(network, state.incumbent, problem.sure)
    objectives, holds = [], True
    for objective in state.objectives:
        bound = objective.bound if holds else trivial_bound(network, problem, objective.name)
        objectives.append(objective_result(objective.name, reached[objective.name], bound))
        holds &= reached[objective.name] >= objective.value - ALIKE * max(1.0, abs(objective.value))
    return PlanSolution(piece_arcs, host_arcs, cuts, tuple(objectives), state.timed_out)


def optimise_objective(
    network: PlanNetwork, problem: PlanProblem, model: MilpModel, objective: str, state: SolverState, seconds: float
) -> None:
    """Optimise one objective over the plans that keep the floors: incumbent, floor and result go into `state`."""
    end = time.monotonic() + seconds
    gap = problem.gap or 0.0
    constant = constant_term(network, problem, objective)
    found = solve_milp(model, objective, state.floors, seconds if model.exact else seconds * 0.5, gap)
    accept(network, problem, objective, state, found)
    value = objective_values(network, state.incumbent, problem.sure)[objective]
    floor = value - constant
    if model.exact or OBJECTIVES.index(objective) < OBJECTIVES.index("chance"):
        bound = upper_bound(model, objective, found)
    else:
        over = build_model(network, problem.hold_back, problem.sure, upper=True)
        floors = [(each.name, each.value - constant_term(network, problem, each.name)) for each in state.objectives]
        bound = upper_bound(over, objective, solve_milp(over, objective, floors, end - time.monotonic(), gap))
        if objective == "chance" and found is not None and found.x is not None:
            floor = min(floor, float(model.objective[objective] @ found.x))
    state.floors.append((objective, floor))
    bound = min(bound + constant, trivial_bound(network, problem, objective))
    state.objectives.append(objective_result(objective, value, bound))
    state.timed_out |= found is None or found.status == 1


def accept(network: PlanNetwork, problem: PlanProblem, objective: str, state: SolverState, found: Any) -> None:
    """Make the solver's solution, completed greedily where that helps, the incumbent, unless the incumbent is better from
    this objective on or the greedy plan is better in all."""
    import numpy as np

    if found is None or found.x is None:
        return
    vector = np.rint(found.x[: len(state.incumbent)]).astype(int)
    values, at = objective_vector(network, problem, vector), OBJECTIVES.index(objective)
    if at <= OBJECTIVES.index("value"):
        more = np.array(completed(network, problem.hold_back, vector).vector, int)
        of_more = objective_vector(network, problem, more)
        if outranks(of_more, values):
            vector, values = more, of_more
    now, least = (objective_vector(network, problem, some) for some in (state.incumbent, state.greedy))
    if not outranks(now[at:], values[at:]) and not outranks(least, values):
        state.incumbent = vector


def objective_result(objective: str, value: float, bound: float) -> ObjectiveResult:
    """An objective with value, bound and relative gap, (bound - value) / max(|bound|, |value|), rounding left out."""
    bound = max(bound, value)
    gap = (bound - value) / max(abs(bound), abs(value), 1e-9)
    gap = 0.0 if gap < ALIKE or bound - value < ALIKE else gap
    return ObjectiveResult(objective, WORDS[objective], value, bound if gap else value, gap, gap == 0.0)
