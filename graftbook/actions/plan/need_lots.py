"""The store that orders are set against: free stocks by rootstock and grade, and sticks by cultivar."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import alive
from graftbook.actions.plan.need_rows import NeedOrder
from graftbook.book import wood_queries
from graftbook.book.balances import balances
from graftbook.trade import pairs
from graftbook.units import show_range

if TYPE_CHECKING:
    from graftbook.fit.need_store import StoreWood


def grades(desk: Desk, text: str | None) -> dict[str, tuple[float, float]]:
    """Grades of stocks by their words, the best liked first; empty: any."""
    parts = [part.strip() for part in (text or "").split(",") if part.strip()]
    read = [desk.lengths(part, units.STOCK_DIAMETER) for part in parts]
    return {show_range(*ends, desk.settings.units): ends for ends in read}


@dataclass(frozen=True)
class StockLot:
    """Free stocks alike: of a kind, clone and grade. `liked` is the place of the grade among those asked for."""

    taxon: str
    clone: str
    grade: str
    number: int
    liked: int = 0

    @property
    def name(self) -> str:
        """`MM.106 6-9 mm`."""
        return f"{self.clone or self.taxon or 'kind not known'} {self.grade}"


def lots(session: Session, day: date, wanted: dict[str, tuple[float, float]], unit: str) -> list[StockLot]:
    """Free stocks in store by kind, clone and grade; where grades are asked for, only those that are of one of them."""
    found: Counter[tuple[str, str, str, int]] = Counter()
    for plant in alive.free_stocks(session, day):
        ends = (plant.diameter_mm, plant.diameter_mm) if plant.diameter_mm else (plant.grade_min_mm, plant.grade_max_mm)
        known = (ends[0], ends[1]) if ends[0] is not None and ends[1] is not None else None
        fits = [(name, at) for at, (name, grade) in enumerate(wanted.items()) if known and _within(known, grade)]
        if not wanted:
            fits = [("size not known" if known is None else show_range(*known, unit), 0)]
        for name, liked in fits[:1]:
            found[plant.taxon or "", plant.clone or "", name, liked] += 1
    return [
        StockLot(taxon, clone, name, number, liked) for (taxon, clone, name, liked), number in sorted(found.items())
    ]


def _within(ends: tuple[float, float], grade: tuple[float, float]) -> bool:
    return grade[0] - 0.01 <= ends[0] and ends[1] <= grade[1] + 0.01


def will_do(order: NeedOrder, some: Sequence[StockLot], own: Sequence[Any]) -> tuple[str, ...]:
    """The names of the lots that an order may stand on, the best liked grades first."""
    fits = [lot for lot in some if order.clone in (None, lot.clone) and _joins(order, lot, own)]
    return tuple(lot.name for lot in sorted(fits, key=lambda lot: (lot.liked, lot.name)))


def _joins(order: NeedOrder, lot: StockLot, own: Sequence[Any]) -> bool:
    """Whether the union is known to be good or workable; always where the kind of the order is not known."""
    if order.taxon is None:
        return True
    found = pairs.verdict(order.taxon, order.cultivar, lot.taxon, lot.clone or None, own=own)
    return found.trust in ("good", "workable")


def wood(session: Session, names: set[str], buds: int, every: bool) -> list[StoreWood]:
    """The sticks in store of some cultivars, or of every one under the name `all`; `buds` where a stick's were not counted."""
    from graftbook.fit.need_store import StoreWood

    left = balances(session)
    bundles = [each for each in wood_queries.bundles(session) if each.id in left and left[each.id].left > 0]
    called = shown_names.surely(session, bundles)
    labels = {naming.key(name): name for name in names}
    return [
        StoreWood("all" if every else labels[key], left[bundle.id].left, bundle.buds_per_stick or buds)
        for bundle in bundles
        if (key := naming.key(called[bundle.id] or "")) in labels or every
    ]
