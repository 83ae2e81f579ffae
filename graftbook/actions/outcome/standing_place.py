"""Where a graft stands: the one rule of places.

A graft stands where the plant at its foot stands, in that plant's row, whatever stands between. Only where a place of its own
was stated and is another than the plant's does it stand there, and then in no row. A plant that is moved, or whose place is put
right, takes along every graft that stood where it stood; a graft that is moved takes along the plant it has its roots from,
and with it all that stands on that plant, unless the plant is a tree in the ground.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple, Protocol

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.outcome import alive
from graftbook.actions.outcome.alive import Alive
from graftbook.book import round_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.round_queries import RoundGraft
from graftbook.book.unit import Unit
from graftbook.errors import NotFound


class HasPlace(Protocol):
    """What a plant says of where it stands."""

    @property
    def place(self) -> str | None: ...
    @property
    def row(self) -> str | None: ...
    @property
    def order(self) -> int | None: ...


class StandingPlace(NamedTuple):
    """A place, and the row there and the number in it; None where it was not recorded."""

    place: str | None
    row: str | None
    order: int | None


def stands_apart(own: str | None, plant_place: str | None) -> bool:
    """Whether a graft with this place of its own (None: it has none) stands elsewhere than its plant. Spelling is no matter."""
    return own is not None and own != plant_place and naming.key(own) != naming.key(plant_place or "")


def of_graft(own: str | None, foot: HasPlace) -> StandingPlace:
    """Where a graft stands: `own` is the place stated with it (None: none was), `foot` the plant at its foot."""
    return (
        StandingPlace(own, None, None)
        if stands_apart(own, foot.place)
        else StandingPlace(foot.place, foot.row, foot.order)
    )


def goes_along(plant: Plant) -> bool:
    """Whether a plant goes where a graft on it is taken: a stock, or whatever stands in a container."""
    return plant.kind == "stock" or plant.container is not None


def put(unit: Unit, plant: Plant, place: str | None, grafts: Iterable[Graft]) -> list[Graft]:
    """Put a plant at a place, and along with it those of the grafts on it that stood where it stood, which are returned."""
    along = [graft for graft in grafts if graft.place is not None and not stands_apart(graft.place, plant.place)]
    unit.amend(plant, place=place)
    for graft in along:
        unit.amend(graft, place=place)
    return along


class WhereOnHost(NamedTuple):
    """Where a graft stands, and the code of its host."""

    place: str | None
    row: str | None
    order: int | None
    host: str


def where(held: Alive, line: RoundGraft) -> WhereOnHost:
    """Where a graft stands, and the code of what it was made on."""
    spot = of_graft(line.place, held.plants[held.foot(line.id)])
    graft_id, plant_id = line.host_graft_id, line.host_plant_id
    return WhereOnHost(*spot, held.grafts[graft_id].code if graft_id is not None else held.plants[plant_id or 0].code)


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
