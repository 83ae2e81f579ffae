"""find: what a plant, graft or bundle without its tag may be. Every candidate is shown with its year, none is chosen."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import units
from graftbook.actions import find_tests, subjects
from graftbook.actions.desk import Desk
from graftbook.actions.find_tests import Sought, Thing
from graftbook.actions.results import Report
from graftbook.book import finding_queries, graft_queries
from graftbook.book.plants import Plant
from graftbook.errors import UsageProblem
from graftbook.lineage import positions

WITHIN_MM = 100.0
_WHEN = re.compile(r"\d{4}(-\d{2})?$")


@dataclass(frozen=True)
class FindWords:
    """What is known of a thing, as typed; None means it was not said. `made` is a day, a month or a year; `mark` a word of
    its note, position, tie, lot or container, such as the colour of a mark; `beside` the plants it stands next to."""

    words: str | None = None
    host: str | None = None
    bearing: str | None = None
    height: str | None = None
    within: str | None = None
    place: str | None = None
    row: str | None = None
    order: str | None = None
    beside: str | None = None
    mark: str | None = None
    made: str | None = None


@dataclass(frozen=True)
class FoundRow:
    """One candidate. `year` is that of the day it was made, came or was cut, None where that is not known; `state` the last
    look at a graft, `dead` for a dead plant; `why` says how it answers to what was asked. Height in mm."""

    code: str
    kind: str
    name: str | None
    host: str | None
    place: str | None
    row: str | None
    order: int | None
    limb: str | None
    bearing_deg: int | None
    height_mm: float | None
    on: date | None
    year: int | None
    state: str | None
    why: str
    shown: ClassVar = ("code", "kind", "name", "year", "state", "why")
    headings: ClassVar = {"state": "last seen", "why": "where, and how near"}


def find(desk: Desk, words: FindWords, limit: int = 200) -> Report:
    """Every plant, graft and bundle that may be what is meant, by code; nothing is chosen.

    What was not recorded of a thing rules it out only where a name, a place or a day was asked. Raises UsageProblem when
    nothing was said, NotFound for a host or neighbour the book has not got.
    """
    if not any(getattr(words, field.name) for field in fields(words)):
        raise UsageProblem("something to find it by", "nothing", 'Such as: graftbook find "pearm" --place "home row"')
    with desk.book.read() as session:
        things = _things(session, desk)
        sought = _sought(session, desk, words, things)
        rows = [_row(desk, thing, sought) for thing in things if find_tests.answers(thing, sought)]
        rows = _with_looks(session, rows, desk.today)
    notes = (_none(words, things),) if not rows else ()
    if len(rows) > limit:
        notes = (f"{len(rows) - limit:,} more: say more of it, or --limit.",)
    return Report(FoundRow, tuple(rows[:limit]), notes, {"as_of": desk.today, "found": len(rows)})


def _things(session: Session, desk: Desk) -> list[Thing]:
    plants = finding_queries.plants(session)
    grafts = finding_queries.grafts(session)
    by_plant, by_graft = {plant.id: plant for plant in plants}, {graft.id: graft for graft in grafts}
    things = [find_tests.of_plant(plant) for plant in plants]
    carried: dict[str, set[str]] = {}
    for graft in grafts:
        plant_id = find_tests.foot(graft, by_graft)
        host = by_plant[graft.host_plant_id].code if graft.host_plant_id else by_graft[graft.host_graft_id].code
        thing = find_tests.of_graft(graft, host, by_plant[plant_id])
        carried.setdefault(by_plant[plant_id].code, set()).update(thing.names[:1])
        things.append(thing)
    things += [find_tests.of_wood(bundle) for bundle in finding_queries.bundles(session)]
    return [find_tests.carrying(thing, carried.get(thing.code)) if thing.kind == "stock" else thing for thing in things]


def _sought(session: Session, desk: Desk, words: FindWords, things: Sequence[Thing]) -> Sought:
    if words.height is None and words.within is not None:
        raise UsageProblem("--within beside --height", "--within alone", "Such as: --height 54in --within 4in")
    spot = positions.Spot(
        positions.bearing(words.bearing) if words.bearing else None,
        desk.length(words.height, units.HEIGHT) if words.height else None,
    )
    within = desk.length(words.within, units.HEIGHT) if words.within else WITHIN_MM
    return Sought(
        find_tests.pieces(words.words), _on_host(session, words.host), spot, within, find_tests.pieces(words.place),
        find_tests.pieces(words.row), find_tests.order(words.order), _neighbours(session, words.beside, things),
        find_tests.pieces(words.mark), _when(desk, words.made),
    )  # fmt: skip


def _on_host(session: Session, text: str | None) -> frozenset[str] | None:
    """Codes of all that stands on a plant or was made on a graft."""
    if text is None:
        return None
    codes: set[str] = set()
    rows = subjects.things_meant(session, text)
    level = [row.id for row in rows if not isinstance(row, Plant)]
    for grafts in graft_queries.standing_on(session, [row.id for row in rows if isinstance(row, Plant)]).values():
        codes |= {graft.code for graft in grafts}
    while level:
        above = [graft for here in graft_queries.on_grafts(session, level).values() for graft in here]
        codes |= {graft.code for graft in above}
        level = [graft.id for graft in above]
    return frozenset(codes)


def _neighbours(session: Session, text: str | None, things: Sequence[Thing]) -> frozenset[str] | None:
    """Codes of the plants next in the row to each plant named; between two, those next to both."""
    if text is None:
        return None
    rows = subjects.things_meant(session, text)
    named = [row.code for row in rows if isinstance(row, Plant)]
    if len(named) != len(rows):
        raise UsageProblem("plants it stands beside, such as P12 or P12,P14", text)
    lanes = find_tests.lanes(things)
    beside = [find_tests.next_in_row(code, lanes) for code in named]
    return frozenset.intersection(*beside) - frozenset(named)


def _when(desk: Desk, text: str | None) -> str | None:
    """The beginning of an ISO date: a year, a month or a day."""
    if text is None:
        return None
    return text.strip() if _WHEN.match(text.strip()) else desk.day(text).isoformat()


def _row(desk: Desk, thing: Thing, sought: Sought) -> FoundRow:
    why = "; ".join(find_tests.reasons(thing, sought, desk.settings.units))
    return FoundRow(
        thing.code, thing.kind, thing.name, thing.host, thing.place, thing.row, thing.order, thing.limb,
        thing.spot.bearing_deg, thing.spot.height_mm, thing.on, thing.on.year if thing.on else None, thing.state, why,
    )  # fmt: skip


def _with_looks(session: Session, rows: list[FoundRow], today: date) -> list[FoundRow]:
    from dataclasses import replace

    ids = graft_queries.ids_by_code(session, [row.code for row in rows if row.kind == "graft"])
    looks = graft_queries.last_looks(session, ids.values(), today)
    seen: Mapping[str, Any] = {code: looks.get(graft_id) for code, graft_id in ids.items()}
    return [replace(row, state=seen[row.code].state if seen[row.code] else "not looked at") if row.code in seen else row
            for row in rows]  # fmt: skip


def _none(words: FindWords, things: Sequence[Thing]) -> str:
    near = tuple(_near(words.words, things)) if words.words else ()
    said = f" Names like it: {', '.join(near)}." if near else ""
    return f"Nothing in the book answers to all of that.{said} Say less of it, or show all: graftbook graft list."


def _near(text: str, things: Sequence[Thing]) -> Iterator[str]:
    from rapidfuzz import fuzz, process

    names = sorted({name for thing in things for name in thing.names})
    for name, _score, _at in process.extract(text, names, scorer=fuzz.WRatio, score_cutoff=70, limit=3):
        yield f"'{name}'"
