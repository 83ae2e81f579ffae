"""Cultivars that are another under a second name, a sport of it, or one of a group that goes by one name: what is recorded
of the one reaches the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import plain, typed


@dataclass(frozen=True)
class CultivarRow:
    """`cultivar` is a synonym or a sport of the cultivar `of` in the same species, or a member of the group `of`; `how` says
    which."""

    taxon: str
    cultivar: str
    of: str
    how: str
    basis: str
    source: str


@lru_cache(maxsize=1)
def _of() -> Mapping[tuple[str, str], tuple[str, ...]]:
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in (typed(CultivarRow, row) for row in tables.rows("cultivars")):
        species = row.taxon.partition(" [")[0]
        key = species, plain(row.cultivar)
        found[key] = (*found.get(key, ()), plain(row.of))
        if row.how == "synonym":
            back = species, plain(row.of)
            found[back] = (*found.get(back, ()), plain(row.cultivar))
    return found


def reaching(species: str, cultivar: str) -> tuple[str, ...]:
    """The plain names under which rows may speak of a cultivar: its own first, then its synonyms and what it is a sport of.

    Synonyms are read both ways, sports and members of a group from the one to the other only. A sport may be taken as its
    parent in a union: common practice. Without a cultivar the one name is ''.
    """
    known, names = _of(), [plain(cultivar)]
    for name in names:
        names += [other for other in known.get((species, name), ()) if other not in names]
    return tuple(names)
