"""The gates of the grower's own notes, health and rights: repeated in the grower's words, never as a ruling.

No law and no line on a map stands here: what may be moved or propagated differs from place to place and changes. A note
is a caution until its last day is past.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from graftbook.fit.facts import NoteFacts, StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext, recorded
from graftbook.trade.methods import Method

# Words by which a grower says that a plant gave no cause for worry.
CLEAN = ("visibly clean", "clean", "tested")


def health_note(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """What the grower noted of the health of the wood's source and of the stock."""
    return _gate("health note", "health", wood, stock, on)


def rights_note(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """What the grower noted of rights on either cultivar."""
    return _gate("rights note", "rights", wood, stock, on)


def _gate(name: str, kind: str, wood: WoodFacts, stock: StockFacts, on: date) -> Gate:
    noted = list(_noted(kind, wood, stock, on))
    if not noted:
        return recorded(name, "pass", f"You noted nothing on {kind} for {wood.code} or {stock.code}.")
    outcome = "caution" if any(holds for holds, _ in noted) else "pass"
    return recorded(name, outcome, " ".join(sentence for _, sentence in noted))


def _noted(kind: str, wood: WoodFacts, stock: StockFacts, on: date) -> Iterator[tuple[bool, str]]:
    for facts in (wood, stock):
        for note in facts.notes:
            if note.kind == kind:
                holds = _holds(note, on)
                yield holds, f"Your note on {facts.code}: {_words(note)}{_until(note, on)}."


def _holds(note: NoteFacts, on: date) -> bool:
    past = note.until is not None and note.until < on
    clean = note.kind == "health" and note.status.strip().casefold() in CLEAN
    return not past and not clean


def _words(note: NoteFacts) -> str:
    text = ", ".join(part.strip().rstrip(".") for part in (note.status, note.words) if part and part.strip())
    return text or f"a {note.kind} note without words"


def _until(note: NoteFacts, on: date) -> str:
    if note.until is None:
        return ""
    return f" (until {note.until.isoformat()}{', now past' if note.until < on else ''})"
