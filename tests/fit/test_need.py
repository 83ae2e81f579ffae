"""Back from an order: rounding loses no tree, the chance is exact, and the store is shared out as well as can be."""

from fractions import Fraction
from itertools import product

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.fit.need import StageRate, apportioned, grafts_needed, sticks_for
from graftbook.fit.need_store import OrderLine, StoreStocks, StoreWood, against_store
from graftbook.stats.binomial import at_least, binomial_at_least

TAKE, WINTER, GRADE = StageRate("take", 0.85), StageRate("winter", 0.96), StageRate("grade", 0.92)
rates = st.lists(st.integers(5, 100).map(lambda percent: percent / 100), min_size=1, max_size=4)


def stages(each):
    return [StageRate(f"stage {at}", rate) for at, rate in enumerate(each)]


def test_an_order_of_2500_trees_by_hand():
    """2500 / 0.92 = 2717.4; 2500 / (0.92 x 0.96) = 2830.6; 2500 / (0.92 x 0.96 x 0.85) = 3330.1: rounded up once each."""
    need = grafts_needed(2500, [TAKE, WINTER, GRADE])
    assert [("take", 3331, 2831), ("winter", 2831, 2718), ("grade", 2718, 2500)] == [
        (step.name, step.into, step.out) for step in need.steps
    ]
    assert (3331, 0.75072) == (need.grafts, pytest.approx(need.through))
    assert (0, 0.0, 2500.0) == (need.standing, need.gives, need.short)
    assert (3175, 2383.536) == (need.flat_grafts, pytest.approx(need.flat_trees))
    assert need.low_grafts is None
    assert at_least(2500, [0.75072] * 3331) == pytest.approx(need.chance)
    assert at_least(2500, [0.75072] * 3175) < 0.001 < need.chance < 0.9 <= at_least(2500, [0.75072] * need.sure_grafts)
    assert at_least(2500, [0.75072] * (need.sure_grafts - 1)) < 0.9
    assert need.on_top[0] == (
        "27.0% on top, all losses added up, would be 3175 grafts and leave 2384 trees of 2500: losses are shares of what is "
        "grafted, which is more than what is ordered, so it takes 3331."
    )


def test_what_stands_has_only_the_losses_before_it_that_are_still_ahead():
    """12,400 made, of which 10,964 took: 10,964 x 0.96 x 0.92 = 9683.4 of those, and 1,436 x 0.75072 = 1078.0 of the others."""
    took = grafts_needed(9800, [TAKE, WINTER, GRADE], standing=[0, 10_964])
    both = grafts_needed(9800, [TAKE, WINTER, GRADE], standing=[1436, 10_964])
    grown = grafts_needed(9800, [TAKE, WINTER, GRADE], standing=[0, 0, 10_964])
    assert (9683.4, 116.6, 156) == (round(took.gives, 1), round(took.short, 1), took.grafts)  # 116.6 / 0.75072 = 155.3
    assert (10_761.4, 0.0, 0) == (round(both.gives, 1), both.short, both.grafts)
    assert 10_086.9 == round(grown.gives, 1)
    assert 9800 == took.steps[-1].out and 156 == took.steps[0].into


def test_the_normal_chance_beside_what_stands_is_near_the_exact_one():
    need = grafts_needed(90, [StageRate("take", 0.8), StageRate("winter", 0.9)], standing=[0, 60, 10])
    exact = at_least(90, [0.9] * 60 + [1.0] * 10 + [0.72] * need.sure_grafts)
    fewer = at_least(90, [0.9] * 60 + [1.0] * 10 + [0.72] * (need.sure_grafts - 2))
    assert fewer < 0.9 <= exact + 0.01


def test_your_own_flat_share_stands_beside():
    need = grafts_needed(2500, [TAKE, WINTER, GRADE], flat=0.15)
    assert (2875, 2158.3) == (need.flat_grafts, round(need.flat_trees, 1))
    assert "15% on top would be 2,875 grafts and give 2,158 trees of 2,500." == need.on_top[0]


def test_an_order_is_rounded_once_and_not_once_a_cultivar():
    """A hundred cultivars of seven trees at 0.75: 9.33 each, 934 in all, where each by itself would make 1,000."""
    exact = [grafts_needed(7, [StageRate("take", 0.75)]).exact for _ in range(100)]
    found = apportioned(exact)
    assert 934 == sum(found)
    assert {9, 10} == set(found)
    assert [3, 3, 2] == apportioned([Fraction(5, 2)] * 3)
    assert [2, 0, 4] == apportioned([Fraction(2), Fraction(0), Fraction(7, 2)])


@given(st.integers(1, 5000), rates)
def test_rounding_loses_no_tree_and_adds_none_that_no_stage_asks_for(order, each):
    need = grafts_needed(order, stages(each))
    assert need.grafts * need.through >= order - 1e-6 > (need.grafts - 1) * need.through - 1e-5
    for step, after in zip(need.steps, [*need.steps[1:], None], strict=True):
        assert step.out == (order if after is None else after.into)
    assert need.steps[-1].out == order and need.grafts >= order


@given(st.integers(1, 3000), rates)
def test_a_flat_percentage_on_top_is_never_more_than_what_it_takes(order, each):
    need = grafts_needed(order, stages(each))
    assert need.flat_grafts <= need.grafts
    assert binomial_at_least(order, need.flat_grafts, need.through) <= need.chance + 1e-12
    assert not (need.flat_grafts < need.grafts) or "on top" in need.on_top[0]


def test_rates_are_taken_as_written_and_counts_as_counted():
    assert 100 == grafts_needed(85, [TAKE]).grafts
    assert 3 == grafts_needed(1, [StageRate("take", 1 / 3, k=1, n=3)]).grafts


