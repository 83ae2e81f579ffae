"""What is said of kinds that callus well in warmth only: how warm, and what trials printed of take in a warm room."""

from __future__ import annotations

from collections.abc import Iterable

from graftbook import units
from graftbook.trade import callus, sources, takes, taxa

MOST_TAKES = 6


def of_kinds(kinds: Iterable[str], temperature: str) -> list[str]:
    """A sentence for each kind that wants heat; `temperature` is the unit, C or F."""
    return [sentence for kind in dict.fromkeys(kinds) if (sentence := _warm(kind, temperature))]


def in_full(kind: str, temperature: str) -> tuple[str, ...]:
    """The sentence, and the rates that trials printed for the kind by method, each with its source; empty for other kinds."""
    warm = _warm(kind, temperature)
    if not warm:
        return ()
    printed: dict[tuple[str, str], list[str]] = {}
    for row in takes.rows():
        if row.taxon in taxa.kin(kind) and row.basis == "published":
            printed.setdefault((row.words, row.source), []).append(f"{row.method} {_per_cent(row.low, row.high)}")
    name = taxa.common_name(kind)
    lines = (f"Printed take of {name}: {', '.join(rates)}. {words} [{sources.cite(source)}]"
             for (words, source), rates in printed.items())  # fmt: skip
    return (warm, *list(lines)[:MOST_TAKES])


def _warm(kind: str, temperature: str) -> str:
    band = callus.wants_heat(kind)
    if band is None or band.best_min is None or band.best_max is None:
        return ""
    low, high = (units.show_temperature(end, temperature) for end in (band.best_min, band.best_max))
    name = taxa.common_name(kind) or kind
    return (f"{name[:1].upper()}{name[1:]} calluses best at {low} to {high}: graft it late, in warm weather, or hold the union "
            "in a warm room or at a heated bench. A sunny room that cools at night is neither.")  # fmt: skip


def _per_cent(low: float, high: float) -> str:
    return f"{100 * low:.3g} %" if low == high else f"{100 * low:.3g} to {100 * high:.3g} %"
