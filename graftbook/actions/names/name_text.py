"""What a person says a thing is, read: one cultivar, "A or B", or unknown."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.typed import nearest_word
from graftbook.book.lineage import BETWEEN, SURE_WORDS
from graftbook.errors import UsageProblem
from graftbook.lineage.epithets import bare

_UNKNOWN = frozenset({"unknown", "?", "not known", "unnamed", "no name"})

_SPLIT = re.compile(r"\s*\|\s*|\s+or(?:\s+|$)|^or\s+", re.IGNORECASE)

MOST_CANDIDATES = 12


@dataclass(frozen=True)
class Called:
    """Candidates as the book spells them, none where it is unknown; what was typed where that differs; sentences."""

    names: tuple[str, ...]
    typed: str | None
    notes: tuple[str, ...]

    @property
    def kept(self) -> str | None:
        """The candidates as the book keeps them."""
        return BETWEEN.join(self.names) or None


def read(session: Session, text: str) -> Called:
    """A name, "A or B", or `unknown`, in any quotes. Raises UsageProblem for nothing, one name twice, or too many."""
    plain = " ".join(text.split())
    if plain.casefold() in _UNKNOWN:
        return Called((), None, ())
    cultivars = naming.Cultivars.of(session)
    parts = _parts(plain, cultivars)
    if not all(naming.key(part) for part in parts):
        raise UsageProblem("a cultivar, such as 'Quern Russet', 'A or B', or unknown", repr(text))
    if len(parts) > MOST_CANDIDATES:
        raise UsageProblem(f"at most {MOST_CANDIDATES} names it might be", str(len(parts)))
    found = [cultivars.name(part) for part in parts]
    kept = tuple(name.kept for name in found)
    if len({naming.key(name) for name in kept}) < len(kept):
        raise UsageProblem("different names it might be, such as 'A or B'", f"one name twice: {plain}", "Name it once")
    typed = plain if any(name.typed is not None for name in found) else None
    return Called(kept, typed, tuple(name.note for name in found if name.note is not None))


def _parts(plain: str, cultivars: naming.Cultivars) -> list[str]:
    if cultivars.holds(plain):
        return [bare(plain)]
    lead = re.sub(r"^either\s+", "", plain, flags=re.IGNORECASE)
    return [bare(part) for part in _SPLIT.split(lead)]


def sure(text: str | None, names: Sequence[str]) -> str:
    """How sure, as the book says it; None gives `believed` for one name or none, `doubtful` for several."""
    if text is None:
        return "doubtful" if len(names) > 1 else "believed"
    found = nearest_word(
        {"verified": "verified by fruit", "fruit": "verified by fruit"}.get(text.casefold(), text), SURE_WORDS
    )
    if found is None:
        raise UsageProblem(f"how sure as one of {', '.join(SURE_WORDS)}", repr(text))
    return found
