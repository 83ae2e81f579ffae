"""What trials printed of how many grafts take, by method and kind: a yardstick where a grower has no count of their own.

The spread between trials of one method is larger than the spread between methods inside a trial, so a range is given and
never one number; rows of the grower's own answer before the trade's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables, taxa
from graftbook.trade.words import number, typed


@dataclass(frozen=True)
class TakeRow:
    """What one source printed: shares that took, low to high, 0 to 1; of how many grafts, None where it does not say. An
    empty taxon is any kind, an empty method any method."""

    method: str
    taxon: str
    low: float
    high: float
    grafts: int | None
    words: str
    basis: str
    source: str


@dataclass(frozen=True)
class Published:
    """The range of the rows that answer for a method and a kind: `rows` are they, the nearest kind first.

    `nearness` is `kind`, `genus`, `method` (other kinds by the same method) or `default` (nothing is printed).
    """

    low: float
    high: float
    nearness: str
    rows: tuple[TakeRow, ...]

    @property
    def middle(self) -> float:
        """The middle of the range, 0 to 1."""
        return (self.low + self.high) / 2


def from_row(row: Mapping[str, str]) -> TakeRow:
    """A row of the table, checked, one of the trade's or a person's own."""
    low, high = (number(row[name]) or 0.0 for name in ("pct_min", "pct_max"))
    return typed(TakeRow, row, low=min(low / 100, 1.0), high=min(high / 100, 1.0))


@lru_cache(maxsize=1)
def rows() -> tuple[TakeRow, ...]:
    """Every row of the table in file order."""
    return tuple(from_row(row) for row in tables.rows("takes"))


def of(method: str, taxon: str, own: Iterable[TakeRow] = ()) -> Published:
    """What is printed of a method on a kind of scion: of the kind itself, else of its genus, else by the method on any
    kind, else the default, which is a working value. Own rows of the nearest kind answer alone. Shares are from 0 to 1."""
    kin, mine, all_rows = taxa.kin(taxon), tuple(own), rows()
    for nearness, names in (("kind", kin[:2]), ("genus", kin[2:])):
        for held in (mine, all_rows):
            hits = tuple(row for row in held if row.method == method and row.taxon and row.taxon in names)
            if hits:
                return _range(hits, nearness)
    for held in (mine, all_rows):
        hits = tuple(row for row in held if row.method == method)
        if hits:
            return _range(hits, "method")
    return _range(tuple(row for row in (*mine, *all_rows) if not row.method)[:1], "default")


def _range(hits: tuple[TakeRow, ...], nearness: str) -> Published:
    return Published(min(row.low for row in hits), max(row.high for row in hits), nearness, hits)
