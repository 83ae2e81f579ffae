"""What is handed back when time runs out: whole, no worse than the greedy plan, and with bounds that hold."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from fit.plan_problems import best_of, day, faults, large_day, problems, rate
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from graftbook.fit import plan_columns, plan_highs, plan_objective_values, plan_objectives, plan_two_stage
from graftbook.fit.plan_facts import PlanProblem, WantFact
from graftbook.fit.plan_greedy import completed, greedy
from graftbook.fit.plan_highs import relaxation_bound
from graftbook.fit.plan_milp import MilpModel
from graftbook.fit.plan_network import build_network
from graftbook.fit.plan_objectives import outranks
from graftbook.fit.plan_solve import plan

SMALL, LARGE = 10**9, 0


def greedy_values(problem: PlanProblem) -> tuple[float, ...]:
    network = build_network(problem)
    return plan_objective_values.objective_vector(network, problem, greedy(network, problem))


def answering(times: int):
    """The solver, out of time after so many answers."""
    left, ask = [times], plan_highs.run_milp

    def some(*args):
        left[0] -= 1
        return ask(*args) if left[0] >= 0 else SimpleNamespace(status=1, x=None, get=lambda name: None)

    return some


def check(problem: PlanProblem, found) -> tuple[float, ...]:
    values = rate(problem, found.pairs)
    assert () == faults(problem, found.pairs)
    assert not outranks(greedy_values(problem), values)
    for objective in found.objectives:
        assert getattr(rate(problem, found.pairs), objective.name) == pytest.approx(objective.value, abs=1e-6)
        assert objective.value <= objective.bound + 1e-9
    return values


@pytest.mark.parametrize("large", [SMALL, LARGE])
@pytest.mark.parametrize("seconds", [0.01, 0.1, 0.5])
def test_a_plan_in_no_time_is_never_worse_than_the_greedy_one(monkeypatch, seconds, large):
    monkeypatch.setattr(plan_two_stage, "LARGE", large)
    found = plan(replace(large_day(), seconds=seconds))
    check(large_day(), found)
    if seconds == 0.01:
        assert found.message.startswith("Time ran out before the plan was proven best")
        assert "gap" == found.status


@pytest.mark.parametrize("large", [SMALL, LARGE])
def test_objectives_optimised_before_time_runs_out_are_kept_and_the_rest_is_completed_greedily(monkeypatch, large):
    problem = large_day()
    monkeypatch.setattr(plan_two_stage, "LARGE", large)
    problem = replace(problem, gap=0.002, seconds=20.0)
    whole = rate(problem, plan(problem).pairs)
    for times in range(5):
        with monkeypatch.context() as patch:
            patch.setattr(plan_highs, "run_milp", answering(times))
            found = plan(problem)
        values = check(problem, found)
        assert found.message.startswith("Time ran out")
        # One objective after another: sites, chance, spread, value.
        first = min(times, 3)
        assert whole[:first] == pytest.approx(values[:first], rel=0.01, abs=1e-6)
        assert values[3] > 0.9 * greedy_values(problem)[3]


@settings(max_examples=60)
@given(problems(), st.integers(0, 9), st.sampled_from([SMALL, LARGE]), st.sampled_from([2, 1500]))
def test_bounds_at_the_time_limit_hold_every_plan_that_is_as_good_before(problem, times, large, most):
    try:
        best = dict(zip(plan_objectives.OBJECTIVES, best_of(problem), strict=True))
    except OverflowError:
        assume(False)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plan_two_stage, "LARGE", large)
        patch.setattr(plan_columns, "MOST_COLUMNS", most)
        patch.setattr(plan_highs, "run_milp", answering(times))
        found = plan(problem)
    check(problem, found)
    for objective in found.objectives:
        assert best[objective.name] <= objective.bound + 2e-6
        if best[objective.name] > objective.value + 2e-6:
            assert not objective.proven
            break


@given(problems())
def test_greedy_completion_breaks_no_rule_and_loses_no_must_have(problem):
    network = build_network(problem)
    assume(network.host_arcs)
    start = greedy(network, problem)
    more = completed(network, problem, start)
    split = len(network.piece_arcs) + len(network.host_arcs)
    assert all(a <= b for a, b in zip(start[:split], more[:split], strict=True))
    before, after = (plan_objective_values.objective_values(network, some, problem) for some in (start, more))
    for name in ("sites", "chance", "value"):
        assert before[name] <= after[name] + 1e-9
    assert () == faults(problem, plan(replace(problem, seconds=1e-9)).pairs)


def test_wants_on_two_sites_are_spread_by_the_heuristic_too_when_there_is_no_time():
    problem = large_day()
    spread = sum(want.sites > 1 for want in problem.wants)
    found = plan(replace(problem, seconds=1e-9))
    assert spread > 1
    assert rate(problem, found.pairs).sites > greedy_values(problem)[0]


def test_of_two_plans_the_first_objective_that_differs_decides():
    assert outranks((0.0, 2.0, 1.0), (0.0, 1.0, 9.0))
    assert not outranks((0.0, 1.0, 9.0), (0.0, 2.0, 1.0))
    assert outranks((0.0, 1.0, 9.0), (1e-9, 1.0, 1.0))
    assert not outranks((1.0, 1.0), (1.0, 1.0))


def test_the_bound_of_the_relaxation_against_a_published_flow():
    """Google OR-Tools guide, Minimum Cost Flows: cost 150 (the figure from memory); flows are whole of themselves."""
    arcs = np.array([(0, 1, 15, 4), (0, 2, 8, 4), (1, 2, 20, 2), (1, 3, 4, 2), (1, 4, 10, 6), (2, 3, 15, 1), (2, 4, 4, 3),
                     (3, 4, 20, 2), (4, 2, 5, 3)], float)  # fmt: skip
    net = np.zeros((5, len(arcs)))
    net[arcs[:, 0].astype(int), range(len(arcs))] += 1
    net[arcs[:, 1].astype(int), range(len(arcs))] -= 1
    from scipy.sparse import csr_array

    supply = np.array([20, 0, 0, -5, -15], float)
    model = MilpModel(csr_array(net), supply, supply, np.ones(len(arcs)), np.zeros(len(arcs)), arcs[:, 2],
                  {"value": -arcs[:, 3], "share": -np.eye(len(arcs))[0]}, True)  # fmt: skip
    assert -150 == pytest.approx(relaxation_bound(model, "value", [], 10.0))
    # The first arc carries 12 in every flow of the least cost; 20 less the 8 that fit the second arc.
    assert -12 == pytest.approx(relaxation_bound(model, "share", [("value", -150.0)], 10.0), abs=1e-3)
    assert relaxation_bound(model, "value", [("value", -149.0)], 10.0) is None


def test_no_bound_is_made_up_where_none_is_found(monkeypatch):
    monkeypatch.setattr(plan_two_stage, "LARGE", LARGE)
    monkeypatch.setattr(plan_two_stage, "relaxation_bound", lambda *args: None)
    monkeypatch.setattr(plan_two_stage, "MILP_TIME_RATIO", float("inf"))
    found = plan(day(wants=(WantFact("1", "A", 1),)))
    share = next(objective for objective in found.objectives if objective.name == "strong")
    assert (0.0, 1.0, False) == (share.bound, share.gap, share.proven)
