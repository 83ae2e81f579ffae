"""What orders need against what is in store: sticks by cultivar, and stocks by clone and grade shared out among them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from graftbook.errors import UsageProblem
from graftbook.fit.need import Need, sticks_for


@dataclass(frozen=True)
class OrderLine:
    """An order of one cultivar: what it needs, by scions of so many buds, on a clone ("": any) in stocks of these grades,
    the best liked first (empty: any)."""

    key: str
    label: str
    need: Need
    buds_per_graft: int = 2
    clone: str = ""
    grades: tuple[str, ...] = ()


@dataclass(frozen=True)
class StoreStocks:
    """Stocks in store of one clone and grade."""

    clone: str
    grade: str
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

    `grafts` wanted; `sticks` they take at the store's buds a stick (None: no stick in store to compute with), `sticks_short` of
    them; `stocks` given to it by (clone, grade, number); `stocks_short` how many more it takes. `buds_short` counts the
    buds that are lacking, whole scions alone.
    """

    key: str
    label: str
    grafts: int
    sticks: int | None
    sticks_short: int
    buds_short: int
    stocks: tuple[tuple[str, str, int], ...]
    stocks_short: int


def against_store(
    lines: Sequence[OrderLine], stocks: Sequence[StoreStocks], wood: Sequence[StoreWood], sure: bool = False
) -> tuple[LineNeed, ...]:
    """Each order line against the store; with `sure` for the grafts that meet it with its sureness.

    Wood is given in the order of the lines where two want one cultivar. Stocks are shared out so that as few grafts as
    can be stay without one, then better-liked grades first; a minimum cost flow, solved whole by HiGHS. Raises
    UsageProblem for numbers below 0, and for a line named twice.
    """
    _check(lines, stocks, wood)
    grafts = [line.need.sure_grafts if sure else line.need.grafts for line in lines]
    given = _shared(lines, stocks, grafts)
    left = {label: _Sticks(some) for label, some in _by_label(wood).items()}
    found = []
    for line, number, mine in zip(lines, grafts, given, strict=True):
        sticks, short, scions = (None, 0, number)
        if line.label in left:
            sticks, short, scions = left[line.label].take(number, line.buds_per_graft)
        had = tuple((stocks[at].clone, stocks[at].grade, count) for at, count in enumerate(mine) if count)
        found.append(
            LineNeed(line.key, line.label, number, sticks, short, scions * line.buds_per_graft, had, number - sum(mine))
        )
    return tuple(found)


def _check(lines: Sequence[OrderLine], stocks: Sequence[StoreStocks], wood: Sequence[StoreWood]) -> None:
    wrong = [f"{each.clone} {each.grade}: {each.number}" for each in stocks if each.number < 0]
    wrong += [f"{each.label}: {each.sticks} sticks of {each.buds_per_stick} buds" for each in wood
              if each.sticks < 0 or each.buds_per_stick < 1]  # fmt: skip
    wrong += [f"scions of {line.buds_per_graft} buds for {line.label}" for line in lines if line.buds_per_graft < 1]
    keys = [line.key for line in lines]
    wrong += [f"{key} twice" for key in dict.fromkeys(keys) if keys.count(key) > 1]
    if wrong:
        raise UsageProblem(
            "stocks and sticks of 0 or more, buds of 1 or more, and each order line once", "; ".join(wrong)
        )


def _by_label(wood: Sequence[StoreWood]) -> dict[str, list[StoreWood]]:
    found: dict[str, list[StoreWood]] = defaultdict(list)
    for each in wood:
        found[each.label].append(each)
    return found


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


def _shared(lines: Sequence[OrderLine], stocks: Sequence[StoreStocks], grafts: Sequence[int]) -> list[list[int]]:
    """Stocks given to each line, by place in `stocks`."""
    given = [[0] * len(stocks) for _ in lines]
    arcs = [
        (row, at, line.grades.index(stock.grade) if line.grades else 0)
        for row, line in enumerate(lines)
        for at, stock in enumerate(stocks)
        if stock.number and line.clone in ("", stock.clone) and (not line.grades or stock.grade in line.grades)
    ]
    if not arcs:
        return given
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    rows, columns, liked = (np.array(part) for part in zip(*arcs, strict=True))
    places = np.arange(len(arcs))
    limits = csr_array(
        (np.ones(2 * len(arcs)), (np.concatenate([rows, len(lines) + columns]), np.concatenate([places, places]))),
        shape=(len(lines) + len(stocks), len(arcs)),
    )
    most = [*grafts, *(stock.number for stock in stocks)]
    # A graft more is worth more than all the places in lists of grades that making room for it can cost.
    worth = (liked.max() + 1.0) * (len(lines) + len(stocks) + 1)
    found = linprog(liked - worth, A_ub=limits, b_ub=most, bounds=(0, None), method="highs-ds")
    for (row, at, _), number in zip(arcs, np.rint(found.x).astype(int).tolist(), strict=True):
        given[row][at] = number
    return given
