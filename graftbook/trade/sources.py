"""Where a published value comes from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import typed


@dataclass(frozen=True)
class Publication:
    """A publication. `year` and `address` are '' where they are not known, not where there are none. `read` says how it was
    read for these tables: in the original, in an excerpt or abstract, or second-hand, as others quote it."""

    key: str
    title: str
    publisher: str
    year: str
    address: str
    read: str = ""


@lru_cache(maxsize=1)
def _by_key() -> dict[str, Publication]:
    return {row["key"]: typed(Publication, row) for row in tables.rows("sources")}


def get(key: str) -> Publication | None:
    """The source under a key; None when there is none."""
    return _by_key().get(key)


def cite(key: str) -> str:
    """A source in one line: title, publisher, year where known, whether it is quoted second-hand; '' for a key that is none."""
    source = get(key)
    if source is None:
        return ""
    quoted = "as others quote it" if source.read == "second-hand" else ""
    return f"{source.title} ({', '.join(part for part in (source.publisher, source.year, quoted) if part)})"
