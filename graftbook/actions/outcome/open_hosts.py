"""Which plants carry a living graft, whose stock was seen dead, and which stocks are free to be grafted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from sqlmodel import Session

from graftbook.actions.outcome.alive import Alive, alive_at
from graftbook.book import living_queries, plant_queries
from graftbook.book.plants import Plant


def open_hosts(session: Session, day: date) -> frozenset[int]:
    """Ids of the plants at whose foot a graft lives on a day."""
    return alive_at(session, day).open_hosts()


def free_stocks(session: Session, day: date) -> list[Plant]:
    """Stocks, by number, that live and are here on a day, were not seen dead at a look, and carry no living graft."""
    held = alive_at(session, day)
    taken, dead = held.open_hosts(), seen_dead(session, held)
    return [
        plant
        for plant in plant_queries.stocks(session)
        if held.plant_end(plant.id) is None and plant.id not in taken and plant.id not in dead
    ]


def seen_dead(session: Session, held: Alive, graft_ids: Iterable[int] | None = None) -> dict[int, tuple[date, str]]:
    """Plants whose stock the newest look that says anything of it found dead: the day and the graft looked at. `graft_ids`
    narrows it to looks at these (None: any)."""
    newest: dict[int, tuple[date, str, str]] = {}
    for graft_id, on, fate in living_queries.stock_fates(session, held.day, graft_ids):
        newest[held.foot(graft_id)] = (on, held.grafts[graft_id].code, fate)
    return {plant_id: (on, code) for plant_id, (on, code, fate) in newest.items() if fate == "dead"}
