"""The order in which places and rows are walked, and what is said of a place where nothing is."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache


@lru_cache(maxsize=65_536)
def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts `row 2` before `row 10`, as one walks."""
    parts = re.findall(r"\d+|\D+", text.casefold())
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)


def no_such(place: str, held: Iterable[str]) -> tuple[str, ...]:
    """A sentence for a place where nothing is due, naming those where something is."""
    known = ", ".join(sorted(held)[:20])
    return (f"Nothing is due at {place!r}." + (f" Something is due at: {known}." if known else ""),)