def test_a_bad_year_is_told_by_the_low_ends_of_the_ranges():
    """Newcombe (1998), Statistics in Medicine 17:857-872, Table I: 81 of 263 is 0.2553 to 0.3662 by the score method."""
    need = grafts_needed(100, [StageRate("take", 81 / 263, k=81, n=263), StageRate("grade", 0.92)])
    assert (353, 109) == (need.steps[0].into, need.steps[1].into)  # 100 / 0.92 / (81 / 263) = 352.9
    assert 0.2553 == pytest.approx(need.steps[0].low, abs=1e-4)
    assert 426 == need.low_grafts  # 100 / 0.92 / 0.25528
    assert 200 == grafts_needed(100, [StageRate("take", 0.8, 0.5, 0.9)]).low_grafts
    assert grafts_needed(100, [StageRate("take", 0.8, 0.0, 0.9)]).low_grafts is None


def test_orders_that_cannot_be_are_told_all_at_once():
    with pytest.raises(UsageProblem) as stated:
        grafts_needed(0, [StageRate("take", 0.0), StageRate("winter", 1.2), StageRate("grade", 0.9, 0.95),
                 StageRate("sale", 0.5, k=9, n=10), StageRate("heat", 0.5, k=1)], 1.0)  # fmt: skip
    for word in ("1 tree or more", "take above 0", "winter above 0", "range for grade", "sale that is its count", "heat",
                 "between 0 and 1"):  # fmt: skip
        assert word in str(stated.value), word
    with pytest.raises(UsageProblem):
        grafts_needed(10, [])


@given(st.integers(0, 500), st.integers(1, 4), st.integers(1, 12))
def test_no_scion_spans_two_sticks(grafts, buds, on_stick):
    if on_stick < buds:
        with pytest.raises(UsageProblem):
            sticks_for(grafts, buds, on_stick)
        return
    sticks = sticks_for(grafts, buds, on_stick)
    assert sticks * (on_stick // buds) >= grafts > (sticks - 1) * (on_stick // buds) or grafts == sticks == 0


NAMES = [f"{clone} {grade}" for clone in ("M.26", "MM.106") for grade in ("8", "10")]
lines = st.lists(
    st.tuples(st.integers(1, 9), st.lists(st.sampled_from(NAMES), unique=True).map(tuple)), min_size=1, max_size=3
)
stores = st.lists(st.tuples(st.sampled_from(NAMES), st.integers(0, 8)), max_size=4)


@settings(max_examples=80)
@given(lines, stores)
def test_as_few_grafts_stay_without_a_stock_as_any_flow_allows(wanted, store):
    """The largest flow of networkx, and the best-liked stocks by its minimum cost flow."""
    orders = [OrderLine(f"C{at}", number, 2, names) for at, (number, names) in enumerate(wanted)]
    stocks = [StoreStocks(*each) for each in store]
    found = against_store(orders, stocks, [])
    net = nx.DiGraph()
    net.add_node("all")
    net.add_node("end")
    for line in orders:
        net.add_edge("all", f"line {line.label}", capacity=line.grafts, weight=0)
    for at, stock in enumerate(stocks):
        net.add_edge(f"stock {at}", "end", capacity=stock.number, weight=0)
    for line, (at, stock) in product(orders, list(enumerate(stocks))):
        if stock.name in line.stocks:
            net.add_edge(f"line {line.label}", f"stock {at}", capacity=99, weight=line.stocks.index(stock.name))
    flow = nx.max_flow_min_cost(net, "all", "end")
    assert sum(flow["all"].values()) == sum(count for line in found for _, count in line.stocks)
    cost = sum(
        line.stocks.index(name) * count for line, row in zip(orders, found, strict=True) for name, count in row.stocks
    )
    if not any(row.stocks_short for row in found):
        assert nx.cost_of_flow(net, flow) == cost
    for line, row in zip(orders, found, strict=True):
        assert line.grafts == row.stocks_short + sum(count for _, count in row.stocks)


def test_stocks_that_are_short_go_by_priority_and_then_evenly():
    store = [StoreStocks("M.26 8", 90)]
    orders = [
        OrderLine("A", 60, 2, ("M.26 8",), 2),
        OrderLine("B", 40, 2, ("M.26 8",), 1),
        OrderLine("C", 40, 2, ("M.26 8",), 2),
    ]
    first, second, third = against_store(orders, store, [])
    assert (30, 0, 20) == (first.stocks_short, second.stocks_short, third.stocks_short)


def test_sticks_are_given_longest_first_and_what_is_lacking_is_told_in_sticks_and_buds():
    """Ten grafts of two buds: two sticks of five buds give four, and six more take three of the longest kind."""
    orders = [OrderLine("A", 10), OrderLine("B", 10, 1), OrderLine("C", 10)]
    first, second, third = against_store(orders, [], [StoreWood("A", 2, 5), StoreWood("B", 3, 4)])
    assert (2 + 3, 3, 12) == (first.sticks, first.sticks_short, first.buds_short)
    assert (3, 0, 0) == (second.sticks, second.sticks_short, second.buds_short)
    assert (None, 0, 20, 10) == (third.sticks, third.sticks_short, third.buds_short, third.stocks_short)


def test_stores_that_cannot_be_are_refused():
    for stocks, wood, orders in (
        ([StoreStocks("M.26 8", -1)], [], []),
        ([], [StoreWood("A", 1, 0)], []),
        ([], [], [OrderLine("A", 10, 0)]),
    ):
        with pytest.raises(UsageProblem):
            against_store(orders, stocks, wood)
