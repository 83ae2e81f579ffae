"""Back from an order: rounding loses no tree, the chance is exact, and the store is shared out as well as can be."""

from itertools import product
from math import floor

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.fit.need import StageRate, grafts_needed, sticks_for
from graftbook.fit.need_store import OrderLine, StoreStocks, StoreWood, against_store
from graftbook.stats.binomial import at_least, binomial_at_least

TAKE, WINTER, GRADE = StageRate("take", 0.85), StageRate("winter", 0.96), StageRate("grade", 0.92)
rates = st.lists(st.integers(5, 100).map(lambda percent: percent / 100), min_size=1, max_size=4)


def stages(each):
    return [StageRate(f"stage {at}", rate) for at, rate in enumerate(each)]


def test_an_order_of_2500_trees_by_hand():
    """2500 / 0.92 = 2717.4; 2718 / 0.96 = 2831.25; 2832 / 0.85 = 3331.8."""
    need = grafts_needed(2500, [TAKE, WINTER, GRADE])
    assert [("take", 3332, 2832), ("winter", 2832, 2718), ("grade", 2718, 2500)] == [
        (step.name, step.into, step.out) for step in need.steps
    ]
    assert (3332, 0.75072) == (need.grafts, pytest.approx(need.through))
    assert (3175, 2383.536) == (need.flat_grafts, pytest.approx(need.flat_trees))
    assert need.low_grafts is None
    assert at_least(2500, [0.75072] * 3332) == pytest.approx(need.chance)
    assert at_least(2500, [0.75072] * 3175) < 0.001 < need.chance < 0.9 <= at_least(2500, [0.75072] * need.sure_grafts)
    assert at_least(2500, [0.75072] * (need.sure_grafts - 1)) < 0.9
    assert need.why[0] == (
        "27.0% on top, all losses added up, would be 3175 grafts and leave 2384 trees of 2500: losses are shares of what is "
        "grafted, which is more than what is ordered, so it takes 3332."
    )


@given(st.integers(1, 5000), rates)
def test_rounding_loses_no_tree_and_adds_none_that_no_stage_asks_for(order, each):
    need = grafts_needed(order, stages(each))
    for step, rate in zip(need.steps, each, strict=True):
        assert step.into * rate >= step.out - 1e-9
        assert (step.into - 1) * rate < step.out
    left = need.grafts
    for rate in each:
        left = floor(left * rate + 1e-9)
    assert left >= order
    assert need.steps[-1].out == order and need.grafts >= order


@given(st.integers(1, 3000), rates)
def test_a_flat_percentage_on_top_is_never_more_than_what_it_takes(order, each):
    need = grafts_needed(order, stages(each))
    assert need.flat_grafts <= need.grafts
    assert binomial_at_least(order, need.flat_grafts, need.through) <= need.chance + 1e-12
    assert not (need.flat_grafts < need.grafts) or "on top" in need.why[0]


def test_rates_are_taken_as_written_and_counts_as_counted():
    assert 100 == grafts_needed(85, [TAKE]).grafts
    assert 3 == grafts_needed(1, [StageRate("take", 1 / 3, k=1, n=3)]).grafts


def test_a_bad_year_is_told_by_the_low_ends_of_the_ranges():
    """Newcombe (1998), Statistics in Medicine 17:857-872, Table I: 81 of 263 is 0.2553 to 0.3662 by the score method."""
    need = grafts_needed(100, [StageRate("take", 81 / 263, k=81, n=263), StageRate("grade", 0.92)])
    assert (325 + 29, 109) == (need.steps[0].into, need.steps[1].into)
    assert 0.2553 == pytest.approx(need.steps[0].low, abs=1e-4)
    assert 427 == need.low_grafts
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
    assert nx.cost_of_flow(net, flow) == cost
    for line, row in zip(orders, found, strict=True):
        assert line.grafts == row.stocks_short + sum(count for _, count in row.stocks)


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
