"""The plan against every plan there is, against published assignments, and what it says when something is in the way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from fit.plan_problems import A1, A2, B2, best_of, day, faults, large_day, problems, rate
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from graftbook.errors import UsageProblem
from graftbook.fit import plan_columns, plan_highs, plan_objective_values, plan_two_stage
from graftbook.fit.plan_facts import HostFact, PieceFact, PlanProblem, Possible, StickFact, WantFact
from graftbook.fit.plan_greedy import greedy
from graftbook.fit.plan_network import build_network
from graftbook.fit.plan_next_best import holding_costs
from graftbook.fit.plan_objectives import A_STICK
from graftbook.fit.plan_solve import plan


def best(problem):
    try:
        return best_of(problem)
    except OverflowError:
        assume(False)


@settings(max_examples=80)
@given(problems())
def test_no_plan_of_all_there_are_is_lexicographically_better(problem):
    found = plan(problem)
    assert () == faults(problem, found.pairs)
    assert best(problem) == pytest.approx(rate(problem, found.pairs), abs=2e-6)
    assert found.status in ("optimal", "none")
    for objective in found.objectives:
        assert objective.value == pytest.approx(getattr(rate(problem, found.pairs), objective.name), abs=1e-9)


@settings(max_examples=60)
@given(problems())
def test_where_chances_are_merged_the_gap_holds_the_best_plan(problem):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plan_columns, "MOST_COLUMNS", 2)
        found = plan(problem)
    assert () == faults(problem, found.pairs)
    chance = next((objective for objective in found.objectives if objective.name == "chance"), None)
    if chance is not None:
        assert chance.value - 1e-6 <= best(problem)[1] <= chance.bound + 1e-6
        assert chance.value == pytest.approx(rate(problem, found.pairs).chance)


@settings(max_examples=60)
@given(problems())
def test_a_large_problem_is_optimised_as_a_small_one_but_for_the_last_objective(problem):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plan_two_stage, "LARGE", 0)
        found = plan(replace(problem, gap=0.0))
    assert () == faults(problem, found.pairs)
    reached, values = rate(problem, found.pairs), best(problem)
    assert values[:-1] == pytest.approx(reached[:-1], abs=2e-6)
    bound = next((objective.bound for objective in found.objectives if objective.name == "wear"), 0.0)
    assert reached[-1] - 1e-6 <= values[-1] <= bound + 1e-6


def assignment(costs: np.ndarray) -> PlanProblem:
    """One stick of a cultivar of its own for each row, one stock of a kind of its own for each column."""
    most = costs.max()
    rows, columns = costs.shape
    return PlanProblem(
        tuple(StickFact(f"W{row}", f"W{row}", f"C{row}", ((PieceFact(f"p{row}", 2),),), 2) for row in range(rows)),
        tuple(HostFact(f"P{column}", f"h{column}") for column in range(columns)),
        tuple(
            Possible(f"p{row}", f"h{column}", "cleft", 0.9, 1 - costs[row, column] / most)
            for row in range(rows)
            for column in range(columns)
        ),
        tuple(WantFact(str(row), f"C{row}", 1) for row in range(rows)),
    )


def least(costs: np.ndarray) -> float:
    found = plan(assignment(costs))
    assert "optimal" == found.status and min(costs.shape) == len(found.pairs)
    strong = next(objective.value for objective in found.objectives if objective.name == "strong")
    return -(strong + A_STICK * len(found.pairs)) * costs.max()


@pytest.mark.parametrize(
    ("expected", "costs"),
    [
        # The documentation of scipy.optimize.linear_sum_assignment (from memory).
        (5, [[4, 1, 3], [2, 0, 5], [3, 2, 2]]),
        # The worked example of the Hungarian algorithm in encyclopaedias (from memory).
        (15, [[8, 4, 7], [5, 2, 3], [9, 4, 8]]),
        # The tests of the Python package munkres (from memory).
        (850, [[400, 150, 400], [400, 450, 600], [300, 225, 300]]),
        (15, [[10, 10, 8, 11], [9, 8, 1, 1], [9, 7, 4, 10]]),
    ],
)
def test_least_assignments_against_published_examples(expected, costs):
    assert expected == pytest.approx(least(np.array(costs, float)))


@settings(max_examples=25)
@given(
    st.integers(2, 7).flatmap(
        lambda n: st.lists(st.lists(st.integers(0, 99), min_size=n, max_size=n), min_size=n, max_size=n)
    )
)
def test_least_assignments_against_scipy(rows):
    costs = np.array(rows, float) + 1
    at = linear_sum_assignment(costs)
    assert costs[at].sum() == pytest.approx(least(costs))


def test_a_minimum_cost_flow_against_a_published_example():
    """Google OR-Tools guide, Minimum Cost Flows: cost 150 (the figure from memory), through the solver that plans use."""
    arcs = np.array([(0, 1, 15, 4), (0, 2, 8, 4), (1, 2, 20, 2), (1, 3, 4, 2), (1, 4, 10, 6), (2, 3, 15, 1), (2, 4, 4, 3),
                     (3, 4, 20, 2), (4, 2, 5, 3)], float)  # fmt: skip
    net = np.zeros((5, len(arcs)))
    net[arcs[:, 0].astype(int), range(len(arcs))] += 1
    net[arcs[:, 1].astype(int), range(len(arcs))] -= 1
    from graftbook.fit.plan_milp import MilpModel

    supply = np.array([20, 0, 0, -5, -15], float)
    model = MilpModel(net, supply, supply, np.ones(len(arcs), np.uint8), np.zeros(len(arcs)), arcs[:, 2],
                  {"value": -arcs[:, 3]}, True)  # fmt: skip
    found = plan_highs.run_milp(model, "value", [], 10.0, 0.0)
    assert 150 == pytest.approx(found.fun)
    assert [12, 8, 8, 4, 0, 12, 4, 11, 0] == pytest.approx(found.x.tolist())


def test_the_cuts_are_chosen_for_what_the_stocks_take():
    """Two scions of three buds or three of two: with three stocks the stick is cut in three, with two as the joints say."""
    long, short = PieceFact("long", 3), PieceFact("short", 2)
    stick = StickFact("W1/1", "W1", "A", ((long, long), (short, short, short)), 6)
    able = (Possible("long", "apple", "cleft", 0.9, 1.0), Possible("short", "apple", "cleft", 0.8, 0.9))
    hosts = tuple(HostFact(f"P{number}", "apple") for number in range(3))
    problem = day(sticks=(stick,), possible=able, hosts=hosts, wants=(WantFact("1", "A", 5),))
    assert [short] * 3 == [pair.cut for pair in plan(problem).pairs]
    assert [long] * 2 == [pair.cut for pair in plan(replace(problem, hosts=hosts[:2])).pairs]


def test_a_must_have_comes_before_any_number_of_others():
    """One stock: a tree of B that must live, at an even chance, before a sure tree of A of the first priority."""
    sticks = (*day().sticks, StickFact("W2/1", "W2", "B", ((B2,),), 3))
    able = (Possible(A2.kind, "apple", "cleft", 1.0), Possible(B2.kind, "apple", "cleft", 0.5))
    wants = (WantFact("1", "A", 1), WantFact("2", "B", 1, 1, priority=9))
    found = plan(day(sticks=sticks, possible=able, wants=wants, hosts=(HostFact("P1", "apple"),)))
    assert ["2"] == [pair.want for pair in found.pairs]


def test_a_must_have_takes_no_stock_from_others_once_it_is_safe():
    sticks = (*day().sticks, StickFact("W2/1", "W2", "B", ((B2, B2, B2),), 9))
    able = (Possible(A2.kind, "apple", "cleft", 0.8), Possible(B2.kind, "apple", "cleft", 0.8))
    hosts = tuple(HostFact(f"P{number}", "apple") for number in range(4))
    wants = (WantFact("1", "A", 1, 1), WantFact("2", "B", 2))
    found = plan(day(sticks=sticks, possible=able, wants=wants, hosts=hosts))
    assert {"1": 2, "2": 2} == {want.key: want.grafts for want in found.wants}
    assert 0.96 == pytest.approx(found.wants[0].chance)
    every = plan(day(sticks=sticks, possible=able, wants=wants, hosts=hosts, sure=1.0))
    assert {"1": 3, "2": 1} == {want.key: want.grafts for want in every.wants}


def test_must_haves_stand_on_two_sites_and_what_lives_already_counts():
    hosts = (HostFact("P1", "apple", "home"), HostFact("P2", "apple", "home"), HostFact("P3", "far", "school"))
    able = (Possible(A2.kind, "apple", "cleft", 0.8, 1.0), Possible(A2.kind, "far", "cleft", 0.6, 0.5))
    want = WantFact("1", "A", 2, 2, sites=2)
    stick = replace(day().sticks[0], ways=((A2, A2),))
    problem = day(sticks=(stick,), hosts=hosts, possible=able, wants=(want,))
    assert ("home", "school") == plan(problem).wants[0].sites
    living = replace(want, already=(("school", 1),))
    found = plan(replace(problem, wants=(living,)))
    assert {"P1", "P2"} == {pair.host for pair in found.pairs}
    assert (1, 1 + 1.6) == (found.wants[0].already, pytest.approx(found.wants[0].expected))


def test_worn_wood_is_used_first_among_equals():
    fresh = StickFact("W1/1", "W1", "A", ((A2,),), 2, wear=0.1)
    worn = replace(fresh, key="W2/1", bundle="W2", wear=0.9)
    found = plan(day(sticks=(fresh, worn), wants=(WantFact("1", "A", 1),), hosts=(HostFact("P1", "apple"),)))
    assert ["W2/1"] == [pair.stick for pair in found.pairs]


def test_holding_buds_back_keeps_them_and_what_it_costs_is_stated():
    problem = day(wants=(WantFact("1", "A", 3, 1),), hold_back=1)
    found = plan(problem)
    assert 2 == len(found.pairs) and 2 == found.cuts[0].buds_left
    assert found.pairs == plan(replace(problem, hold_back=2)).pairs
    (cost,) = holding_costs(problem, found, 2)
    assert (0.16, 0.8) == (pytest.approx(cost.chance_lost), pytest.approx(cost.expected_lost))


def short_of(**changes):
    found = plan(day(**changes))
    return [(short.of, short.number, short.words) for short in found.shortages]


def test_each_shortage_says_what_is_lacking():
    many = tuple(HostFact(f"P{number}", "apple", clone="M.26", grade="8-10 mm") for number in range(9))
    assert [("buds", 4, "A wants 2 more grafts, 4 buds or so; 0 are left.")] == short_of(
        hosts=many, wants=(WantFact("1", "A", 4),)
    )
    assert [("stocks", 1, "A wants 1 more graft; none that would do is free; best would be M.26 8-10 mm.")] == short_of(
        hosts=many[:2], wants=(WantFact("1", "A", 2),)
    )
    assert ("sticks", 2, "C wants 2 more grafts; there is no wood of it.") in short_of(
        wants=(WantFact("1", "A", 1), WantFact("2", "C", 2))
    )
    assert ("stocks", 1, "A wants 1 more graft on Colt; no stock of it is free.") in short_of(
        wants=(WantFact("1", "A", 1, clones=("Colt",)),)
    )
    found_words = short_of(wants=(WantFact("1", "A", 2, 2, sites=2),))
    assert ("sites", 1, "A is wanted on 2 sites and is on 1: hosts that would do stand on 1.") in found_words
    assert (
        "chance",
        0,
        "At least 2 of A must live, on 1 of 2 sites; the chance of it is 64%, and 95% was asked for.",
    ) in found_words
    barred = (replace(day().sticks[0], barred=("A health note says suspect.",)),)
    found_words = short_of(sticks=barred, wants=(WantFact("1", "A", 1),))
    assert [
        ("sticks", 1, "A wants 1 more graft; its wood may not be used: W1/1: A health note says suspect.")
    ] == found_words
    assert [("fit", 1, "A wants 1 more graft; no gate lets its wood go on any stock that is free.")] == short_of(
        possible=()
    )


@pytest.mark.parametrize(
    ("changes", "words", "nearest"),
    [
        ({"wants": ()}, "Nothing is wanted.", "Say what is wanted."),
        ({"sticks": ()}, "There is no wood.", "Wood of a cultivar that is wanted (A) that may be used."),
        ({"hosts": ()}, "There is no stock, tree or limb to graft on.", "A stock or a free place on a tree that may be grafted."),
        ({"hosts": (HostFact("P1", "apple", barred=("It is dead.",)),)}, "P1: It is dead.",
         "A stock or a free place on a tree that may be grafted."),
        ({"possible": ()}, "No piece of the wood that is wanted may go on any of the stocks by any method.",
         "Stocks or wood of another thickness or kind, another method or another day; ask of one pair why it does not go."),
        ({"wants": (WantFact("1", "A", 1, clones=("Colt",)),)}, "A is wanted on Colt alone, and no such stock is free.",
         "On another rootstock than the ones asked for, grafts could be made."),
        ({"wants": (WantFact("1", "C", 1),)}, "None of the wood is of a cultivar that is wanted.",
         "Wood of a cultivar that is wanted (C) that may be used."),
    ],
)  # fmt: skip
def test_where_nothing_can_be_grafted_the_plan_says_what_is_in_the_way_and_what_is_nearest(changes, words, nearest):
    found = plan(day(**changes))
    assert ("none", ()) == (found.status, found.pairs)
    assert words in found.in_the_way
    assert nearest == found.nearest


def test_contradictions_are_named_all_at_once():
    problem = day(
        wants=(WantFact("1", "A", 1, 2, 3), WantFact("1", "A", 0)),
        sticks=(StickFact("W1/1", "W1", "A", ((A2, A1),), 2),),
        hold_back=-1,
        seconds=0,
        sure=0,
    )
    with pytest.raises(UsageProblem) as found_words:
        plan(problem)
    for word in ("must live", "no more sites than trees", "each want once", "1 or more", "with no more than its 2 buds",
                 "hold back", "more than 0 seconds", "safe enough"):  # fmt: skip
        assert word in str(found_words.value), word


def test_when_time_runs_out_the_greedy_plan_stands_and_says_so():
    found = plan(day(seconds=1e-9))
    assert "gap" == found.status and 2 == len(found.pairs)
    assert found.message.startswith("Time ran out before the plan was proven best; another plan may be better in ")


def test_many_sticks_alike_are_assigned_one_by_one_and_no_more_are_cut_than_need_be():
    sticks = (replace(day().sticks[0], many=40),)
    hosts = (HostFact("P1", "apple", "home", positions=25), HostFact("P2", "apple", "home", positions=3))
    problem = day(sticks=sticks, hosts=hosts, wants=(WantFact("1", "A", 40),))
    found = plan(problem)
    assert () == faults(problem, found.pairs)
    assert 28 == len(found.pairs) == len({(pair.stick, pair.stick_number, pair.piece) for pair in found.pairs})
    assert 10 == len(found.cuts)


def test_a_large_day_breaks_no_rule_and_its_figures_are_those_of_its_pairs():
    problem = large_day()
    found = plan(problem)
    assert () == faults(problem, found.pairs)
    rated = rate(problem, found.pairs)
    assert {"chance", "value", "strong", "wear"} <= {objective.name for objective in found.objectives}
    for objective in found.objectives:
        assert getattr(rated, objective.name) == pytest.approx(objective.value, abs=1e-6)
        assert objective.value <= objective.bound + 1e-9
    for name in ("sites", "chance", "spread", "value"):
        assert all(objective.gap < 0.01 for objective in found.objectives if objective.name == name)
    network = build_network(problem)
    hand = plan_objective_values.objective_values(network, greedy(network, problem), problem)
    assert tuple(hand[name] for name in ("sites", "chance")) <= (rated.sites + 1e-6, rated.chance + 1e-6)
    assert len(found.pairs) == sum(want.grafts for want in found.wants) == sum(len(cut.pieces) for cut in found.cuts)
    for cut in found.cuts:
        assert 7 == cut.buds_left + sum(piece.buds for piece in cut.pieces)


def test_a_list_of_pairs_changed_by_hand_names_everything_it_breaks():
    problem = day(wants=(WantFact("1", "A", 3),), hold_back=3)
    (pair,) = plan(problem).pairs
    twice = (pair, replace(pair, method="bark"))
    found_words = faults(problem, twice)
    assert "Place 1 of P1 is given 2 times." in found_words
    assert "W1/1 does not go on P1 by bark." in found_words
    assert "Stick 1 of W1/1 cannot be cut like that." in found_words
    assert "Too few buds of A are held back." in found_words
    assert ("There is no stick 2 of W1/1.",) == faults(problem, (replace(pair, stick_number=2),))
    assert ("P9 is no host of this day.",) == faults(problem, (replace(pair, host="P9"),))


@given(st.permutations(range(4)))
def test_the_order_in_which_things_are_given_changes_no_objective(order):
    sticks = tuple(
        StickFact(f"W{n}", f"W{n}", "AB"[n % 2], (((A2,) if n % 2 == 0 else (B2,)),), 4, wear=n / 5) for n in range(4)
    )
    hosts = tuple(HostFact(f"P{n}", "thin" if n < 2 else "thick") for n in range(4))
    able = tuple(
        Possible(piece.kind, host, "cleft", chance, share)
        for piece, host, chance, share in ((A2, "thin", 0.8, 0.9), (A2, "thick", 0.6, 1.0), (B2, "thick", 0.7, 0.8))
    )
    wants = (WantFact("1", "A", 2, 1), WantFact("2", "B", 2))
    values = [
        rate(problem, plan(problem).pairs)
        for problem in (
            PlanProblem(sticks, hosts, able, wants),
            PlanProblem(tuple(sticks[at] for at in order), tuple(hosts[at] for at in order), able[::-1], wants),
        )
    ]
    assert values[0] == pytest.approx(values[1])
