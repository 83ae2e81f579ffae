"""What a word half typed could become: codes of the book, methods, media, what is seen and what is done.

A shell asks this at the press of a key, so little is read, and what the book cannot say is left out.
"""

from __future__ import annotations

from graftbook.actions.desk.desk import Desk
from graftbook.book import find, tag_queries
from graftbook.book.grafts import CARE_WORDS, STATES

MOST_CODES = 60


def codes(desk: Desk, start: str) -> list[str]:
    """Codes of plants, wood and grafts that begin so, the newest of each, for the last of several codes typed: after `G1,G` comes
    `G1,G2`, after `G1-G` the end of a run."""
    at = max(start.rfind(sign) for sign in ",-. ") + 1
    with desk.book.read() as session:
        return [start[:at] + code for code in find.beginning(session, start[at:], MOST_CODES)]


def methods(desk: Desk | None) -> list[str]:
    """Methods of grafting and budding by their names, the grower's own with them where there is a book."""
    from graftbook.trade import methods as trade

    own: list[str] = []
    if desk is not None:
        with desk.book.read() as session:
            own = [row["method"] for row in find.own_rows(session, "methods")]
    return list(dict.fromkeys((*own, *(method.method for method in trade.all()))))


def media(desk: Desk | None) -> list[str]:
    """What tags are printed on, by name, the grower's own with it where there is a book."""
    from labels import media as known

    own: list[str] = []
    if desk is not None:
        with desk.book.read() as session:
            own = [row.fields["name"] for row in tag_queries.own_rows(session, "media")]
    return list(dict.fromkeys((*own, *(medium.name for medium in known.all()))))


def states() -> tuple[str, ...]:
    """What can be seen at a look."""
    return STATES


def cares() -> tuple[str, ...]:
    """What can be done in a round."""
    return CARE_WORDS
