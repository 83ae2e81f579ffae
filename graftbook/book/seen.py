"""What was seen, read in bulk, in the order of days, for the rules above to fold.

These readers serve reports over a whole book, so they never ask graft by graft. The looks of a graft come as its story; few
stories are told by many grafts, so there is one `Story` for each, and what is worked out of it is worked out once.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import starmap
from typing import Any, NamedTuple

from sqlalchemy import String, cast, func, select
from sqlmodel import Session

from graftbook.book.columns import Span, chunks, raw_parts
from graftbook.book.graft_queries import chunks as id_chunks
from graftbook.book.grafts import Care, Look


class StoryLook(NamedTuple):
    """One look: the day, the state, and whether the union was to blame for a loss (None: nothing was said)."""

    on: date
    state: str
    union_fault: str | None


@dataclass(frozen=True, eq=False, slots=True)
class Story:
    """The looks of a graft, oldest first; of two on a day the one written later is the later. Grafts of which the same was
    seen on the same days share one story, so stories are told apart by which they are."""

    looks: tuple[StoryLook, ...] = ()


class _Stories(dict[str, Story]):
    """Stories by their looks as the database puts them together, a JSON list of lists; made when first met."""

    def __missing__(self, text: str) -> Story:
        self[text] = found = Story(tuple(starmap(_look, json.loads(text))))
        return found


@lru_cache(maxsize=65_536)
def _look(on: str, state: str, fault: str | None) -> StoryLook:
    return StoryLook(date.fromisoformat(on), state, fault)


UNSEEN = Story()
"""The story of a graft never looked at."""


def stories(session: Session, as_of: date, graft_ids: Iterable[int] | None = None) -> dict[int, Story]:
    """The story of each of these grafts (None: of every one) up to a day, by its row; grafts without looks are absent."""
    table: Any = Look
    look = table.__table__.c
    query = (
        select(look.graft_id, _together(session, look))
        .where(look.on <= as_of)
        .group_by(look.graft_id)
        .with_hint(table.__table__, "INDEXED BY ix_look_graft_id_on", "sqlite")
    )
    queries = [query] if graft_ids is None else [query.where(look.graft_id.in_(part)) for part in id_chunks(graft_ids)]
    made = _Stories()
    parts = (part for asked in queries for part in raw_parts(session, asked))
    return {graft_id: made[text] for part in parts for graft_id, text in part}


def causes(session: Session, as_of: date) -> dict[int, str]:
    """The cause last said of each graft by a day, by its row; grafts of which none was said are absent."""
    table: Any = Look
    look = table.__table__.c
    query = (
        select(look.graft_id, look.cause).where(look.on <= as_of, look.cause.is_not(None)).order_by(look.on, look.id)
    )
    return {graft_id: cause for part in raw_parts(session, query) for graft_id, cause in part}


class HeadedBack(NamedTuple):
    """Grafts, and plants with all that stands on them, above which the stock was headed back, by row."""

    grafts: frozenset[int]
    plants: frozenset[int]


def headed_back(session: Session, as_of: date) -> HeadedBack:
    """What was headed back by a day: by care done, or since a look saw a bud forced."""
    tables: tuple[Any, Any] = Care, Look
    care, look = (table.__table__.c for table in tables)
    done = select(care.graft_id, care.plant_id).where(care.what == "headed-back", care.on <= as_of)
    forced = select(look.graft_id).where(look.state == "forced", look.on <= as_of)
    rows = [row for part in raw_parts(session, done) for row in part]
    seen = [graft_id for part in raw_parts(session, forced) for (graft_id,) in part]
    grafts = (graft_id for graft_id, _plant_id in rows if graft_id is not None)
    return HeadedBack(
        frozenset((*grafts, *seen)), frozenset(plant_id for _graft_id, plant_id in rows if plant_id is not None)
    )


def _together(session: Session, look: Any) -> Any:
    """The looks of a graft as one JSON text: few grafts have looks of their own, and each such text is read once."""
    if session.get_bind().dialect.name == "postgresql":
        from sqlalchemy.dialects.postgresql import aggregate_order_by

        one = func.json_build_array(look.on, look.state, look.union_fault)
        return cast(func.json_agg(aggregate_order_by(one, look.on, look.id)), String)
    # SQLite puts a group together in the order in which it meets its rows, and the index holds them by day and row.
    return func.json_group_array(func.json_array(look.on, look.state, look.union_fault))


def graft_columns(
    session: Session, names: Sequence[str], made_from: date | None = None, made_to: date | None = None
) -> Iterator[tuple]:
    """Only the named columns of every graft made within the days given (None: no bound), a line a graft."""
    for columns in chunks(session, names, Span(made_from, made_to)):
        yield from zip(*(columns[name] for name in names), strict=True)
