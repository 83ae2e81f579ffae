"""Where grafts came from that were not recorded one by one: the imports that brought them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book.columns import Span
from graftbook.book.grafts import Graft
from graftbook.book.ledger import Entry

_GRAFTS = re.compile(r"([\d,]+) grafts? \((G\d+)")
_FILES = re.compile(r" from ([^\[:]+?)(?: \[|: |$)")


@dataclass(frozen=True)
class Import:
    """One import that brought grafts: its entry, the day it was made, the files with grafts (empty: an older entry that did
    not keep them), and how many grafts of the span it brought."""

    entry: int
    on: date
    files: str
    grafts: int


def imports(session: Session, span: Span) -> list[Import]:
    """The imports that brought grafts of the span, oldest first; what was undone is not there.

    One entry adds its grafts in one go, so they stand in rows that follow one another.
    """
    found = []
    query = select(Entry.id, Entry.at, Entry.summary).where(Entry.verb == "import", Entry.undone_by.is_(None))
    for entry, at, summary in session.execute(query.order_by(Entry.id)):
        match = _GRAFTS.search(summary)
        first = session.execute(select(Graft.id).where(Graft.code == match[2])).scalar() if match is not None else None
        if match is not None and first is not None:
            last = first + int(match[1].replace(",", "")) - 1
            number = session.execute(
                span.on(select(func.count(Graft.id)).where(Graft.id.between(first, last)))
            ).scalar()
            files = _FILES.search(summary)
            if number:
                found.append(Import(entry, at.date(), files[1] if files is not None else "", number))
    return found
