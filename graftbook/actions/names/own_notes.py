"""The grower's own notes on health and rights, kept in the grower's own words."""

from __future__ import annotations

from typing import Any

from graftbook import codes
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list
from graftbook.actions.desk.typed import blank
from graftbook.book import find
from graftbook.book.ledger import HEALTH_WORDS, CautionNote
from graftbook.errors import Refused, UsageProblem

_COLUMNS = (("P", "plant_id", "plants"), ("W", "bundle_id", "wood"))


def add_note(
    desk: Desk, text: str, letter: str, *, health: str | None = None, rights: str | None = None, source: str | None = None,
    on: str | None = None, until: str | None = None, who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Note the health of plants (letter `P`) or wood (`W`), or rights on them and until when (None: with no end).

    Raises UsageProblem unless one of `health` and `rights` is given, Refused for an end before the note.
    """
    kind, status = _status(health, rights)
    day = desk.day(on)
    end = desk.day(until, future=True) if until is not None else None
    if end is not None and end < day:
        raise Refused(f"the note ends on {end.isoformat()}, before it begins on {day.isoformat()}")
    column, things = next((column, things) for first, column, things in _COLUMNS if first == letter)
    with desk.book.write("note", desk.person(who)) as unit:
        wanted = codes.read_many(text)
        if any(code.letter != letter for code in wanted):
            raise UsageProblem(f"{things}, whose codes start with {letter}", text)
        rows = find.many(unit.session, wanted)
        facts: dict[str, Any] = {"kind": kind, "status": status, "on": day, "until": end, "source": blank(source)}
        for row in rows:
            unit.add(CautionNote, **{column: row.id}, **facts, note=blank(note))
        named = tuple(row.code for row in rows)
        ends = f" until {end.isoformat()}" if end is not None else ""
        entry = unit.commit(f"Your note on {code_list(named)}: {kind}: {status}{ends}")
    return Recorded(f"{entry.summary}.", entry.id, named, (), _caution(kind, status, letter))


def _status(health: str | None, rights: str | None) -> tuple[str, str]:
    if rights is not None and health is None:
        if not rights.strip():
            raise UsageProblem("your own words on the rights", repr(rights))
        return "rights", rights.strip()
    if health is None or rights is not None:
        raise UsageProblem("one of --health and --rights", "both" if health is not None else "neither")
    word = " ".join(health.lower().replace("-", " ").split())
    if word not in HEALTH_WORDS:
        raise UsageProblem(f"health as one of {', '.join(HEALTH_WORDS)}", repr(health))
    return "health", word


def _caution(kind: str, status: str, letter: str) -> tuple[str, ...]:
    from graftbook.trade import cautions

    suspect = "suspect-tree" if letter == "P" else "suspect-wood"
    return cautions.words(["rights" if kind == "rights" else suspect if status == "suspect" else ""])
