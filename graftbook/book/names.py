"""The names a book already holds."""

from __future__ import annotations

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.lineage import BETWEEN, Naming, Synonym
from graftbook.book.plans import Want
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle


def cultivars(session: Session) -> tuple[str, ...]:
    """Every cultivar on a plant or a bundle of this book, wanted, in a naming, or preferred to another name, in order."""
    names: set[str] = set()
    for table in (Plant, Bundle, Want):
        names.update(session.execute(select(table.cultivar).distinct().where(table.cultivar.is_not(None))).scalars())
    for candidates in session.execute(select(Naming.candidates).where(Naming.candidates.is_not(None))).scalars():
        names.update(candidates.split(BETWEEN))
    names.update(session.execute(select(Synonym.preferred)).scalars())
    return tuple(sorted(names))


def synonyms(session: Session) -> dict[str, str]:
    """The name preferred to each synonym."""
    return dict(session.execute(select(Synonym.name, Synonym.preferred).order_by(Synonym.id)).all())
