"""What is handed back when time runs out: whole, no worse than the plan by hand, and with bounds that hold."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from fit.plan_given import best_of, day, large_day, questions
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from graftbook.fit import plan_columns, plan_large, plan_parts, plan_settle
from graftbook.fit.plan_bound import loose_bound
from graftbook.fit.plan_check import faults
from graftbook.fit.plan_facts import Question, WantFact
from graftbook.fit.plan_greedy import filled, greedy
from graftbook.fit.plan_groups import group
from graftbook.fit.plan_model import Model
from graftbook.fit.plan_solve import plan
from graftbook.fit.plan_value import outranks, rate

SMALL, LARGE = 10**9, 0


def by_hand(question: Question) -> tuple[float, ...]:
    groups = group(question)
    return plan_parts.parts_of(groups, question, greedy(groups, question.hold_back).numbers)


def answering(times: int):
    """The solver, out of time after so many answers."""
    left, ask = [times], plan_settle._ask

    def some(*args):
        left[0] -= 1
        return ask(*args) if left[0] >= 0 else SimpleNamespace(status=1, x=None, get=lambda name: None)

    return some


def check(question: Question, found) -> tuple[float, ...]:
    parts = rate(question, found.pairs).parts()
    assert () == faults(question, found.pairs)
    assert not outranks(by_hand(question), parts)
    for level in found.levels:
        assert getattr(rate(question, found.pairs), level.name) == pytest.approx(level.value, abs=1e-6)
        assert level.value <= level.bound + 1e-9
    return parts


@pytest.mark.parametrize("large", [SMALL, LARGE])
@pytest.mark.parametrize("seconds", [0.01, 0.1, 0.5])
def test_a_plan_in_no_time_is_never_worse_than_the_one_by_hand(monkeypatch, seconds, large):
    monkeypatch.setattr(plan_settle, "LARGE", large)
    found = plan(replace(large_day(), seconds=seconds))
    check(large_day(), found)
    if seconds == 0.01:
        assert found.message.startswith("Time ran out before all was proven")
        assert "gap" == found.status


@pytest.mark.parametrize("large", [SMALL, LARGE])
def test_parts_settled_before_time_runs_out_are_kept_and_the_rest_is_filled_up_by_hand(monkeypatch, large):
    question = large_day()
    monkeypatch.setattr(plan_settle, "LARGE", large)
    question = replace(question, gap=0.002, seconds=20.0)
    whole = rate(question, plan(question).pairs)
    for times in range(5):
        with monkeypatch.context() as patch:
            patch.setattr(plan_settle, "_ask", answering(times))
            found = plan(question)
        parts = check(question, found)
        assert found.message.startswith("Time ran out")
        # One part after another: sites, chance, spread, value.
        assert whole.parts()[:times] == pytest.approx(parts[:times], rel=0.01, abs=1e-6)
        assert parts[3] > 0.9 * by_hand(question)[3]


@settings(max_examples=60)
@given(questions(), st.integers(0, 9), st.sampled_from([SMALL, LARGE]), st.sampled_from([2, 1500]))
def test_bounds_told_late_hold_every_plan_that_is_as_good_before(question, times, large, most):
    try:
        best = dict(zip(plan_settle.LEVELS, best_of(question), strict=True))
    except OverflowError:
        assume(False)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plan_settle, "LARGE", large)
        patch.setattr(plan_columns, "MOST_COLUMNS", most)
        patch.setattr(plan_settle, "_ask", answering(times))
        found = plan(question)
    check(question, found)
    for level in found.levels:
        assert best[level.name] <= level.bound + 2e-6
        if best[level.name] > level.value + 2e-6:
            assert not level.proven
            break


@given(questions())
def test_filling_up_breaks_no_rule_and_loses_no_must_have(question):
    groups = group(question)
    assume(groups.lanes)
    start = greedy(groups, question.hold_back).numbers
    more = filled(groups, question.hold_back, start)
    split = len(groups.uses) + len(groups.lanes)
    assert all(a <= b for a, b in zip(start[:split], more.numbers[:split], strict=True))
    before, after = (plan_parts.exact(groups, some, question.sure) for some in (start, more.numbers))
    for part in ("sites", "chance", "value"):
        assert before[part] <= after[part] + 1e-9
    assert () == faults(question, plan(replace(question, seconds=1e-9)).pairs)


def test_wants_on_two_sites_are_spread_by_hand_too_when_there_is_no_time():
    question = large_day()
    spread = sum(want.sites > 1 for want in question.wants)
    found = plan(replace(question, seconds=1e-9))
    assert spread > 1
    assert rate(question, found.pairs).sites > by_hand(question)[0]


def test_of_two_plans_the_first_part_that_differs_decides():
    assert outranks((0.0, 2.0, 1.0), (0.0, 1.0, 9.0))
    assert not outranks((0.0, 1.0, 9.0), (0.0, 2.0, 1.0))
    assert outranks((0.0, 1.0, 9.0), (1e-9, 1.0, 1.0))
    assert not outranks((1.0, 1.0), (1.0, 1.0))


def test_the_bound_without_whole_numbers_against_a_published_flow():
    """Google OR-Tools guide, Minimum Cost Flows: cost 150 (the figure from memory); flows are whole of themselves."""
    arcs = np.array([(0, 1, 15, 4), (0, 2, 8, 4), (1, 2, 20, 2), (1, 3, 4, 2), (1, 4, 10, 6), (2, 3, 15, 1), (2, 4, 4, 3),
                     (3, 4, 20, 2), (4, 2, 5, 3)], float)  # fmt: skip
    net = np.zeros((5, len(arcs)))
    net[arcs[:, 0].astype(int), range(len(arcs))] += 1
    net[arcs[:, 1].astype(int), range(len(arcs))] -= 1
    from scipy.sparse import csr_array

    supply = np.array([20, 0, 0, -5, -15], float)
    model = Model(csr_array(net), supply, supply, np.ones(len(arcs)), np.zeros(len(arcs)), arcs[:, 2],
                  {"value": -arcs[:, 3], "share": -np.eye(len(arcs))[0]}, True)  # fmt: skip
    assert -150 == pytest.approx(loose_bound(model, "value", [], 10.0))
    # The first arc carries 12 in every flow of the least cost; 20 less the 8 that fit the second arc.
    assert -12 == pytest.approx(loose_bound(model, "share", [("value", -150.0)], 10.0), abs=1e-3)
    assert loose_bound(model, "value", [("value", -149.0)], 10.0) is None


def test_no_bound_is_made_up_where_none_is_found(monkeypatch):
    monkeypatch.setattr(plan_settle, "LARGE", LARGE)
    monkeypatch.setattr(plan_large, "loose_bound", lambda *args: None)
    monkeypatch.setattr(plan_large, "_WORTH_TRYING", float("inf"))
    found = plan(day(wants=(WantFact("1", "A", 1),)))
    share = next(level for level in found.levels if level.name == "share")
    assert (0.0, 1.0, False) == (share.bound, share.gap, share.proven)
