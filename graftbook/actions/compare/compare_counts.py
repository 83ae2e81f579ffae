"""The grafts of a comparison counted by columns: by side and stratum, and by every factor that may be confounded with the
side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import compress
from typing import Any

from sqlmodel import Session

from graftbook.actions.compare.compare_phrase import Comparison
from graftbook.actions.takes import confounders, factor_text, factors, judging
from graftbook.actions.takes.confounders import Table
from graftbook.actions.takes.question import TakeQuestion
from graftbook.book.columns import Columns
from graftbook.stats.strata import TwoByTwo

BLOCKS = ("trial", "block")

Cell = tuple[str, tuple[Any, ...]]
"""A side and a stratum."""


@dataclass
class Sides:
    """Counts by side and stratum. A stratum is the values of what is compared within, trial and block (None for a graft that
    is in no block), and the unit.

    `k` and `n` are what got there and what was decided; `decided_tables` and `undecided_tables` hold a table a factor, of
    what is decided and what is not; `hosts` the plants that what is decided stands on; `blocked` whether any graft that is
    decided is in a block.
    """

    made: set[str] = field(default_factory=set)
    k: Counter[Cell] = field(default_factory=Counter)
    n: Counter[Cell] = field(default_factory=Counter)
    undecided: int = 0
    decided_tables: dict[str, Table] = field(default_factory=lambda: {name: Counter() for name in confounders.OTHERS})
    undecided_tables: dict[str, Table] = field(default_factory=lambda: {name: Counter() for name in confounders.OTHERS})
    hosts: set[int] = field(default_factory=set)
    blocked: bool = False

    def add(
        self, side: Sequence[str], strata: Sequence[tuple[Any, ...]], outcomes: Sequence[str], known: frozenset[str]
    ) -> list[bool]:
        """Count grafts by side and stratum; which of them are decided."""
        pairs = list(zip(side, strata, strict=True))
        decided = [outcome in known for outcome in outcomes]
        self.made.update(side)
        self.n.update(compress(pairs, decided))
        self.k.update(compress(pairs, [outcome == "yes" for outcome in outcomes]))
        return decided

    @property
    def decided(self) -> int:
        """How many are decided on all sides."""
        return self.n.total()

    def pairs(self, first: str, second: str) -> Iterator[tuple[str, TwoByTwo]]:
        """A label and the two-by-two table of every stratum in which either side has anything decided."""
        strata = {stratum for side, stratum in self.n if side in (first, second)}
        for stratum in sorted(strata, key=lambda held: [factor_text.sort_key(part) for part in held]):
            ends = [(side, stratum) for side in (first, second)]
            yield (
                _label(stratum, self.blocked),
                TwoByTwo(self.k[ends[0]], self.n[ends[0]], self.k[ends[1]], self.n[ends[1]]),
            )

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


def _label(stratum: tuple[Any, ...], blocked: bool) -> str:
    *values, trial, block, unit = stratum
    words = [str(value) if value is not None else "not recorded" for value in values]
    if blocked:
        words += [str(part) for part in (trial, block) if part is not None]
    return ", ".join((*words, unit))


def count_sides(session: Session, question: TakeQuestion, asked: Comparison, within: Sequence[str]) -> Sides:
    """Every graft of a side judged and counted."""
    sides = Sides()
    blocks = () if asked.factor in BLOCKS else tuple(name for name in BLOCKS if name not in within)
    names = tuple(dict.fromkeys((asked.factor, *within, *BLOCKS, *confounders.OTHERS)))
    same: dict[tuple[Any, ...], tuple[Any, ...]] = {}
    for held, fates in judging.judged(session, question, names, ("host_id",)):
        sides_of_all = list(map(asked.side_of, _asked_values(held, asked)))
        mine = [one is not None for one in sides_of_all]
        side = [one for one in sides_of_all if one is not None]
        outcomes = [one.outcome for one in compress(fates, mine)]
        values = {name: list(compress(judging.factor_values(held, name), mine)) for name in names}
        strata = [same.setdefault(key, key) for key in _strata(values, within, blocks, compress(held["unit"], mine))]
        decided = sides.add(side, strata, outcomes, question.decided)
        waiting = [outcome in ("waiting", "unknown") for outcome in outcomes]
        sides.undecided += sum(waiting)
        sides.hosts.update(compress(compress(held["host_id"], mine), decided))
        sides.blocked |= asked.factor not in BLOCKS and any(compress(values["block"], decided))
        for name in confounders.OTHERS:
            keys: list[tuple[str, Any, Any]] = list(zip(side, strata, values[name], strict=True))
            sides.decided_tables[name].update(compress(keys, decided))
            sides.undecided_tables[name].update(compress(keys, waiting))
    return sides


def _asked_values(held: Columns, asked: Comparison) -> Sequence[Any]:
    """What assigns a graft to a side: the factor's value, or its measure where it is cut in two."""
    if asked.cut is None:
        return judging.factor_values(held, asked.factor)
    return list(map(asked.cut, *(held[column] for column in factors.FACTORS[asked.factor].columns)))


def _strata(
    values: Mapping[str, Sequence[Any]], within: Sequence[str], blocks: Sequence[str], units: Iterator[str]
) -> Iterator[tuple[Any, ...]]:
    """The stratum of every graft; a trial without a block is none, and so is what is compared within already."""
    in_block = [part is not None for part in values["block"]]
    ends = (
        [part if inside else None for part, inside in zip(values[name], in_block, strict=True)] if name in blocks
        else [None] * len(in_block) for name in BLOCKS
    )  # fmt: skip
    return zip(*(values[name] for name in within), *ends, units, strict=True)
