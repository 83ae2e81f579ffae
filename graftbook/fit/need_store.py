"""What orders need against what is in store: sticks by cultivar, and stocks by clone and grade shared out among them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from graftbook.errors import UsageProblem
from graftbook.fit.need import sticks_for

# What is short is shared among lines of one priority to such a part of each.
SLICES = 20


@dataclass(frozen=True)
class OrderLine:
    """An order of one cultivar: so many grafts, by scions of so many buds, on stocks of these names, the best liked first;
    `priority` 1 comes first."""

    label: str
    grafts: int
    buds_per_graft: int = 2
    stocks: tuple[str, ...] = ()
    priority: int = 1


@dataclass(frozen=True)
class StoreStocks:
    """Stocks in store that are alike, such as of one clone and grade, by their name."""

    name: str
    number: int


@dataclass(frozen=True)
class StoreWood:
    """Sticks in store of one cultivar, with sound buds on each."""

    label: str
    sticks: int
    buds_per_stick: int


@dataclass(frozen=True)
class LineNeed:
    """What one order line needs and has.

    `sticks` its grafts take at the store's buds a stick (None: no stick in store to compute with), `sticks_short` of them;
    `stocks` given to it by (name, number); `stocks_short` how many more it takes. `buds_short` counts the buds that are
    lacking, whole scions alone.
    """

    sticks: int | None
    sticks_short: int
    buds_short: int
    stocks: tuple[tuple[str, int], ...]
    stocks_short: int


def against_store(
    lines: Sequence[OrderLine], stocks: Sequence[StoreStocks], wood: Sequence[StoreWood]
) -> tuple[LineNeed, ...]:
    """Each order line against the store, in the order of the lines.

    Wood is given in the order of the lines where two want one cultivar. Stocks are shared out so that as few grafts as
    can be stay without one, then by priority, then evenly (each line the same share of what it wants, to a SLICES-th), then
    better-liked ones first; a minimum cost flow, solved whole by HiGHS. Raises UsageProblem for numbers below 0.
    """
    _check(lines, stocks, wood)
    some: dict[str, list[StoreWood]] = defaultdict(list)
    for each in wood:
        some[each.label].append(each)
    left = {label: _Sticks(of_label) for label, of_label in some.items()}
    found = []
    for line, given in zip(lines, _shared(lines, stocks), strict=True):
        sticks, short, scions = (None, 0, line.grafts)
        if line.label in left:
            sticks, short, scions = left[line.label].take(line.grafts, line.buds_per_graft)
        had = tuple((stock.name, number) for stock, number in zip(stocks, given, strict=True) if number)
        found.append(LineNeed(sticks, short, scions * line.buds_per_graft, had, line.grafts - sum(given)))
    return tuple(found)


def _check(lines: Sequence[OrderLine], stocks: Sequence[StoreStocks], wood: Sequence[StoreWood]) -> None:
    wrong = [f"{each.name}: {each.number}" for each in stocks if each.number < 0]
    wrong += [f"{each.label}: {each.sticks} sticks of {each.buds_per_stick} buds" for each in wood
              if each.sticks < 0 or each.buds_per_stick < 1]  # fmt: skip
    wrong += [f"scions of {line.buds_per_graft} buds for {line.label}" for line in lines if line.buds_per_graft < 1]
    if wrong:
        raise UsageProblem("stocks and sticks of 0 or more, and buds of 1 or more", "; ".join(wrong))


class _Sticks:
    """The sticks of one cultivar, the longest given first."""

    def __init__(self, some: Sequence[StoreWood]) -> None:
        self.left = sorted(([each.buds_per_stick, each.sticks] for each in some), reverse=True)
        self.usual = self.left[0][0]

    def take(self, grafts: int, buds: int) -> tuple[int | None, int, int]:
        """Sticks wanted in all, sticks lacking, and scions lacking."""
        wanted, missing = 0, grafts
        for row in self.left:
            scions = row[0] // buds
            used = min(row[1], -(-missing // scions)) if scions else 0
            row[1] -= used
            wanted += used
            missing = max(0, missing - used * scions)
        if missing and self.usual < buds:
            return None, 0, missing
        short = sticks_for(missing, buds, self.usual) if missing else 0
        return wanted + short, short, missing


def _shared(lines: Sequence[OrderLine], stocks: Sequence[StoreStocks]) -> list[list[int]]:
    """Stocks given to each line, by place in `stocks`."""
    given = [[0] * len(stocks) for _ in lines]
    arcs = [
        (row, at, line.stocks.index(stock.name))
        for row, line in enumerate(lines)
        for at, stock in enumerate(stocks)
        if stock.number and stock.name in line.stocks
    ]
    if not arcs:
        return given
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    slices = [(row, at, size) for row, line in enumerate(lines) for at, size in enumerate(_slices(line.grafts)) if size]
    ends: list[tuple[int, int]] = []
    for at, (row, column, _) in enumerate(arcs):
        ends += [(row, at), (len(lines) + column, at)]
    ends += [(row, len(arcs) + at) for at, (row, _, _) in enumerate(slices)]
    values = [1.0] * (2 * len(arcs)) + [-1.0] * len(slices)
    shape = len(lines) + len(stocks), len(arcs) + len(slices)
    flow = csr_array((values, tuple(np.array(ends).T)), shape=shape)
    # A slice of a line is worth more the higher its priority and the less of the line was had before; any slice is worth more
    # than all the places in lists of stocks that making room for it can cost.
    liked = max(place for _, _, place in arcs) + 1.0
    unit = liked * (len(lines) + len(stocks) + 1)
    ranks = {priority: at for at, priority in enumerate(sorted({line.priority for line in lines}, reverse=True))}
    worth = [unit * (1 + 2 * SLICES * ranks[lines[row].priority] + SLICES - at) for row, at, _ in slices]
    cost = np.array([*(float(place) for _, _, place in arcs), *(-each for each in worth)])
    most = [*(0.0 for _ in lines), *(float(stock.number) for stock in stocks)]
    bounds = [(0, None)] * len(arcs) + [(0, size) for _, _, size in slices]
    upper = flow[len(lines) :], most[len(lines) :]
    found = linprog(cost, *upper, flow[: len(lines)], most[: len(lines)], bounds, method="highs-ds")
    for (row, at, _), number in zip(arcs, np.rint(found.x[: len(arcs)]).astype(int).tolist(), strict=True):
        given[row][at] = number
    return given


def _slices(grafts: int) -> list[int]:
    """A number in whole slices as even as can be."""
    return [grafts * (at + 1) // SLICES - grafts * at // SLICES for at in range(SLICES)]
