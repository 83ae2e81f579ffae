"""What is said of orders worked back: what stands and gives, stage by stage, the rates behind it, and the stocks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from math import ceil
from typing import TYPE_CHECKING

from graftbook.actions.desk.results import Usual, count
from graftbook.actions.plan.need_lots import StockLot
from graftbook.actions.plan.need_rows import NeedOrder, NeedRow
from graftbook.fit.need import StageRate

if TYPE_CHECKING:
    pass


def notes(orders: Sequence[NeedOrder], rows: Sequence[NeedRow], lots: Sequence[StockLot]) -> Iterator[str]:
    """Whole sentences under what orders need, the weightiest first."""
    order = max(orders, key=lambda order: order.trees)
    need, of = order.need, f"{order.cultivar}: " if len(orders) > 1 else ""
    yield from _forward(rows)
    steps = (f"{step.name} {step.rate:.0%}: {step.into} in, {step.out} out" for step in need.steps)
    beside = ", beside what stands" if need.standing else ""
    yield f"{of}{'; '.join(steps)}{beside}."
    if need.low_grafts is not None and need.low_grafts > need.grafts:
        yield f"{of}In a bad year, every stage at the low end of its range, it would take {need.low_grafts}."
    yield from (f"{of}{sentence}" for sentence in need.surer)
    yield from (Usual(f"{of}{why}") if need.flat is None else f"{of}{why}" for why in need.on_top)
    yield from map(Usual, dict.fromkeys(_basis(stage) for each in orders for stage in each.stages))
    if not any("grade" in step.name for step in need.steps):
        yield "Trees too poor to sell are not counted: name that stage too, such as --through take=0.85,grade=0.92."
    if len(rows) > 1:
        yield Usual("The grafts of all orders together are rounded up once, and not once an order.")
    yield from _stock_notes(rows, lots)


def _forward(rows: Sequence[NeedRow]) -> Iterator[str]:
    """What the grafts that stand give, and what is lacking."""
    standing = sum(row.standing for row in rows)
    if standing:
        gives, short = sum(row.gives for row in rows), sum(row.short for row in rows)
        trees = sum(row.trees for row in rows)
        verbs = "stands and gives" if standing == 1 else "stand and give"
        given = "1 tree" if round(gives) == 1 else f"{gives:,.0f} trees"
        yield (f"{count(standing, 'graft')} {verbs} {given} of {trees:,} with the losses still ahead of each: "
               f"short {ceil(short - 1e-9):,}.")  # fmt: skip


def _stock_notes(rows: Sequence[NeedRow], lots: Sequence[StockLot]) -> Iterator[str]:
    free = ", ".join(f"{lot.number} {lot.name}" for lot in lots[:12]) or "none that would do"
    more = f" and {len(lots) - 12} kinds more" if len(lots) > 12 else ""
    yield Usual(f"Free stocks in store: {free}{more}. They are given to one order only.")
    given: Counter[str] = Counter()
    for row in rows:
        for each in row.stocks_from:
            number, _, name = each.partition(" ")
            given[name] += int(number)
    lacking: Counter[str] = Counter()
    for row in rows:
        lacking[row.clone or "any rootstock"] += row.stocks_short
    wanted = [f"{number:,} {name}" for name, number in given.most_common(12)]
    wanted += [f"{number:,} on {name} short" for name, number in lacking.most_common(12) if number]
    yield f"By rootstock and grade: {'; '.join(wanted) or 'none'}."
    if sum(lacking.values()) and len(rows) > 1:
        yield "Stocks are short: they go by priority, and evenly among orders of one priority."


def _basis(stage: StageRate) -> str:
    if stage.k is None:
        ends = f", {stage.low:.0%} to {stage.high:.0%}" if stage.low is not None and stage.high is not None else ""
        return f"{stage.name}: {stage.basis}{ends}."
    from graftbook.stats.interval import wilson

    found = wilson(stage.k, stage.n or stage.k)
    ends = f"{found.low or 0:.0%} to {found.high or 0:.0%}, Wilson"
    return f"{stage.name}: {stage.basis}, {stage.k} of {stage.n} ({ends})."
