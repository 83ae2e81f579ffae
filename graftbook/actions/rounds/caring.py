"""Aftercare recorded and listed: done to grafts, or to a plant and so to all that stands on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, code_list, filled, first_of
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import alive, standing_place, states, subjects
from graftbook.actions.outcome.plant_days import why_absent
from graftbook.book import find, graft_queries, look_queries
from graftbook.book.grafts import Care, Graft
from graftbook.book.plants import Plant
from graftbook.book.unit import Unit
from graftbook.errors import Refused, UsageProblem

Subject = Plant | Graft

# Care by which a thing comes to stand elsewhere.
_MOVES = ("moved", "gone-home")


@dataclass(frozen=True)
class CareRow:
    """Care done to one plant or graft on a day; `cultivar` is what it is or might be today."""

    code: str
    on: date
    what: str
    who: str | None
    note: str | None
    cultivar: str | None
    shown: ClassVar = ("code", "cultivar", "on", "what", "who", "note")
    headings: ClassVar = {"what": "done", "who": "by"}


def care_at(
    desk: Desk, place: str, row: str | None, done: str, *, left_out: str | None = None, on: str | None = None,
    who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record that one thing was done to every living graft at a place, or in a row of it, as one entry.

    Raises as `care`, NotFound where none stands there, and UsageProblem for being moved: what was moved is named.
    """
    if states.care(done) in _MOVES:
        raise UsageProblem("codes of what was moved, before the word", f"only a place, {place!r}")
    with desk.book.read() as session:
        codes = standing_place.living_at(session, place, row, desk.day(on))
    return care(desk, ",".join(codes), done, left_out=left_out, on=on, who=who, note=note)


