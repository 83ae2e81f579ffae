"""Stocks with several buds of one budding: what was seen of the stock is said of its buds, both, one or none of them.

Two buds are set on a stock that matters, so that one may fail. `look P32 set` speaks of the stock: of a stock whose open grafts
are all buds of one bundle and one day it is recorded of each. `look P32 one set` is recorded as one that set and one that did
not; which of them it was nobody said, and the looks say so.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.outcome import subjects
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.codes import read_many
from graftbook.errors import Refused

_COUNTED = re.compile(r"(both|all|one|none|0|1)\s+set$")
_HOW_MANY = {"both": None, "all": None, "one": 1, "1": 1, "none": 0, "0": 0}
NOT_SAID = "which of the buds set was not said"


def read(seen: str) -> tuple[str, int | None, bool]:
    """What was seen as a state, how many buds of a stock it was seen on (None: on all), and whether a number was said."""
    found = _COUNTED.match(seen.strip().casefold())
    if found is None:
        return seen, None, False
    number = _HOW_MANY[found[1]]
    return ("not-set" if number == 0 else "set"), number if number else None, True


@dataclass(frozen=True)
class Spread:
    """Codes with each stock that has several buds of one budding written as its buds; what is left out of them (None: nothing);
    and those buds by the stock's code."""

    text: str
    left_out: str | None
    buds: dict[str, tuple[str, ...]]


def spread(session: Session, text: str, day: date, left_out: str | None) -> Spread:
    """The codes meant, stock by stock. Raises as outcome.subjects does for codes the book has not got."""
    stocks = [] if left_out is None else [code.base for code in read_many(left_out) if code.letter == "P"]
    rows = subjects.things_meant(session, text, ",".join(stocks) or None)
    plants = [row for row in rows if isinstance(row, Plant)]
    stood = subjects.standing(session, plants, day)
    buds: dict[str, tuple[str, ...]] = {}
    for plant in plants:
        here = [each.graft for each in stood.get(plant.id or 0, ()) if each.end is None]
        if len(here) > 1 and _one_budding(here):
            buds[plant.code] = tuple(graft.code for graft in here)
    if not buds:
        return Spread(text, left_out, buds)
    others = [] if left_out is None else [code.base for code in read_many(left_out) if code.letter != "P"]
    codes = (code for row in rows for code in buds.get(row.code, (row.code,)))
    return Spread(",".join(codes), ",".join(others) or None, buds)


def _one_budding(grafts: Sequence[Graft]) -> bool:
    return (
        all(graft.unit == "bud" for graft in grafts)
        and len({(graft.bundle_id, graft.made_on) for graft in grafts}) == 1
    )


def not_set(buds: dict[str, tuple[str, ...]], number: int | None) -> frozenset[str]:
    """The buds that are recorded as not set where `number` of each stock's were (None: all)."""
    if number is None:
        return frozenset()
    return frozenset(code for codes in buds.values() for code in codes[number:])


def check(buds: dict[str, tuple[str, ...]], text: str, counted: bool) -> None:
    """Refuse a number of buds said of something that has not several."""
    if counted and not buds:
        raise Refused(
            f"no stock among {text} has several buds of one budding", next_step="Say of each graft: set, or not set",
        )  # fmt: skip
