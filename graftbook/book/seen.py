"""What was seen, read in bulk, in the order of days, for the rules above to fold.

These readers serve reports over a whole book, so they never ask graft by graft. The looks of a graft come as its story; few
stories are told by many grafts, so there is one `Story` for each, and what is worked out of it is worked out once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.columns import Span, chunks, day_of, raw_parts
from graftbook.book.graft_queries import chunks as id_chunks
from graftbook.book.grafts import Look


class StoryLook(NamedTuple):
    """One look: the day, the state, and whether the union was to blame for a loss (None: nothing was said)."""

    on: date
    state: str
    union_fault: str | None


class Story:
    """The looks of a graft, oldest first; of two on a day the one written later is the later. Grafts of which the same was
    seen on the same days share one story, so stories are told apart by which they are."""

    __slots__ = ("_then", "looks")

    def __init__(self, looks: tuple[StoryLook, ...] = ()) -> None:
        self.looks = looks
        self._then: dict[tuple[str | date, str, str | None], Story] = {}

    def then(self, look: tuple[str | date, str, str | None]) -> Story:
        """This story with one look more, given as the driver gives it."""
        found = self._then.get(look)
        if found is None:
            day = day_of(look[0])
            assert day is not None
            found = self._then[look] = Story((*self.looks, StoryLook(day, look[1], look[2])))
        return found


UNSEEN = Story()
"""The story of a graft never looked at."""


def stories(session: Session, as_of: date, graft_ids: Iterable[int] | None = None) -> dict[int, Story]:
    """The story of each of these grafts (None: of every one) up to a day, by its row; grafts without looks are absent."""
    table: Any = Look
    look = table.__table__.c
    query = (
        select(look.graft_id, look.on, look.state, look.union_fault)
        .where(look.on <= as_of)
        .order_by(look.graft_id, look.on, look.id)
        .with_hint(table.__table__, "INDEXED BY ix_look_graft_id_on", "sqlite")
    )
    queries = [query] if graft_ids is None else [query.where(look.graft_id.in_(part)) for part in id_chunks(graft_ids)]
    found: dict[int, Story] = {}
    last, begun = None, Story()
    at = begun
    for part in (part for asked in queries for part in raw_parts(session, asked)):
        for graft_id, on, state, fault in part:
            if graft_id != last:
                at, last = begun, graft_id
            at = at.then((on, state, fault))
            found[graft_id] = at
    return found


def graft_columns(
    session: Session, names: Sequence[str], made_from: date | None = None, made_to: date | None = None
) -> Iterator[tuple]:
    """Only the named columns of every graft made within the days given (None: no bound), a line a graft."""
    for columns in chunks(session, names, Span(made_from, made_to)):
        yield from zip(*(columns[name] for name in names), strict=True)
