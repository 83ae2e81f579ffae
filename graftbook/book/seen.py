"""What was seen and done, read in bulk, in the order of days, for the rules above to fold.

These readers serve reports over a whole book, so they never ask graft by graft. The looks of a graft come as its story: one
text, `2027-05-20 pushing|2027-07-01 dead no`, since few stories are told by many grafts and each is judged once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from functools import lru_cache

from sqlalchemy import String, cast, func, literal, select
from sqlalchemy.dialects.postgresql import aggregate_order_by
from sqlmodel import Session

from graftbook.book.columns import Span, chunks, day_of, raw_parts
from graftbook.book.grafts import Look

Seen = tuple[date, str, str | None, str | None]
"""One look: on, state, union fault, cause."""


def stories(session: Session, as_of: date) -> dict[int, str]:
    """The story of each graft up to a day, by its row; grafts without looks are absent."""
    looks = Look.__table__.c
    one = cast(looks.on, String) + literal(" ") + looks.state + func.coalesce(literal(" ") + looks.union_fault, "")
    if session.get_bind().dialect.name == "postgresql":
        told = func.string_agg(one, aggregate_order_by(literal("|"), looks.on, looks.id))
    else:
        told = func.group_concat(one, "|")
    query = select(looks.graft_id, told).where(looks.on <= as_of).group_by(looks.graft_id)
    # SQLite puts a group together in the order in which it meets its rows, and the index holds them by day and row.
    query = query.with_hint(Look.__table__, "INDEXED BY ix_look_graft_id_on", "sqlite")
    same: dict[str, str] = {}
    found: dict[int, str] = {}
    for part in raw_parts(session, query):
        found.update((graft, same.setdefault(story, story)) for graft, story in part)
    return found


@lru_cache(maxsize=65_536)
def read_story(story: str | None) -> tuple[Seen, ...]:
    """A story as looks, oldest first; None, no looks at all, gives none. What was written of the cause is not in it."""
    if story is None:
        return ()
    return tuple(map(_read_look, story.split("|")))


@lru_cache(maxsize=65_536)
def _read_look(text: str) -> Seen:
    on, state, *fault = text.split(" ")
    return day_of(on), state, fault[0] if fault else None, None


def graft_columns(
    session: Session, names: Sequence[str], made_from: date | None = None, made_to: date | None = None
) -> Iterator[tuple]:
    """Only the named columns of every graft made within the days given (None: no bound), a line a graft."""
    for columns in chunks(session, names, Span(made_from, made_to)):
        yield from zip(*(columns[name] for name in names), strict=True)


def looks(session: Session, as_of: date, graft_ids: Sequence[int] | None = None) -> dict[int, list[Seen]]:
    """The looks of each graft up to a day, oldest first; grafts without looks are absent. None means every graft."""
    seen = Look.__table__.c
    query = (
        select(seen.graft_id, seen.on, seen.state, seen.union_fault, seen.cause)
        .where(seen.on <= as_of)
        .order_by(seen.graft_id, seen.on, seen.id)
    )
    if graft_ids is not None:
        query = query.where(seen.graft_id.in_(list(graft_ids)))
    found: dict[int, list[Seen]] = defaultdict(list)
    for graft_id, *look in session.connection().execute(query):
        found[graft_id].append(tuple(look))
    return found
