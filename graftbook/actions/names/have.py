"""Whether a cultivar is here already, under its name or one like it, and where."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import ClassVar

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list
from graftbook.actions.names import lineages, where_alive
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.names.where_alive import CultivarHomes
from graftbook.book.balances import Balance
from graftbook.errors import UsageProblem
from graftbook.lineage.epithets import bare

ALIKE_FROM = 82


@dataclass(frozen=True)
class HaveRow:
    """One cultivar that is here, or might be: `match` says how its name stands to the one asked for (same, like it, might be).
    Counts are of living trees, living grafts, and sticks in store that still count."""

    cultivar: str
    match: str
    trees: int
    grafts: int
    sticks: int
    codes: str
    shown: ClassVar = ("cultivar", "match", "trees", "grafts", "sticks", "codes")


def have(desk: Desk, text: str) -> Report:
    """Every cultivar here whose name is this one or like it. Raises UsageProblem for an empty name."""
    if not naming.key(text):
        raise UsageProblem("a cultivar name", repr(text))
    with desk.book.read() as session:
        homes, like = _homes_like(session, text, desk.today)
        rows, notes = _rows(homes, like), _past_keeping(homes)
    if not rows and not notes:
        notes = (f"'{bare(text)}' is not in this book, nor a name like it.",)
    asked = {"as_of": desk.today, "asked": bare(text)}
    return Report(HaveRow, rows, notes, asked, title=f"Is '{bare(text)}' here already?")


def rows_like(session: Session, text: str, on: date) -> tuple[HaveRow, ...]:
    """What is here under a name, under names like it, and what might be it."""
    return _rows(*_homes_like(session, text, on))


Like = Callable[[str], str | None]
"""How a name stands to the one asked for: `same`, `like it`, or neither."""


def _homes_like(session: Session, text: str, on: date) -> tuple[CultivarHomes, Like]:
    """Where everything lives that is of such a name, or may be."""
    wood = lineages.of_wood(session, on)
    asked = naming.key(wood.names.one(bare(text)))

    @cache
    def like(name: str) -> str | None:
        key = naming.key(name)
        return "same" if key == asked else "like it" if _alike(key, asked) else None

    few = lineages.narrowed(session, wood, lambda identity: any(map(like, identity.names)), on)
    homes = where_alive.living_homes(session, few)
    homes.add_wood(session)
    return homes, like


def _rows(homes: CultivarHomes, like: Like) -> tuple[HaveRow, ...]:
    found: dict[tuple[str, str], set[int]] = {}
    sticks: dict[int, Balance] = {}
    for home in homes.of.values():
        sticks |= home.sticks
        for thing in (*home.living, *home.sticks):
            identity = homes.book.identity(thing)
            for name in filter(like, identity.names):
                how = like(name) if identity.certain else "might be" if like(name) == "same" else "like it, might be"
                found.setdefault((name, how or ""), set()).add(thing)
    rows = [_row(homes.book, name, how, things, sticks) for (name, how), things in sorted(found.items())]
    return tuple(sorted(rows, key=lambda row: (row.match != "same", row.match, row.cultivar)))


def _past_keeping(homes: CultivarHomes) -> tuple[str, ...]:
    """A sentence on wood in store of such a name that is past keeping, and so is in no row."""
    found = [
        f"'{home.cultivar}' {code_list(tuple(homes.book.code(thing) for thing in sorted(home.spent)), 5)}"
        for home in sorted(homes.of.values(), key=lambda home: naming.key(home.cultivar))
        if home.spent
    ]
    return (f"Wood past keeping is not counted: {'; '.join(found)}.",) if found else ()


def _alike(name: str, asked: str) -> bool:
    from rapidfuzz import fuzz

    def digits(text: str) -> str:
        return "".join(sign for sign in text if sign.isdigit())

    return digits(name) == digits(asked) and fuzz.ratio(name, asked) >= ALIKE_FROM


def _row(book: Lineage, name: str, how: str, things: set[int], left: dict[int, Balance]) -> HaveRow:
    bundles = [thing for thing in things if thing in left]
    trees = sum(thing < book.threads.plants for thing in things)
    grafts, sticks = len(things) - trees - len(bundles), sum(left[thing].left for thing in bundles)
    return HaveRow(name, how, trees, grafts, sticks, code_list(tuple(book.code(thing) for thing in sorted(things)), 5))


def already(rows: Sequence[HaveRow]) -> tuple[str, ...]:
    """The same as sentences, for when wood comes in or is asked for."""
    return tuple(
        f"You have '{row.cultivar}' already{'' if row.match == 'same' else f' ({row.match})'}: {row.codes}."
        for row in rows[:3]
    )
