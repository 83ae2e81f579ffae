"""The order in which places and rows are walked, and what is said of a place where nothing is."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, Protocol, TypeVar

from graftbook.actions.desk import naming


@lru_cache(maxsize=65_536)
def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts `row 2` before `row 10`, as one walks."""
    parts = re.findall(r"\d+|\D+", text.casefold())
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)


# In a row what has no number stands after what has one.
_LATE_ORDER = 10_000_000


def walked(place: str | None, row: str | None, order: int | None) -> tuple[Any, ...]:
    """A key that sorts things as they are walked to: place, row, number in it; what has no place comes last."""
    return not place, natural(place or ""), natural(row or ""), _LATE_ORDER if order is None else order


class _Placed(Protocol):
    @property
    def place(self) -> str | None: ...


Row = TypeVar("Row", bound=_Placed)


def at_place(rows: Iterable[Row], place: str) -> tuple[list[Row], tuple[str, ...]]:
    """The rows at a place under any spelling of it; where there are none, a sentence naming the places where some are."""
    placed = [(row, row.place) for row in rows if row.place is not None]
    here = [row for row, name in placed if naming.key(name) == naming.key(place)]
    known = ", ".join(sorted({name for _, name in placed})[:20])
    none = f"Nothing is due at {place!r}." + (f" Something is due at: {known}." if known else "")
    return here, () if here else (none,)
