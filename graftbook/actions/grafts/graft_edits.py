"""A graft's record mended, within what the rest of the book allows: nothing may have happened to it before it was made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list
from graftbook.actions.desk.typed import blank
from graftbook.actions.grafts import graft_text
from graftbook.actions.grafts.graft_text import GraftWords
from graftbook.actions.outcome import subjects
from graftbook.actions.outcome.plant_days import why_absent
from graftbook.actions.trade import own_tables
from graftbook.book import find, graft_queries, look_queries
from graftbook.book.grafts import BUD_STATES, Graft
from graftbook.book.wood import Bundle
from graftbook.errors import Refused, UsageProblem


def amend(
    desk: Desk, text: str, words: GraftWords, *, method: str | None = None, on: str | None = None, who: str | None = None
) -> Recorded:  # fmt: skip
    """Mend what is recorded of grafts. An empty text takes a fact away; `on` and `who` mend when and by whom they were made.

    What was put on what is not mended here: undo the entry and record it again. Raises UsageProblem when nothing was said,
    Refused for a day after a look, care or wood cut later, and for a method that turns what was seen as a bud into none.
    """
    if words == GraftWords() and method is None and on is None and who is None:
        raise UsageProblem("something to amend, such as --position 'low, north side'", "nothing")
    values = graft_text.read(desk, words)
    if on is not None:
        values["made_on"] = desk.day(on)
    if who is not None:
        values["who"] = blank(who)
    with desk.book.write("amend graft", desk.person(None)) as unit:
        if method is not None:
            found = own_tables.method_named(unit.session, method)
            values |= {"method": found.method, "unit": "bud" if found.is_bud else "graft"}
        grafts = _grafts_meant(unit.session, text)
        _may_stand(unit.session, grafts, values)
        for graft in grafts:
            unit.amend(graft, **values, **_tied_too(graft, values))
        named = tuple(graft.code for graft in grafts)
        stated = {name.replace("_", " "): "not known" if value is None else value for name, value in values.items()}
        facts = ", ".join(f"{name} {value}" for name, value in stated.items() if name != "unit")
        entry = unit.commit(f"Amended {code_list(named)}: {facts}")
    return Recorded(f"{entry.summary}.", entry.id, named)


def _tied_too(graft: Graft, values: Mapping[str, Any]) -> dict[str, Any]:
    """A tie put on when the graft was made moves with that day, unless its own day was said."""
    moved = "made_on" in values and "tied_on" not in values and graft.tied_on == graft.made_on
    return {"tied_on": values["made_on"]} if moved and graft.tied_on is not None else {}


def _grafts_meant(session: Session, text: str) -> tuple[Graft, ...]:
    """The grafts behind codes as typed. Raises UsageProblem for a plant or wood, NotFound for what the book has not got."""
    rows: Any = subjects.things_meant(session, text)
    stray = [row.code for row in rows if not isinstance(row, Graft)]
    if stray:
        raise UsageProblem("grafts, whose codes start with G", ", ".join(stray[:10]))
    return rows


def _may_stand(session: Session, grafts: Sequence[Graft], values: Mapping[str, Any]) -> None:
    """Refuse values that contradict what else the book has of these grafts, naming every contradiction."""
    wrong = [*_days(session, grafts, values), *_kinds(session, grafts, values)]
    if wrong:
        raise Refused("; ".join(wrong[:20]), "", "Nothing was amended")
    methods = own_tables.all_methods(session)
    for graft in grafts:
        method = methods.get(values.get("method", graft.method))
        if method is not None and ("buds" in values or "method" in values):
            graft_text.check_buds(method.method, method.is_bud, values.get("buds", graft.buds))
        tied = values.get("tied_on", graft.tied_on)
        graft_text.check_tied({"tied_on": tied, **_tied_too(graft, values)}, values.get("made_on", graft.made_on))


def _days(session: Session, grafts: Sequence[Graft], values: Mapping[str, Any]) -> Iterator[str]:
    day = values.get("made_on")
    if day is None:
        return
    first = look_queries.first_days(session, [graft.id for graft in grafts])
    wood = find.by_id(session, Bundle, [graft.bundle_id for graft in grafts])
    feet = graft_queries.foot_plants(session, grafts)
    for graft in grafts:
        bundle, plant = wood.get(graft.bundle_id or 0), feet[graft.id]
        if graft.id in first and first[graft.id] < day:
            yield f"{graft.code} was looked at, cared for or built on by {first[graft.id].isoformat()}"
        if bundle is not None and bundle.cut_on is not None and bundle.cut_on > day:
            yield f"{bundle.code}, of which {graft.code} is, was cut on {bundle.cut_on.isoformat()}"
        why = why_absent(plant, day, last_day=False)
        if why is not None:
            yield f"{plant.code}, {why}"


def _kinds(session: Session, grafts: Sequence[Graft], values: Mapping[str, Any]) -> Iterator[str]:
    if values.get("unit") != "graft":
        return
    buds = [graft.id for graft in grafts if graft.unit == "bud"]
    seen = look_queries.seen_as(session, buds, BUD_STATES)
    for graft in grafts:
        if graft.id in seen:
            yield f"{graft.code} was seen {seen[graft.id]}, as only a bud can be"
