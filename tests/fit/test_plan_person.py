"""The best plan for the person: sums by hand, every way there is, and the same plan by another formulation of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from fit.plan_problems import chance_had, sites_within_reach
from scipy.optimize import Bounds, LinearConstraint, milp

from graftbook.fit.plan_facts import HostFact, PieceFact, PlanProblem, Possible, StickFact, WantFact
from graftbook.fit.plan_law import had_everywhere
from graftbook.fit.plan_next_best import holding_costs, next_best
from graftbook.fit.plan_solve import plan

TWO, ONE = PieceFact("two", 2), PieceFact("one", 1)


def cut(buds: int) -> tuple[tuple[PieceFact, ...], ...]:
    """Every way to cut so many buds into scions of two and of one."""
    return tuple((TWO,) * twos + (ONE,) * (buds - 2 * twos) for twos in range(buds // 2, -1, -1))


def two_living(each: list[float]) -> float:
    """The chance that two or more live, all outcomes added up."""
    return sum(
        np.prod([p if lived else 1 - p for p, lived in zip(each, lives, strict=True)])
        for lives in product((False, True), repeat=len(each))
        if sum(lives) >= 2
    )


def last_wood(**changes) -> PlanProblem:
    """Nine buds on sticks of five and four, six matched stocks and two too thick until the bark slips; two must live."""
    sticks = (StickFact("W1/hand", "W1", "A", cut(5), 5), StickFact("W2", "W2", "A", cut(4), 4))
    hosts = tuple(HostFact(f"P{at}", "matched" if at < 7 else "too thick") for at in range(1, 9))
    able = (Possible("two", "matched", "splice", 0.80, 0.9), Possible("one", "matched", "splice", 0.65, 0.9, 0.5))
    return replace(PlanProblem(sticks, hosts, able, (WantFact("1", "A", 2, 2, last=True),)), **changes)


def grafts(found) -> tuple[int, int]:
    buds = Counter(pair.cut.buds for pair in found.pairs)
    return buds[2], buds[1]


def test_the_sums_of_the_worked_case_by_enumeration():
    ways = {
        (len([piece for piece in (*first, *second) if piece is TWO]), len([*first, *second])): None
        for first, second in product(cut(5), cut(4))
    }
    assert (3, 6) in ways
    assert 0.994 == round(two_living([0.8] * 3 + [0.65] * 3), 3)
    assert 0.973 == round(two_living([0.8] * 4), 3)
    assert 0.978 == round(two_living([0.65] * 6), 3)
    assert 0.990 == round(two_living([0.8] * 2 + [0.65] * 4), 3)
    assert 0.9936 == pytest.approx(had_everywhere(2, 0, (), [0.8] * 3 + [0.65] * 3), abs=5e-5)


def test_the_last_wood_is_cut_for_the_best_chance_and_a_bud_held_back_costs_what_it_costs():
    problem = last_wood()
    found = plan(problem)
    (cost,) = holding_costs(problem, found)
    (other,) = next_best(problem, found, 10.0)

    assert () == holding_costs(replace(problem, seconds=1e-6), found)
    assert ("optimal", (3, 3), 0.994) == (found.status, grafts(found), round(found.wants[0].chance, 3))
    assert (0.994, 0.990) == (round(cost.chance, 3), round(cost.chance_held, 3))
    assert (((2, 2), (1, 4)), 0.990, "last") == (other.scions, round(other.chance, 3), other.costs)
    assert not any("all it was wanted for" in left.why for left in found.left_over)


def test_wood_that_is_not_the_last_stops_once_it_is_safe():
    found = plan(last_wood(wants=(WantFact("1", "A", 2, 2),)))

    assert ((4, 0), 0.973) == (grafts(found), round(found.wants[0].chance, 3))


def test_last_wood_left_on_the_stick_is_said_to_be_the_last():
    found = plan(last_wood(hosts=last_wood().hosts[:3]))

    assert (3, 0) == grafts(found)
    assert ["It is the last wood of A: keep it for a later method or for spares, and throw none away."] == list(
        {left.why for left in found.left_over if left.of == "wood"}
    )


def bench(wants, sticks=20, stocks=40, **more) -> PlanProblem:
    """Sticks of six buds, those of A first and as many of B, on stocks alike; a splice of one bud takes at 63 %."""
    pieces = {(label, buds): PieceFact(f"{label}{buds}", buds) for label in "AB" for buds in (1, 2)}
    ways = {
        label: tuple((pieces[label, 2],) * two + (pieces[label, 1],) * (6 - 2 * two) for two in (3, 2, 1, 0))
        for label in "AB"
    }
    able = tuple(
        Possible(f"{label}{buds}", "stock", "splice", 0.8 if buds == 2 else 0.63, 0.9, 0.0 if buds == 2 else 0.5)
        for label, buds in pieces
    )
    half = sticks // 2
    wood = tuple(StickFact(f"W{label}", f"W{label}", label, ways[label], 6, half) for label in "AB")
    hosts = (HostFact("P1", "stock", positions=stocks),)
    return PlanProblem(wood, hosts, able, wants, **more)


def test_no_graft_is_made_past_the_number_wanted_and_no_bud_is_spared_while_there_are_plenty():
    """Twenty sticks, forty stocks, ten and four trees wanted: 10 / 0.8 is 12.5 and 4 / 0.8 is 5, so 13 and 5 scions of two
    buds."""
    found = plan(bench((WantFact("1", "A", 10), WantFact("2", "B", 4))))

    assert {"1": 13, "2": 5} == Counter(pair.want for pair in found.pairs)
    assert {2} == {pair.cut.buds for pair in found.pairs}
    assert all(want.met for want in found.wants)


def test_spare_trees_are_planned_when_asked_for_and_never_before_the_wanted_ones():
    wants = (WantFact("1", "A", 10), WantFact("2", "B", 4))
    spare = plan(bench(wants, spare=0.1))
    scarce = plan(bench(wants, stocks=18, spare=0.5))

    assert {"1": 14, "2": 6} == Counter(pair.want for pair in spare.pairs)  # 11 / 0.8 and 4.4 / 0.8
    assert {"1": 13, "2": 5} == Counter(pair.want for pair in scarce.pairs)


def test_short_scions_are_cut_where_the_wood_is_short_and_not_the_stocks():
    """Six buds for six trees and stocks enough: six scions of one bud are 3.78 trees, three of two are 2.4."""
    found = plan(bench((WantFact("1", "A", 6),), sticks=2, stocks=9))

    assert {1} == {pair.cut.buds for pair in found.pairs}
    assert 6 == len(found.pairs)


def test_a_must_have_on_two_sites_is_had_when_one_lives_on_each():
    """Two grafts of 0.8 on each site: 0.96 on each, so 0.9216 on both; two of four living in all would be 0.9728."""
    hosts = tuple(HostFact(f"P{at}", "apple", "home" if at < 3 else "school") for at in range(1, 5))
    stick = StickFact("W1", "W1", "A", ((TWO,) * 4,), 8)
    able = (Possible("two", "apple", "splice", 0.8),)
    found = plan(PlanProblem((stick,), hosts, able, (WantFact("1", "A", 2, 2, 2),), sure=0.9))
    doubt = plan(PlanProblem((stick,), hosts, able, (WantFact("1", "A", 2, 2, 2),), sure=0.97))

    assert {"home": 2, "school": 2} == Counter(pair.site for pair in found.pairs)
    assert 0.9216 == pytest.approx(found.wants[0].chance)
    assert found.wants[0].met and not doubt.wants[0].met
    assert "one on each of 2 sites; the chance of it is 92%" in " ".join(short.words for short in doubt.shortages)


@pytest.mark.parametrize("seed", range(12))
def test_the_law_of_sites_against_every_outcome(seed):
    draw = np.random.default_rng(seed)
    places = [draw.uniform(0.2, 0.95, draw.integers(0, 4)).round(2).tolist() for _ in range(draw.integers(1, 4))]
    elsewhere = draw.uniform(0.2, 0.95, draw.integers(0, 3)).round(2).tolist()
    count, sites = int(draw.integers(0, 5)), int(draw.integers(0, len(places) + 1))
    each = [(at, p) for at, some in enumerate(places) for p in some] + [(None, p) for p in elsewhere]
    total = 0.0
    for lives in product((False, True), repeat=len(each)):
        alive = [at for (at, _), lived in zip(each, lives, strict=True) if lived]
        if len(alive) >= count and len(set(alive) - {None}) >= sites:
            total += np.prod([p if lived else 1 - p for (_, p), lived in zip(each, lives, strict=True)])
    assert total == pytest.approx(had_everywhere(count, sites, places, elsewhere))


@pytest.mark.parametrize("seed", range(6))
def test_expected_trees_against_another_formulation(seed):
    """HiGHS with a variable for each pair of a bud count and a stock class, and trees capped at the number wanted."""
    draw = np.random.default_rng(seed)
    wants = tuple(WantFact(str(at), "AB"[at], int(draw.integers(2, 9)), priority=at + 1) for at in range(2))
    sticks, stocks = int(draw.integers(2, 8)), int(draw.integers(3, 14))
    found = plan(bench(wants, sticks=sticks, stocks=stocks))
    value = next(objective.value for objective in found.objectives if objective.name == "value")
    half = sticks // 2
    # Variables: scions of two and of one of A, the same of B, trees of A and of B.
    rows = [([2, 1, 0, 0, 0, 0], 6 * half), ([0, 0, 2, 1, 0, 0], 6 * half), ([1, 1, 1, 1, 0, 0], stocks),
            ([-0.8, -0.63, 0, 0, 1, 0], 0), ([0, 0, -0.8, -0.63, 0, 1], 0),
            ([1, 0, 0, 0, 0, 0], 3 * half), ([0, 0, 1, 0, 0, 0], 3 * half)]  # fmt: skip
    most = [np.inf] * 4 + [want.number for want in wants]
    other = milp(
        [0, 0, 0, 0, -1, -0.5], integrality=[1, 1, 1, 1, 0, 0], bounds=Bounds(0, most),
        constraints=LinearConstraint([row for row, _ in rows], -np.inf, [high for _, high in rows]),
    )  # fmt: skip
    assert -other.fun == pytest.approx(value)


def test_the_chances_of_a_plan_are_those_of_all_outcomes():
    problem = last_wood()
    found = plan(problem)
    want = problem.wants[0]

    assert chance_had(want, found.pairs, sites_within_reach(problem, want)) == pytest.approx(found.wants[0].chance)
