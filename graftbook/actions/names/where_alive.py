"""What is alive on a day, so far as anybody looked: trees, and grafts with whether they were judged to have taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.names.lineages import ENDED, Lineage
from graftbook.book import lineage_queries

TREE = 2


@dataclass(frozen=True)
class Living:
    """Living things by number: trees; grafts with whether each was seen growing; and what became of every graft and plant,
    in a few words."""

    trees: tuple[int, ...]
    grafts: Mapping[int, bool]
    fate: Mapping[int, str]


def fetch(session: Session, book: Lineage, on: date) -> Living:
    """What is alive on a day. A graft not looked at yet counts as alive and not judged; one not found, or gone home and not
    seen since, does not count."""
    states = lineage_queries.last_states(session, on)
    plants_home, grafts_home = lineage_queries.went_home(session, on)
    fate: dict[int, str] = {}
    for row in book.columns.plants:
        fate[book.plant[row[0]]] = _plant_fate(row, plants_home.get(row[0]), on)
    ids = {thing: number for number, thing in book.plant.items()}
    grafts: dict[int, bool] = {}
    for row in book.columns.grafts:
        thing = book.graft[row[0]]
        foot = book.threads.body[thing]
        home = max((d for d in (grafts_home.get(row[0]), plants_home.get(ids[foot])) if d is not None), default=None)
        fate[thing] = _graft_fate(states.get(row[0]), home, fate[foot], row[6], on)
        if fate[thing] in ("growing", "alive", "not looked at"):
            grafts[thing] = fate[thing] == "growing"
    trees = [book.plant[row[0]] for row in book.columns.plants if row[TREE] == "tree"]
    return Living(tuple(thing for thing in trees if fate[thing] == "alive"), grafts, fate)


def _plant_fate(row: tuple, home: date | None, on: date) -> str:
    if row[5] is not None and row[5] <= on:
        return f"dead {row[5].isoformat()}"
    if home is not None:
        return f"gone home {home.isoformat()}"
    return "alive"


def _graft_fate(state: tuple | None, home: date | None, foot: str, made_on: date, on: date) -> str:
    """`growing` once seen growing and not ended since; `alive` for other living states."""
    if made_on > on:
        return "not made yet"
    if foot.startswith("dead"):
        return foot
    if state is not None and state[1] in ENDED:
        return f"dead {state[0].isoformat()}"
    if home is not None and home >= made_on and (state is None or state[0] <= home):
        return f"gone home {home.isoformat()}"
    if state is None:
        return "not looked at"
    if state[1] == "not-found":
        return f"not found {state[0].isoformat()}"
    return "growing" if state[2] else "alive"
