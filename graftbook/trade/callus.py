"""How warm a union wants to be, by kind, and how fast it knits.

Most of these numbers are growers' lists or second hand; where they disagree all of them stand. A heat sum is derived
from days at a temperature and is a rough band, given for few kinds only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables, taxa
from graftbook.trade.words import typed


@dataclass(frozen=True)
class CallusRow:
    """One statement on one kind; None where it gives no number.

    `kind`: optimum, minimum, slow, soft, maximum, lethal, rate, protocol, histology, take or heat sum. Temperatures in
    C, days from grafting, `heat` in C-days above `base_c`.
    """

    taxon: str
    kind: str
    temp_c_min: float | None
    temp_c_max: float | None
    days_min: float | None
    days_max: float | None
    base_c: float | None
    heat_min: float | None
    heat_max: float | None
    words: str
    basis: str
    source: str


@dataclass(frozen=True)
class CallusBand:
    """The temperatures a union likes, in C, as wide as the sources together; None where no source gives one.

    `heat` is the sum in C-days above `base_c` over which callus was seen to form. `rows` is every statement.
    """

    taxon: str
    best_min: float | None
    best_max: float | None
    lowest: float | None
    highest: float | None
    base_c: float | None
    heat_min: float | None
    heat_max: float | None
    rows: tuple[CallusRow, ...]


def from_row(row: Mapping[str, str]) -> CallusRow:
    """A statement from a checked row of the table."""
    return typed(CallusRow, row)


@lru_cache(maxsize=1)
def rows() -> tuple[CallusRow, ...]:
    """Every statement in the table, in file order."""
    return tuple(from_row(row) for row in tables.rows("callus"))


def about(taxon: str) -> CallusBand | None:
    """What the table has on a kind under any of its names, and on its genus; None when it has nothing.

    The best band runs from the lowest to the highest optimum of all sources, in C; the heat sum is the first row that gives
    one, in C-days above `base_c`.
    """
    names = taxa.kin(taxon)
    held = tuple(row for row in rows() if row.taxon in names)
    if not held:
        return None
    best = [row for row in held if row.kind == "optimum"]
    sums = next((row for row in held if row.kind == "heat sum"), None)
    return CallusBand(
        names[0],
        min((row.temp_c_min for row in best if row.temp_c_min is not None), default=None),
        max((row.temp_c_max for row in best if row.temp_c_max is not None), default=None),
        min((row.temp_c_min for row in held if row.kind == "minimum" and row.temp_c_min is not None), default=None),
        min((row.temp_c_max for row in held if row.kind == "maximum" and row.temp_c_max is not None), default=None),
        None if sums is None else sums.base_c,
        None if sums is None else sums.heat_min,
        None if sums is None else sums.heat_max,
        held,
    )


# Kinds whose best band begins at this or above want warmth that a shed or a spring day does not give (common practice).
WANTS_HEAT_C = 20.0


def wants_heat(taxon: str) -> CallusBand | None:
    """What the table has on a kind that calluses well in warmth only; None for any other kind."""
    found = about(taxon)
    return found if found is not None and found.best_min is not None and found.best_min >= WANTS_HEAT_C else None
