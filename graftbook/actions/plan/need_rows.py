"""An order as it is worked back from, and the row that is shown of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import TYPE_CHECKING, ClassVar

from graftbook.fit.need import Need, StageRate

if TYPE_CHECKING:
    pass


@dataclass(frozen=True)
class NeedRow:
    """One order of `trees`. What stands of it (`standing`: made and not decided, took, grown a second season and further along)
    gives `gives` of them, so that `short` are lacking. `grafts` is what must be made for those, the sum of all orders rounded up
    once; `sure_grafts` meet this order with the chance asked for, `low_grafts` with every stage at the low end of its range,
    `flat_grafts` is the flat percentage on top, which gives `flat_trees`. `sticks` and `stocks` are those that `grafts` take,
    `…_short` what is lacking in store; `stocks_from` says which stocks in store are given to it."""

    want: int | None
    cultivar: str
    trees: int
    clone: str | None
    grafts: int
    sure_grafts: int
    low_grafts: int | None
    flat_grafts: int
    flat_trees: float
    chance: float
    buds: int
    sticks: int | None
    sticks_short: int
    buds_short: int
    stocks: int
    stocks_short: int
    stocks_from: tuple[str, ...]
    standing: int
    gives: float
    short: float
    shown: ClassVar[tuple[str, ...]] = ("cultivar", "trees", "grafts", "sure_grafts", "wood", "clone", "stock")
    headings: ClassVar = {
        "sure_grafts": "to be sure", "wood": "sticks", "stock": "stocks", "clone": "on", "standing": "stand",
        "given": "gives", "lacking": "short",
    }  # fmt: skip

    @property
    def given(self) -> str:
        """The trees that what stands gives, in whole ones."""
        return f"{self.gives:,.0f}"

    @property
    def lacking(self) -> str:
        """The trees that are lacking, in whole ones."""
        return f"{ceil(self.short - 1e-9):,}"

    @property
    def wood(self) -> str:
        """`7, 2 short`; where none is in store, the buds it takes."""
        if self.sticks is None:
            return f"none; {self.buds_short:,} buds"
        return f"{self.sticks:,}" + (f", {self.sticks_short:,} short" if self.sticks_short else "")

    @property
    def stock(self) -> str:
        """`7, 2 short`."""
        return f"{self.stocks:,}" + (f", {self.stocks_short:,} short" if self.stocks_short else "")


class StandingRow(NeedRow):
    """One order of which some stands."""

    shown: ClassVar = ("cultivar", "trees", "standing", "given", "lacking", "grafts", "sure_grafts", "wood", "stock")


@dataclass(frozen=True)
class NeedOrder:
    """An order with the stages its grafts come through and what stands of it by these; `sure` is the chance of meeting it that
    is asked for, `flat` a share on top to be set beside (None: not given)."""

    want: int | None
    cultivar: str
    trees: int
    clone: str | None
    taxon: str | None
    stages: tuple[StageRate, ...]
    sure: float
    priority: int = 1
    standing: Sequence[int] = ()
    flat: float | None = None

    @cached_property
    def need(self) -> Need:
        """What the order takes."""
        from graftbook.fit.need import grafts_needed

        return grafts_needed(self.trees, self.stages, self.sure, self.standing, self.flat)
