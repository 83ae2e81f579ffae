"""Where grafts stand, and which living grafts stand at a place or in a row of it."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.outcome import alive, standing_place
from graftbook.actions.outcome.alive import Alive
from graftbook.book import round_queries
from graftbook.book.round_queries import RoundGraft
from graftbook.errors import NotFound


class Where(NamedTuple):
    """Where a graft stands: the place it is walked to, its plant's row and order, and the code of its host."""

    place: str | None
    row: str | None
    order: int | None
    host: str


def where(held: Alive, line: RoundGraft) -> Where:
    """Where a graft stands, and the code of what it was made on."""
    spot = standing_place.of_graft(line.place, held.plants[held.foot(line.id)])
    graft_id, plant_id = line.host_graft_id, line.host_plant_id
    return Where(*spot, held.grafts[graft_id].code if graft_id is not None else held.plants[plant_id or 0].code)


def living_at(session: Session, place: str, row: str | None, on: date) -> tuple[str, ...]:
    """Codes of the grafts that live at a place on a day, under any spelling of it, by number; `row` narrows to one row.

    What lives is said by graftbook.actions.outcome.alive. Raises NotFound, naming the places or the rows where living
    grafts stand.
    """
    lines = round_queries.lines(session, date.min, on)
    held = alive.made_since(session, on, lines)
    found: list[str] = []
    places: set[str] = set()
    rows: set[str] = set()
    for line in lines:
        here = where(held, line) if held.end(line.id) is None else None
        if here is None or here.place is None:
            continue
        places.add(here.place)
        if naming.key(here.place) != naming.key(place):
            continue
        rows.add(f"row {here.row}" if here.row else "no row")
        if row is None or naming.key(here.row or "") == naming.key(row):
            found.append(line.code)
    if found:
        return tuple(found)
    if rows and row is not None:
        raise NotFound(
            f"no living graft stands in row {row} at {place}; some stand there in {', '.join(sorted(rows)[:20])}"
        )
    there = (
        f"; some stand at {', '.join(sorted(places)[:20])}" if places else "; no place is recorded for any living graft"
    )
    raise NotFound(f"no living graft stands at {place}{there}", next_step="See the places: graftbook due --brief")
