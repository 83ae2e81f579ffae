"""Rootstocks that are multiplied as one clone, or sold under one name as seedlings of one kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import indexed, nearest, squeezed, typed


@dataclass(frozen=True)
class CloneRow:
    """What one source says of a rootstock. Size is in per cent of a full-size tree unless the words say of what."""

    clone: str
    taxon: str
    aliases: tuple[str, ...]
    size_pct: str
    size_class: str
    hardiness: str
    note: str
    clean_wood: str
    basis: str
    source: str


@dataclass(frozen=True)
class Clone:
    """A rootstock: its name, its taxon, its other names, and every row there is on it.

    `needs_clean_wood`: a virus the scion carries without showing it can kill this stock or the tree on it, so untested
    wood is a risk here.
    """

    key: str
    taxon: str
    aliases: tuple[str, ...]
    needs_clean_wood: bool
    rows: tuple[CloneRow, ...]

    @property
    def size(self) -> str:
        """The first size any source gives, in words; '' when none does."""
        return next((row.size_class for row in self.rows if row.size_class), "")


@lru_cache(maxsize=1)
def _by_key() -> Mapping[str, Clone]:
    gathered: dict[str, list[CloneRow]] = {}
    for row in tables.rows("clones"):
        gathered.setdefault(row["clone"], []).append(typed(CloneRow, row))
    return {key: _clone(key, rows) for key, rows in gathered.items()}


def _clone(key: str, rows: list[CloneRow]) -> Clone:
    aliases = tuple(dict.fromkeys(alias for row in rows for alias in row.aliases))
    return Clone(key, rows[0].taxon, aliases, any(row.clean_wood == "yes" for row in rows), tuple(rows))


@lru_cache(maxsize=1)
def _index() -> Mapping[str, str]:
    return indexed(((name, clone.key) for clone in all() for name in (clone.key, *clone.aliases)), squeezed)


@lru_cache(maxsize=1)
def _spelled() -> Mapping[str, str]:
    return {name.casefold(): clone.key for clone in all() for name in (clone.key, *clone.aliases)}


def all() -> tuple[Clone, ...]:
    """Every rootstock, in file order."""
    return tuple(_by_key().values())


def find(text: str) -> Clone | None:
    """The rootstock known by this name or alias, blanks, dots and case aside; None when there is none."""
    found = _index().get(squeezed(text))
    return None if found is None else _by_key()[found]


def suggest(text: str) -> tuple[str, ...]:
    """Up to three rootstocks whose names are spelled most like this."""
    return nearest(text, {**_spelled(), **_index()})
