"""The names a book already holds."""

from __future__ import annotations

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.plans import Want
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle


def cultivars(session: Session) -> tuple[str, ...]:
    """Every cultivar on a plant or a bundle of this book, or wanted, in order."""
    names: set[str] = set()
    for table in (Plant, Bundle, Want):
        names.update(session.execute(select(table.cultivar).distinct().where(table.cultivar.is_not(None))).scalars())
    return tuple(sorted(names))
