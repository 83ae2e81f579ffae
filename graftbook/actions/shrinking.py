"""Rows of take drawn towards the others of their kind, beside the raw numbers and never instead of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from graftbook.stats.shrink import LEAST_CELLS, shrink

_SAID = (
    "Shrunk: each row drawn towards the others of its kind, by as much as those differ among themselves and as few as stand in "
    "the row; a guess at what the row would come to with many more, and not a count."
)


def shrunk(rows: Sequence[Any]) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    """The rows with their shrunk rates, kind by kind, and what is to be said of it."""
    kinds: dict[tuple[str | None, str], list[int]] = {}
    for place, row in enumerate(rows):
        kinds.setdefault((row.species, row.unit), []).append(place)
    done, without = list(rows), []
    for (species, unit), places in kinds.items():
        found = shrink([(rows[at].k, rows[at].n) for at in places], rows[places[0]].level)
        if found is None:
            without.append(f"{species or 'kind not recorded'} {unit}s")
            continue
        for at, one in zip(places, found, strict=True):
            done[at] = replace(rows[at], shrunk_rate=one.rate, shrunk_low=one.low, shrunk_high=one.high)
    notes = [_SAID] if len(without) < len(kinds) else []
    if without:
        notes.append(
            f"Not shrunk: {', '.join(without)}; that takes {LEAST_CELLS} rows of a kind or more, in one of which some took and "
            "some did not."
        )
    return tuple(done), tuple(notes)
