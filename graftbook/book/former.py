"""What things were known as before: codes that their tags may still bear, and rows that were joined with them."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import rows
from graftbook.book.merged import Former
from graftbook.book.tags import TagRun


class OldCode(NamedTuple):
    """A code that was given to a thing before: the uid of the thing as it stands today, and of the record that says so."""

    thing_uid: str
    noted: str


def old_codes(session: Session, codes: Collection[str]) -> dict[str, OldCode]:
    """What these codes were given to before, by code; the one noted last where several had it. Others are absent."""
    query = select(Former.code, Former.of_uid, Former.uid).order_by(Former.id)
    found = {code: OldCode(of_uid, uid) for code, of_uid, uid in rows(session, query, Former.code, codes)}
    return {code: OldCode(stands(session, old.thing_uid), old.noted) for code, old in found.items()}


def stands(session: Session, uid: str) -> str:
    """The uid of the row that stands for one today: itself, or that with which it was joined."""
    passed = {uid}
    query = select(Former.of_uid).order_by(Former.id.desc()).limit(1)
    while True:
        after = session.execute(query.where(Former.was_uid == uid)).scalar()
        if after is None or after in passed:
            return uid
        uid = after
        passed.add(uid)


def printed_since(session: Session, uid: str) -> set[str]:
    """Every code of which a tag was printed after a record was made."""
    return {code for (held,) in rows(session, select(TagRun.codes).where(TagRun.uid > uid)) for code in held}
