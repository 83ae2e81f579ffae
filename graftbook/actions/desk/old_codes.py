"""Codes that stand on two tags: that of the thing that has the code, and the old one of a thing that got another by a merge."""

from __future__ import annotations

from collections.abc import Collection

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.book import former, merge_queries


def also_old(session: Session, codes: Collection[str]) -> dict[str, str]:
    """The code of the thing whose old tag bears each of these codes as well, by code, until a new tag was printed for it."""
    found = {}
    for code, old in former.old_codes(session, codes).items():
        now = merge_queries.codes(session, [old.thing_uid]).get(old.thing_uid)
        if now is not None and now != code and now not in former.printed_since(session, old.noted):
            found[code] = now
    return found


def doubts(desk: Desk, codes: Collection[str]) -> tuple[str, ...]:
    """A sentence for each of these codes, just typed, that another thing's old tag bears too."""
    with desk.book.read() as session:
        return tuple(
            f"The old tag of {now} says {code} as well: was {code} meant? If not, undo this and name {now}."
            for code, now in also_old(session, codes).items()
        )
