"""The grafts of a comparison counted by columns: by side and stratum, and by every factor that may be confounded with the
side."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import compress, repeat
from typing import Any

from sqlmodel import Session

from graftbook.actions.compare.compare_phrase import Comparison
from graftbook.actions.takes import confounders, factor_text, factors, judging
from graftbook.actions.takes.confounders import Table
from graftbook.actions.takes.early import Waits, is_early, so_far
from graftbook.actions.takes.question import TakeQuestion
from graftbook.actions.takes.timing import day_number
from graftbook.book.columns import Columns
from graftbook.stats.strata import TwoByTwo

BLOCKS = ("trial", "block")

Cell = tuple[str, tuple[Any, ...]]
"""A side and a stratum."""


@dataclass
class Sides:
    """Counts by side and stratum. A stratum is the values of what is compared within, trial and block (None for a graft that
    is in no block), and the unit.

    `k` and `n` are what got there and what was decided, `waits` what is not, by the state it was last seen in; `decided_tables`
    and `undecided_tables` hold a table a factor, of what is decided and what is not; `dates` k of n by the day of the season,
    by stratum, where days are compared; `hosts` the plants that what is decided stands on; `blocked` whether any graft that is
    decided is in a block.
    """

    made: set[str] = field(default_factory=set)
    k: Counter[Cell] = field(default_factory=Counter)
    n: Counter[Cell] = field(default_factory=Counter)
    waits: dict[Cell, Waits] = field(default_factory=lambda: defaultdict(Counter))
    undecided: int = 0
    decided_tables: dict[str, Table] = field(default_factory=lambda: {name: Counter() for name in confounders.OTHERS})
    undecided_tables: dict[str, Table] = field(default_factory=lambda: {name: Counter() for name in confounders.OTHERS})
    dates: dict[tuple[Any, ...], dict[float, tuple[int, int]]] = field(default_factory=lambda: defaultdict(dict))
    hosts: set[int] = field(default_factory=set)
    blocked: bool = False

    @property
    def decided(self) -> int:
        """How many are decided on all sides."""
        return self.n.total()

    def pairs(self, first: str, second: str) -> Iterator[tuple[str, TwoByTwo]]:
        """A label and the two-by-two table of every stratum in which either side has anything decided, and neither is too
        early for a rate."""
        for stratum in self._strata(first, second):
            if not (self._early(first, stratum) or self._early(second, stratum)):
                one, other = (first, stratum), (second, stratum)
                table = TwoByTwo(self.k[one], self.n[one], self.k[other], self.n[other])
                yield _label(stratum, self.blocked), table

    def ways(self, sides: Sequence[str]) -> list[list[tuple[int, int]]]:
        """k of n of every side by stratum, where none is too early for a rate."""
        strata = dict.fromkeys(stratum for _side, stratum in self.n)
        return [[(self.k[side, stratum], self.n[side, stratum]) for side in sides] for stratum in strata
                if not any(self._early(side, stratum) for side in sides)]  # fmt: skip

    def early(self, first: str, second: str, endpoint: str) -> Iterator[str]:
        """How each side stands that is too early for a rate, so that its strata are left out of the comparison."""
        for stratum in dict.fromkeys(_without_blocks(held) for held in self._strata(first, second)):
            for side in (first, second):
                if self._early(side, stratum):
                    k, n, waits = self._whole(side, stratum)
                    yield f"{side} ({_label(stratum, False)}): {so_far(k, n, waits, endpoint)}"

    def _early(self, side: str, stratum: tuple[Any, ...]) -> bool:
        """Judged over all blocks: of a few in a block none may have got there yet by luck alone."""
        return bool(self.waits) and is_early(*self._whole(side, _without_blocks(stratum)))

    def _whole(self, side: str, stratum: tuple[Any, ...]) -> tuple[int, int, Waits]:
        def mine(cell: Cell) -> bool:
            return cell[0] == side and _without_blocks(cell[1]) == stratum

        k, n = (sum(number for cell, number in counts.items() if mine(cell)) for counts in (self.k, self.n))
        return k, n, sum((held for cell, held in self.waits.items() if mine(cell)), Counter())

    def _strata(self, first: str, second: str) -> list[tuple[Any, ...]]:
        strata = {stratum for side, stratum in self.n if side in (first, second)}
        return sorted(strata, key=lambda held: [factor_text.sort_key(part) for part in held])

    def tables(self, first: str, second: str) -> tuple[dict[str, Table], frozenset]:
        """For two sides, the table of every factor among what is decided, or what is not while nothing is, and the strata in
        which both sides have something."""
        decided = any(side in (first, second) for side, _stratum in self.n)
        tables = {
            name: Counter({key: number for key, number in table.items() if key[0] in (first, second)})
            for name, table in (self.decided_tables if decided else self.undecided_tables).items()
        }
        there = {(side, stratum) for side, stratum, _value in next(iter(tables.values()))}
        return tables, frozenset(stratum for side, stratum in there if side == first and (second, stratum) in there)


def _without_blocks(stratum: tuple[Any, ...]) -> tuple[Any, ...]:
    *values, _trial, _block, unit = stratum
    return *values, None, None, unit


def _label(stratum: tuple[Any, ...], blocked: bool) -> str:
    *values, trial, block, unit = stratum
    words = [str(value) if value is not None else "not recorded" for value in values]
    if blocked:
        words += [str(part) for part in (trial, block) if part is not None]
    return ", ".join((*words, unit))


def count_sides(session: Session, question: TakeQuestion, asked: Comparison, within: Sequence[str]) -> Sides:
    """Every graft of a side judged and counted."""
    sides, known = Sides(), question.decided
    blocks = () if asked.factor in BLOCKS else tuple(name for name in BLOCKS if name not in within)
    names = tuple(dict.fromkeys((asked.factor, *within, *BLOCKS, *confounders.OTHERS)))
    same: dict[tuple[Any, ...], tuple[Any, ...]] = {}
    for held, fates in judging.judged(session, question, names, ("host_id",)):
        sides_of_all = list(map(asked.side_of, _asked_values(held, asked)))
        mine = [one is not None for one in sides_of_all]
        side = [one for one in sides_of_all if one is not None]
        outcomes = [one.outcome for one in compress(fates, mine)]
        values = {name: list(compress(judging.factor_values(held, name), mine)) for name in names}
        units = repeat("graft or bud", sum(mine)) if asked.both_units else compress(held["unit"], mine)
        strata = [same.setdefault(key, key) for key in _strata(values, within, blocks, units)]
        pairs, decided = list(zip(side, strata, strict=True)), [outcome in known for outcome in outcomes]
        sides.made.update(side)
        sides.n.update(compress(pairs, decided))
        sides.k.update(compress(pairs, [outcome == "yes" for outcome in outcomes]))
        if asked.bound is not None:
            days = compress(held["made_on"], mine)
            _count_dates(
                sides, Counter(compress(zip(strata, days, outcomes, strict=True), decided)), question.hemisphere
            )
        waiting = [outcome in ("waiting", "unknown") and outcome not in known for outcome in outcomes]
        for cell, one in compress(zip(pairs, compress(fates, mine), strict=True), waiting):
            if one.outcome == "waiting":
                sides.waits[cell][one.waits] += 1
        sides.undecided += sum(waiting)
        sides.hosts.update(compress(compress(held["host_id"], mine), decided))
        sides.blocked |= asked.factor not in BLOCKS and any(compress(values["block"], decided))
        for name in confounders.OTHERS:
            keys: list[tuple[str, Any, Any]] = list(zip(side, strata, values[name], strict=True))
            sides.decided_tables[name].update(compress(keys, decided))
            sides.undecided_tables[name].update(compress(keys, waiting))
    return sides


def _count_dates(sides: Sides, counts: Counter[tuple[tuple[Any, ...], date, str]], hemisphere: str) -> None:
    """Add grafts to the counts by day of the season; blocks do not part days."""
    for (stratum, on, outcome), number in counts.items():
        by_day, x = sides.dates[_without_blocks(stratum)], float(day_number(on, hemisphere))
        k, n = by_day.get(x, (0, 0))
        by_day[x] = k + number * (outcome == "yes"), n + number


def _asked_values(held: Columns, asked: Comparison) -> Sequence[Any]:
    """What assigns a graft to a side: the factor's value, or its measure where it is cut in two."""
    if asked.cut is None:
        return judging.factor_values(held, asked.factor)
    return list(map(asked.cut, *(held[column] for column in factors.FACTORS[asked.factor].columns)))


def _strata(
    values: Mapping[str, Sequence[Any]], within: Sequence[str], blocks: Sequence[str], units: Iterable[str]
) -> Iterator[tuple[Any, ...]]:
    """The stratum of every graft; a trial without a block is none, and so is what is compared within already."""
    in_block = [part is not None for part in values["block"]]
    ends = (
        [part if inside else None for part, inside in zip(values[name], in_block, strict=True)] if name in blocks
        else [None] * len(in_block) for name in BLOCKS
    )  # fmt: skip
    return zip(*(values[name] for name in within), *ends, units, strict=True)