def care(
    desk: Desk, text: str, done: str, *, left_out: str | None = None, place: str | None = None, on: str | None = None,
    who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record that one thing was done to every graft and plant named, all as one entry.

    `place` says where things were moved to, and goes with `moved` or `gone-home` alone. Raises UsageProblem for words that
    are no care, Refused for a day before a graft was made or a plant came, or after a plant died.
    """
    day = desk.day(on)
    what = states.care(done)
    if place is not None and what not in _MOVES:
        raise UsageProblem("--place with moved or gone-home", f"it with {what}")
    to = blank(place)
    with desk.book.write("care", desk.person(who)) as unit:
        rows = subjects.things_meant(unit.session, text, left_out)
        _refuse(rows, day)
        along, stay = _roots(unit.session, rows) if to is not None else ([], [])
        notes = (*_notes(unit.session, rows, day, what, to), *_along_words(along, stay))
        shared = {"on": day, "what": what, "who": desk.person(who), "note": blank(note)}
        moved = [*along, *rows] if to is not None else []
        stood = _places(unit.session, moved)
        places = {code: {"place": to, "place_before": before} for code, before in stood.items()}
        unit.add_many(Care, [{**shared, **_key(row), **places.get(row.code, {})} for row in (*rows, *along)])
        if to is not None:
            _put(unit, moved, to)
        codes = tuple(row.code for row in rows)
        where = f" to {to}" if to is not None else ""
        entry = unit.commit(f"{code_list(codes)}: {what.replace('-', ' ')}{where}, {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id, codes, notes)


def _along_words(along: Sequence[Plant], stay: Sequence[Plant]) -> Iterator[str]:
    if along:
        yield f"Moved with what stands on them: {code_list(plant.code for plant in along)}."
    for plant in stay:
        yield (
            f"{plant.code}, a tree without a container, stays at {plant.place or 'no recorded place'}. If it was moved: "
            f"graftbook care {plant.code} moved --place …"
        )


def _key(row: Subject) -> dict[str, object]:
    return {"plant_id" if isinstance(row, Plant) else "graft_id": row.id}


def _places(session: Session, rows: Sequence[Subject]) -> dict[str, str | None]:
    """Where each thing stands before it is moved; a graft without a place of its own stands where its plant does."""
    feet = graft_queries.foot_plants(session, [row for row in rows if isinstance(row, Graft)])
    return {
        row.code: row.place if isinstance(row, Plant) else standing_place.of_graft(row.place, feet[row.id]).place
        for row in rows
    }


def _refuse(rows: Sequence[Subject], day: date) -> None:
    wrong = [f"{row.code}, {why}" for row in rows if (why := why_absent(row, day)) is not None]
    if wrong:
        raise Refused(f"not there on {day.isoformat()}: {first_of(wrong)}", next_step="Give the right day with --on")


def _notes(session: Session, rows: Sequence[Subject], day: date, what: str, to: str | None) -> Iterator[str]:
    grafts = [row.id for row in rows if isinstance(row, Graft)]
    held = alive.of_grafts(session, day, grafts)
    ended = [end for end in map(held.end, grafts) if end is not None and end.how != alive.HOME]
    if ended:
        dead = tuple(held.grafts[number].code for number in grafts if held.end(number) in ended)
        yield f"{code_list(dead)}: not alive at the last look; what was done is kept all the same."
    plants = [row for row in rows if isinstance(row, Plant)]
    stood = subjects.standing(session, plants, day)
    several = {row.code: len(stood[row.id]) for row in plants if len(stood.get(row.id, ())) > 1}
    if several and what not in ("moved", "tag-missing", "tag-illegible"):
        yield f"{code_list(several)}: this counts for every graft there, {sum(several.values()):,} in all."
    if what == "moved" and to is None:
        yield "The place in the book is as it was: say where they went with --place."


def _roots(session: Session, rows: Sequence[Subject]) -> tuple[list[Plant], list[Plant]]:
    """The plants that go along with grafts that are moved, and those that stay, each once; not those named themselves."""
    named = {row.code for row in rows if isinstance(row, Plant)}
    feet = graft_queries.foot_plants(session, [row for row in rows if isinstance(row, Graft)])
    plants = list({plant.code: plant for plant in feet.values() if plant.code not in named}.values())
    along: list[Plant] = []
    stay: list[Plant] = []
    for plant in plants:
        (along if standing_place.goes_along(plant) else stay).append(plant)
    return along, stay


def _put(unit: Unit, rows: Sequence[Subject], place: str) -> None:
    """Put things at another place, by the rule of places; a plant leaves its row."""
    plants = [row for row in rows if isinstance(row, Plant)]
    stood = graft_queries.standing_on(unit.session, [plant.id for plant in plants if plant.id is not None])
    for plant in plants:
        standing_place.put(unit, plant, place, stood.get(plant.id or 0, []))
        unit.amend(plant, row=None, order=None)
    for row in rows:
        if isinstance(row, Graft):
            unit.amend(row, place=place)


def list_care(desk: Desk, text: str | None = None, *, since: str | None = None, limit: int = 200) -> Report:
    """Care by day, oldest first: done to the plants and grafts named, and to what stands on those plants (None: any)."""
    first = desk.day(since, future=True) if since is not None else None
    with desk.book.read() as session:
        graft_ids, plant_ids = subjects.at_or_on(session, text) if text is not None else (None, None)
        found = look_queries.care_of(session, graft_ids, plant_ids, first, limit)
        grafts = find.by_id(session, Graft, [one.graft_id for one in found])
        plants = find.by_id(session, Plant, [one.plant_id for one in found])
        names = shown_names.of(session, (*grafts.values(), *plants.values()))
        subject = [grafts[one.graft_id] if one.graft_id is not None else plants[one.plant_id or 0] for one in found]
        rows = tuple(
            filled(CareRow, one, code=row.code, cultivar=names.of(row).cultivar)
            for one, row in zip(found, subject, strict=True)
        )
    notes = (f"The newest {limit:,}; --limit N shows more.",) if len(rows) == limit else ()
    return Report(CareRow, rows, notes, {"as_of": desk.today})
