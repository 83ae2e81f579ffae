"""Where grafts stand, and which living grafts stand at a place or in a row of it."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.outcome import standing_place
from graftbook.actions.outcome.subjects import ENDED
from graftbook.book import round_queries
from graftbook.book.round_queries import Foot, Line
from graftbook.errors import NotFound


class Where(NamedTuple):
    """Where a graft stands: the place it is walked to, its plant's row and order, and the code of its host."""

    place: str | None
    row: str | None
    order: int | None
    host: str


class Standing:
    """Where grafts stand, looked up once; grafts on grafts stand where the plant at the foot does."""

    def __init__(self, session: Session) -> None:
        self._hosts = round_queries.hosts(session)
        self._feet = round_queries.feet(session)

    def of(self, line: Line, day: date) -> Where | None:
        """Where a graft stands; None when the plant under it is dead by that day."""
        plant_id, code = line.host_plant_id, None
        graft_id = line.host_graft_id
        while graft_id is not None:
            host, plant_id, graft_id = self._hosts[graft_id]
            code = code if code is not None else host
        foot: Foot = self._feet[plant_id]
        if foot.died_on is not None and foot.died_on <= day:
            return None
        spot = standing_place.of_graft(line.place, foot)
        return Where(*spot, code if code is not None else foot.code)


def living_at(session: Session, place: str, row: str | None, on: date) -> tuple[str, ...]:
    """Codes of the grafts that live at a place on a day, under any spelling of it, by number; `row` narrows to one row.

    A graft lives while its last look is no end and the plant under it is not dead. Raises NotFound, naming the places or
    the rows where living grafts stand.
    """
    looks, stands = round_queries.last_looks(session, date.min, on), Standing(session)
    found: list[str] = []
    places: set[str] = set()
    rows: set[str] = set()
    for line in round_queries.lines(session, date.min, on):
        last = looks.get(line.id)
        where = None if last is not None and last.state in ENDED else stands.of(line, on)
        if where is None or where.place is None:
            continue
        places.add(where.place)
        if naming.key(where.place) != naming.key(place):
            continue
        rows.add(where.row or "no row")
        if row is None or naming.key(where.row or "") == naming.key(row):
            found.append(line.code)
    if found:
        return tuple(found)
    if rows and row is not None:
        raise NotFound(f"living grafts in row {row} at {place}", f"them in: {', '.join(sorted(rows)[:20])}")
    held = ", ".join(sorted(places)[:20]) or "nowhere"
    raise NotFound(f"living grafts at {place}", f"them at: {held}", "Places: graftbook due --brief")
