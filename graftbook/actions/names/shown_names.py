"""What a thing is called wherever it is shown: one answer for tags, lists, sheets and stories.

The name is what the words on the clone come to: a cultivar under its preferred name, `A or B`, or unknown with its
nickname; else the cultivar recorded with the thing; else its kind in everyday words. Where nothing was ever named or mixed,
and no wood recorded as another thing than what it was cut from, the lineage is not read; of a few things only their clones are.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any, TypeVar

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.names import lineages
from graftbook.actions.names.lineages import Lineage
from graftbook.book.grafts import Graft
from graftbook.book.lineage_queries import any_doubt, recorded_as
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.lineage.naming import Identity
from graftbook.trade import taxa

# More things than these, and the whole book is read at once.
FEW = 1_000

# So many candidates are named on the smallest tag; more are counted there, and the book names them.
MOST_SHORT = 3

_DOUBT = frozenset({"doubtful", "disputed"})


@dataclass(frozen=True)
class Shown:
    """What one thing is. `cultivar` is the name of it or its doubt in words, None where nobody ever gave a name; `names` the
    candidates; `sure` how sure (None: nobody said); `recorded` the cultivar recorded with the thing itself where that is
    another name; `taxon` its kind."""

    cultivar: str | None = None
    names: tuple[str, ...] = ()
    nickname: str | None = None
    sure: str | None = None
    recorded: str | None = None
    taxon: str | None = None

    @property
    def kind(self) -> str | None:
        """The kind in everyday words, its Latin name where the tables have no other; None where it is not known."""
        return taxa.common_name(self.taxon)

    @property
    def name(self) -> str | None:
        """What it is called: the cultivar or its doubt, else the kind."""
        return self.cultivar or self.kind

    @property
    def single(self) -> str | None:
        """The one cultivar it is, None where it may be another."""
        return self.names[0] if len(self.names) == 1 and self.sure not in _DOUBT else None

    @property
    def written(self) -> str | None:
        """The same for a sentence, cultivars in single quotes: `'Quern Russet' or 'Tolm Beauty'`; None as `name`."""
        return " or ".join(f"'{name}'" for name in self.names) or self.name

    @property
    def with_sureness(self) -> str | None:
        """Written, with how sure it is where that is not the plain belief of what was recorded."""
        plain = self.sure in (None, "believed") or not self.names or (len(self.names) > 1 and self.sure == "doubtful")
        return self.written if plain else f"{self.written} ({self.sure})"

    def fact(self, typed: str | None = None) -> str | None:
        """The cultivar as a fact of the thing: what was typed or recorded beside it where that differs, and how sure; None
        where nobody gave a name."""
        if self.cultivar is None:
            return None
        said = f"recorded as: {self.recorded}" if self.recorded else f"typed: {typed}" if typed else None
        how = None if self.sure in (None, "believed") else self.sure
        beside = ", ".join(part for part in (how, said) if part)
        return f"{self.cultivar} ({beside})" if beside else self.cultivar

    @property
    def forms(self) -> tuple[str, ...]:
        """Ever shorter forms for a tag, a doubt always to be seen as one; empty where nothing is known."""
        if self.cultivar is None:
            found = taxa.get(self.taxon) if self.taxon is not None else None
            return tuple(
                dict.fromkeys(text for text in (self.kind, found.short if found is not None else None) if text)
            )
        if not self.names:
            plain = f"unknown {self.kind}" if self.kind else "unknown"
            return (self.cultivar, f'"{self.nickname}"') if self.nickname else (plain, "unknown")
        if len(self.names) == 1:
            return (self.names[0] if self.sure not in _DOUBT else f"{self.names[0]}?",)
        return (self.cultivar, *shorter(self.names))


def shorter(names: tuple[str, ...]) -> tuple[str, ...]:
    """Shorter forms of several candidates: `Quern Russet/Tolm Beauty?`; then by the first words that tell them apart, with
    blanks to break at, `Quern / Tolm?`; where there are none or too many of them, `one of 4?`."""
    words = next((words for words in zip(*(name.split() for name in names), strict=False) if _apart(words)), None)
    short = f"{' / '.join(words)}?" if words is not None else None
    last = f"one of {len(names)}?" if words is None or len(names) > MOST_SHORT else None
    return tuple(dict.fromkeys(form for form in (f"{'/'.join(names)}?", short, last) if form))


def _apart(words: tuple[str, ...]) -> bool:
    keys = {naming.key(word) for word in words}
    return len(keys) == len(words) and "" not in keys


T = TypeVar("T")

Stored = tuple[str | None, str | None]


class ShownNames:
    """The names of things by their ids. `plants` and `bundles` hold cultivar and kind as recorded, `book` the lineage of those
    that were asked about, None where nothing was ever named or mixed."""

    def __init__(self, plants: dict[int, Stored], bundles: dict[int, Stored], book: Lineage | None) -> None:
        self._plants, self.bundles, self.book = plants, bundles, book
        self._made: dict[tuple[int, Stored], Shown] = {}

    def plant(self, plant_id: int | None) -> Shown:
        """A plant's name; that of nothing known for None."""
        return self._of(_at(self.book.plant, plant_id) if self.book is not None else None, _at(self._plants, plant_id))

    def bundle(self, bundle_id: int | None) -> Shown:
        """A bundle's name."""
        thing = _at(self.book.bundle, bundle_id) if self.book is not None else None
        return self._of(thing, _at(self.bundles, bundle_id))

    def graft(self, graft_id: int | None, bundle_id: int | None) -> Shown:
        """A graft's name, by its own id and that of its wood (None: not recorded)."""
        thing = self.book.of_graft(graft_id, bundle_id) if self.book is not None else None
        return self._of(thing, _at(self.bundles, bundle_id))

    def of(self, row: Any) -> Shown:
        """The name of a plant, bundle or graft of the book; of None, that of nothing known."""
        if isinstance(row, Graft):
            return self.graft(row.id, row.bundle_id)
        if isinstance(row, Bundle):
            return self.bundle(row.id)
        return self.plant(row.id) if row is not None else Shown()

    def thing(self, number: int) -> Shown:
        """The name of a thing by its number in the lineage, a stick among them."""
        return self._of(number, self._stored_by_number.get(number))

    @cached_property
    def _stored_by_number(self) -> dict[int, Stored]:
        assert self.book is not None
        found = {self.book.plant[number]: stored for number, stored in self._plants.items()}
        found.update({self.book.bundle[number]: stored for number, stored in self.bundles.items()})
        for row in self.book.columns.grafts:
            if row[2] is not None:
                found[self.book.graft[row[0]]] = self.bundles[row[2]]
        return found

    def _of(self, thing: int | None, stored: Stored | None) -> Shown:
        stored = stored if stored is not None else (None, None)
        identity = self.book.identity(thing) if self.book is not None and thing is not None else None
        key = (id(identity), stored)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = settled(identity, *stored)
        return found


