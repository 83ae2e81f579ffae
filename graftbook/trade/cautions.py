"""What can hurt people, plants or neighbours, each said once where it matters."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import typed


@dataclass(frozen=True)
class Caution:
    """A caution in one or two plain sentences, and the verbs it is shown at."""

    key: str
    when: tuple[str, ...]
    words: str
    basis: str
    source: str


def from_row(row: Mapping[str, str]) -> Caution:
    """A caution from a checked row of the table, one of the trade's or a person's own."""
    return typed(Caution, row)


@lru_cache(maxsize=1)
def _by_key() -> Mapping[str, Caution]:
    return {row["key"]: from_row(row) for row in tables.rows("cautions")}


def get(key: str) -> Caution | None:
    """The caution under a key; None when there is none."""
    return _by_key().get(key)


def words(keys: Iterable[str]) -> tuple[str, ...]:
    """The sentences of the cautions under some keys, in that order; keys there are not are passed over."""
    return tuple(found.words for found in map(get, keys) if found is not None)
