"""Facts of one thing, a line each, as the page about a plant or a bundle lists them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from graftbook import units
from graftbook.actions.desk.results import count
from graftbook.book.ledger import CautionNote
from graftbook.book.wood import Prune


@dataclass(frozen=True)
class FactRow:
    """One thing the book has on a plant or a bundle: a fact under its name, or something done on a day."""

    section: str
    on: date | None
    name: str
    value: str
    headings: ClassVar = {"name": "what", "value": "details"}


def note_rows(notes: list[CautionNote]):
    """The grower's own notes as rows."""
    for note in notes:
        until = f" until {note.until.isoformat()}" if note.until is not None else ""
        rest = "; ".join(part for part in (note.source, note.note) if part)
        yield FactRow("your own notes", note.on, note.kind, f"{note.status}{until}" + (f" ({rest})" if rest else ""))


CUTS = ("thinning", "heading", "bench")


def bundle_sizes(sticks: int, bundle: Any, unit: str) -> list[str]:
    """A bundle's sticks, thickness, length and buds in words, those that are known."""
    size = units.show_range(bundle.diameter_min_mm, bundle.diameter_max_mm, unit)
    long = f"{units.show_length(bundle.length_mm, unit)} long" if bundle.length_mm is not None else ""
    buds = f"{count(bundle.buds_per_stick, 'bud')} each" if bundle.buds_per_stick is not None else ""
    return [part for part in (count(sticks, "stick"), size, long, buds) if part]


def cut_words(pruned: Prune) -> str:
    """The cuts of a pruning and the share of the canopy that went, in words."""
    cuts = [f"{getattr(pruned, kind)} {kind}" for kind in CUTS if getattr(pruned, kind) is not None]
    made = sum(getattr(pruned, kind) or 0 for kind in CUTS)
    parts = [", ".join(cuts) + (" cut" if made == 1 else " cuts")] if cuts else []
    if pruned.removed_percent is not None:
        parts.append(f"{pruned.removed_percent} % of the canopy")
    return ", ".join(parts) or "cuts not counted"