def _at(held: Mapping[int, T], number: int | None) -> T | None:
    return held.get(number) if number is not None else None


def settled(identity: Identity | None, cultivar: str | None, taxon: str | None) -> Shown:
    """What a thing is by what its clone came to, else by what it was recorded as."""
    label = lineages.label(identity) if identity is not None else None
    if identity is None or label is None:
        named = (cultivar,) if cultivar is not None else ()
        return Shown(cultivar, named, None, "believed" if named else None, None, taxon)
    same = cultivar is None or naming.key(cultivar) in {naming.key(text) for text in (label, *identity.names)}
    return Shown(
        label, identity.names, identity.nickname, lineages.how_sure(identity), None if same else cultivar, taxon
    )  # fmt: skip


def of(session: Session, rows: Iterable[Any], day: date | None = None) -> ShownNames:
    """The names of some plants, bundles and grafts, None among them passed over, by the words said up to a day (None: all of
    them). Raises Refused for threads in a circle."""
    held = [row for row in rows if row is not None]
    plants = [row.id for row in held if isinstance(row, Plant) and row.id is not None]
    bundles = [row.id for row in held if isinstance(row, Bundle) and row.id is not None]
    grafts = {row.id: row.bundle_id for row in held if isinstance(row, Graft) and row.id is not None}
    return of_ids(session, day, plants=plants, bundles=bundles, grafts=grafts)


def of_ids(
    session: Session, day: date | None = None, *, plants: Collection[int] = (), bundles: Collection[int] = (),
    grafts: Mapping[int, int | None] = MappingProxyType({}),
) -> ShownNames:  # fmt: skip
    """The same by ids; grafts with the ids of their wood."""
    if len(plants) + len(bundles) + len(grafts) > FEW:
        return every(session, day, plants=bool(plants))
    wood = {*bundles, *(number for number in grafts.values() if number is not None)}
    book = None
    if any_doubt(session):
        book = lineages.around(session, plants=plants, bundles=wood, grafts=grafts, as_of=day)
    return ShownNames(recorded_as(session, Plant, plants), recorded_as(session, Bundle, wood), book)


def every(session: Session, day: date | None = None, plants: bool = True) -> ShownNames:
    """The names of all the book has, by the words said up to a day (None: all); without `plants`, those of wood and grafts
    alone where nothing was named or mixed."""
    book = lineages.of_wood(session, day) if any_doubt(session) else None
    return ShownNames(recorded_as(session, Plant) if plants else {}, recorded_as(session, Bundle), book)


def of_book(book: Lineage) -> ShownNames:
    """The names of all in a lineage that is read already."""
    plants = {row[0]: (row[3], row[8]) for row in book.columns.plants}
    return ShownNames(plants, {row[0]: (row[2], row[8]) for row in book.columns.bundles}, book)


def surely(session: Session, bundles: Iterable[Bundle]) -> dict[int, str | None]:
    """The one cultivar that each of these bundles is, by its id; None where it may be another, or nobody ever named it."""
    held = list(bundles)
    names = of(session, held)
    return {bundle.id: names.of(bundle).single for bundle in held if bundle.id is not None}


def plants_called(session: Session, cultivar: str) -> frozenset[int] | None:
    """The ids of the plants that are a cultivar or may be; None where nothing was ever named or mixed, so that the recorded
    cultivar is the word."""
    if not any_doubt(session):
        return None
    names = every(session)
    assert names.book is not None
    asked = naming.key(names.book.names.one(cultivar))
    held = (row[0] for row in names.book.columns.plants)
    return frozenset(one for one in held if asked in {naming.key(name) for name in names.plant(one).names})


def graft_labels(session: Session, as_of: date) -> tuple[dict[int, str | None], dict[int, str | None]]:
    """What grafts are or might be, by their ids, where that is another thing than their wood; and what all wood is, by the id
    of the bundle. Doubt is a label of its own."""
    names = every(session, as_of, plants=False)
    own = names.book.columns.grafts if names.book is not None else ()
    wood = {number: names.bundle(number).cultivar for number in names.bundles}
    return {row[0]: names.graft(row[0], row[2]).cultivar for row in own}, wood
