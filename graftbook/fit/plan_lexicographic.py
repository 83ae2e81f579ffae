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
from graftbook.fit.plan_objective_values import (
    constant_term,
    objective_values,
    objective_vector,
    trivial_bound,
    without_idle_cuts,
)
from graftbook.fit.plan_objectives import ALIKE, OBJECTIVES, outranks

if TYPE_CHECKING:
    from numpy.typing import NDArray

WORDS = {
    "sites": "must-haves on the sites asked for",
    "chance": "the chance that enough of each must-have live",
    "spread": "other wants on the sites asked for",
    "value": "trees to be expected up to the number wanted, by priority",
    "spare": "trees to be expected beside them, as far as asked for",
    "last": "the last wood of a cultivar used for its best chance",
    "strong": "joints that meet well and scions with all their buds",
    "wear": "wood that keeps worst used first, and few stocks",
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


class PlanSearch:
    """A problem being optimised: the incumbent (decision variables in the order piece arcs, host arcs, cuts), the greedy plan,
    the floors that keep the objectives optimised so far, and their results."""

    def __init__(self, network: PlanNetwork, problem: PlanProblem) -> None:
        """The better of two greedy plans is the first incumbent (a warm start)."""
        import numpy as np

        self.network, self.problem = network, problem
        self.incumbent: NDArray[Any] = np.array(without_idle_cuts(network, greedy(network, problem)), int)
        self.floors: list[tuple[str, float]] = []
        self.objectives: list[ObjectiveResult] = []
        self.timed_out = False
        self.offer(completed(network, problem))
        self.greedy = self.incumbent

    def value(self, objective: str) -> float:
        """The value of an objective for the incumbent."""
        return objective_values(self.network, self.incumbent, self.problem)[objective]

    def constant(self, objective: str) -> float:
        """What no decision variable changes in an objective."""
        return constant_term(self.network, self.problem, objective)

    def conclude(self, objective: str, bound: float | None = None) -> None:
        """Add the result of an objective for the incumbent; `bound` None takes the trivial one, as where there was no time."""
        bound = trivial_bound(self.network, self.problem, objective) if bound is None else bound
        self.objectives.append(objective_result(objective, self.value(objective), bound))

    def offer(self, vector: Sequence[int] | NDArray[Any]) -> None:
        """Make these decision variables the incumbent if they outrank it."""
        import numpy as np

        vector = without_idle_cuts(self.network, vector)
        if outranks(self._values(vector), self._values(self.incumbent)):
            self.incumbent = np.array(vector, int)

    def accept(self, objective: str, found: Any) -> None:
        """Make the solver's solution, completed greedily where that helps, the incumbent, unless the incumbent is better from
        this objective on or the greedy plan is better in all."""
        import numpy as np

        if found is None or found.x is None:
            return
        rounded: NDArray[Any] = np.rint(found.x[: len(self.incumbent)]).astype(int)
        vector = without_idle_cuts(self.network, rounded)
        values, at = self._values(vector), OBJECTIVES.index(objective)
        if at <= OBJECTIVES.index("value"):
            more = without_idle_cuts(self.network, completed(self.network, self.problem, vector))
            of_more = self._values(more)
            if outranks(of_more, values):
                vector, values = more, of_more
        now, least = self._values(self.incumbent), self._values(self.greedy)
        if not outranks(now[at:], values[at:]) and not outranks(least, values):
            self.incumbent = np.array(vector, int)

    def _values(self, vector: Sequence[int] | NDArray[Any]) -> tuple[float, ...]:
        return objective_vector(self.network, self.problem, vector)

    def optimise(self, model: MilpModel, objective: str, seconds: float) -> None:
        """Optimise one objective over the plans that keep the floors."""
        end, problem, gap = time.monotonic() + seconds, self.problem, self.problem.gap or 0.0
        found = solve_milp(model, objective, self.floors, seconds if model.exact else seconds * 0.5, gap)
        self.timed_out |= found is None or found.status == 1
        self.accept(objective, found)
        floor = self.value(objective) - self.constant(objective)
        if model.exact or OBJECTIVES.index(objective) < OBJECTIVES.index("chance"):
            bound = upper_bound(model, objective, found)
        else:
            over = build_model(self.network, problem, upper=True)
            floors = [(each.name, each.value - self.constant(each.name)) for each in self.objectives]
            hoped = solve_milp(over, objective, floors, end - time.monotonic(), gap)
            bound = upper_bound(over, objective, hoped)
            if hoped is not None and hoped.x is not None:
                # What was hoped of merged chances may hold: the plan is rated by the exact ones.
                self.offer(hoped.x[: len(self.incumbent)].round().astype(int))
                floor = self.value(objective) - self.constant(objective)
            if objective in ("chance", "last") and found is not None and found.x is not None:
                floor = min(floor, float(model.objective[objective] @ found.x))
        self.floors.append((objective, floor))
        trivial = trivial_bound(self.network, problem, objective)
        self.conclude(objective, min(bound + self.constant(objective), trivial))

    def solution(self) -> PlanSolution:
        """The incumbent, or the greedy plan where it outranks it, with every objective evaluated for it.

        A bound that holds only for plans with better values of the earlier objectives than those reached is dropped for the
        trivial one.
        """
        self.offer(self.greedy)
        results, self.objectives, holds = self.objectives, [], True
        for result in results:
            self.conclude(result.name, result.bound if holds else None)
            holds &= self.objectives[-1].value >= result.value - ALIKE * max(1.0, abs(result.value))
        arcs, both, _ = self.network.ends
        variables = tuple(self.incumbent.tolist())
        parts = variables[:arcs], variables[arcs:both], variables[both:]
        return PlanSolution(*parts, tuple(self.objectives), self.timed_out)


def solve_lexicographic(network: PlanNetwork, problem: PlanProblem, upto: str = OBJECTIVES[-1]) -> PlanSolution:
    """The optimum of all objectives up to `upto`, one of OBJECTIVES, within the problem's seconds.

    `network` has at least one host arc. The time left is shared out among the objectives still to come.
    """
    end = time.monotonic() + problem.seconds
    search = PlanSearch(network, problem)
    model = build_model(network, problem)
    some = OBJECTIVES[: OBJECTIVES.index(upto) + 1]
    asked = [objective for objective in some if model.objective[objective].any()]
    for place, objective in enumerate(asked):
        left = end - time.monotonic()
        search.optimise(model, objective, max(left / (len(asked) - place), left * 0.4))
    return search.solution()


def objective_result(objective: str, value: float, bound: float) -> ObjectiveResult:
    """An objective with value, bound and relative gap, (bound - value) / max(|bound|, |value|), rounding left out."""
    bound = max(bound, value)
    gap = (bound - value) / max(abs(bound), abs(value), 1e-9)
    gap = 0.0 if gap < ALIKE or bound - value < ALIKE else gap
    return ObjectiveResult(objective, WORDS[objective], value, bound if gap else value, gap, gap == 0.0)
