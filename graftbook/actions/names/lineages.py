"""The threads of a book fetched at once, with every word on what things are, and what all of it comes to."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.outcome.alive import Alive, alive_at, of_grafts
from graftbook.book import asking, clone_queries, lineage_queries
from graftbook.book.lineage import BETWEEN, Naming
from graftbook.book.lineage_queries import Columns, Gone
from graftbook.lineage.epithets import quoted
from graftbook.lineage.identity import Identities, identities
from graftbook.lineage.naming import Identity, Statement
from graftbook.lineage.threads import NONE, Mix, Threads


@contextmanager
def all_staying() -> Iterator[None]:
    """Build very many small things that all stay: memory is not searched for litter meanwhile, which costs a third."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


class Names:
    """One spelling for each cultivar: the preferred name where a synonym says so, else the first spelling met."""

    def __init__(self, synonyms: Iterable[Any] = (), met: Iterable[str] = ()) -> None:
        self._spelled: dict[str, str] = {}
        for name in met:
            self._spelled.setdefault(naming.key(name), name)
        self._preferred: dict[str, str] = {}
        for row in synonyms:
            self._preferred[naming.key(row.name)] = row.preferred
        self._seen: dict[str, str] = {}

    def one(self, name: str) -> str:
        """The spelling shown for a name."""
        found = self._seen.get(name)
        if found is None:
            found = self._seen[name] = self._find(name)
        return found

    def _find(self, name: str) -> str:
        passed: set[str] = set()
        while (at := naming.key(name)) in self._preferred and at not in passed:
            passed.add(at)
            name = self._preferred[at]
        return self._spelled.setdefault(naming.key(name), name)

    def several(self, candidates: str | None) -> tuple[str, ...]:
        """The candidates of a naming as shown, each once."""
        if candidates is None:
            return ()
        return tuple(dict.fromkeys(self.one(name) for name in candidates.split(BETWEEN)))


@dataclass(frozen=True)
class Said:
    """One word on a thing, as people read it: recorded with the thing itself (`naming` None) or a naming."""

    thing: int
    on: date | None
    names: tuple[str, ...]
    naming: Naming | None = None

    @property
    def sure(self) -> str:
        """How sure it was said; what was recorded as one name is believed, as several doubtful."""
        return self.naming.sure if self.naming is not None else "believed" if len(self.names) < 2 else "doubtful"


@dataclass(frozen=True)
class Lineage:
    """A book's threads, what was said, and what each thing is. `plant`, `bundle` and `graft` give the number of a thing by
    its id in the book; `alive` is how all of it stood on a day, None where only names were asked for."""

    threads: Threads
    columns: Columns
    plant: dict[int, int]
    bundle: dict[int, int]
    graft: dict[int, int]
    said: tuple[Said, ...]
    found: Identities
    names: Names
    gone: tuple[Gone, ...]
    alive: Alive | None

    @property
    def held(self) -> Alive:
        """How all of it stood on the day asked about. Raises ValueError where only names were asked for."""
        if self.alive is None:
            raise ValueError("this lineage does not know what is alive: fetch it for a day")
        return self.alive

    def identity(self, thing: int) -> Identity:
        """What a thing is or might be."""
        return self.found.of[thing]

    def of_graft(self, graft_id: int | None, bundle_id: int | None) -> int | None:
        """The number of a graft, or of its wood where it was left out for being what its wood is; None where it is neither."""
        thing = self.graft.get(graft_id) if graft_id is not None else None
        return thing if thing is not None else self.bundle.get(bundle_id) if bundle_id is not None else None

    def code(self, thing: int) -> str:
        """The code of a thing."""
        return self.threads.codes[thing]

    def given(self) -> Iterator[tuple[Gone, str, int]]:
        """Every gift of sticks by day, with the code and the number of what was given: a stick by its number, else the bundle."""
        for gift in self.gone:
            if gift.kind == "given":
                bundle = self.bundle[gift.bundle_id]
                code = self.code(bundle) + (f"/{gift.stick}" if gift.stick is not None else "")
                yield gift, code, self.threads.number.get(code, bundle)


def fetch(session: Session, as_of: date | None = None, alive_on: date | None = None) -> Lineage:
    """The whole book's lineage by the words said up to a day (None: all of them), with how everything stood on a day (None: it
    is not asked). Raises Refused for threads in a circle."""
    alive = alive_at(session, alive_on) if alive_on is not None else None
    return _settled(session, lineage_queries.columns(session), as_of, alive)


def of_wood(session: Session, as_of: date | None = None) -> Lineage:
    """What everything in the book is by the words said up to a day (None: all of them), without what stands on what and which
    died. Grafts that are what their wood is and plants that nothing was said of are left out. Raises Refused as `fetch`."""
    return _settled(session, clone_queries.speaking(session), as_of)


def around(
    session: Session, *, plants: Iterable[int] = (), bundles: Iterable[int] = (), grafts: Iterable[int] = (),
    as_of: date | None = None, before: str | None = None,
) -> Lineage:  # fmt: skip
    """The clones of a few things by their ids, for what they are: neither what grafts stand on nor which died is known.

    `as_of` as in `fetch`; `before` leaves out namings and synonyms written down after a record of that uid (None: none).
    """
    return _settled(session, clone_queries.around(session, plants, bundles, grafts), as_of, None, before)


def narrowed(session: Session, wood: Lineage, wanted: Callable[[Identity], bool], alive_on: date) -> Lineage:
    """What `of_wood` gave, held to what is wanted, with all grafts of it and how these stood on a day; what grafts stand on is
    not known."""
    plant, bundle, graft = (
        {number: thing for number, thing in things.items() if wanted(wood.identity(thing))}
        for things in (wood.plant, wood.bundle, wood.graft)
    )
    rows = [row for row in clone_queries.grafts_of(session, bundle) if row[0] not in wood.graft]
    graft |= {row[0]: thing for thing, row in enumerate(rows, len(wood.threads.codes))}
    cut_from = [bundle[row[2]] for row in rows]
    old, nothing = wood.threads, [NONE] * len(rows)
    threads = Threads(
        [*old.codes, *(row[1] for row in rows)], [*old.parent, *cut_from], [*old.host, *nothing],
        [*old.day, *(row[6] for row in rows)], [*old.end, *[None for _ in rows]], old.plants, old.mixes,
    )  # fmt: skip
    found = replace(wood.found, of=[*wood.found.of, *map(wood.identity, cut_from)])
    held = replace(wood.columns, plants=[row for row in wood.columns.plants if row[0] in plant])
    alive = of_grafts(session, alive_on, graft, plant)
    return replace(
        wood, threads=threads, columns=held, plant=plant, bundle=bundle, graft=graft, found=found, alive=alive
    )


def _settled(
    session: Session, held: Columns, as_of: date | None, alive: Alive | None = None, before: str | None = None
) -> Lineage:
    there = {row[0] for row in held.bundles}
    gone = tuple(
        one
        for one in lineage_queries.gone(session)
        if one.bundle_id in there and (one.into_bundle_id is None or one.into_bundle_id in there)
    )
    things = ({row[0] for row in held.plants}, there, {row[0] for row in held.grafts})
    spoken = [row for row in asking.things(session, Naming) if _counts(row, as_of, before) and _about(row, *things)]
    mixed = any(one.into_bundle_id is not None for one in gone)
    making = _Making(held, gone, spoken, lineage_queries.came_in(session) if mixed else {}, alive)
    spellings, synonyms = lineage_queries.spellings(session), lineage_queries.synonyms(session)
    names = Names((row for row in synonyms if before is None or row.uid <= before), spellings)
    known = {naming.key(name) for name in spellings}
    said = (*_recorded(held, making, names, known), *_named(spoken, making, names))
    statements = [
        Statement(one.thing, one.on, one.names, one.sure, one.naming.nickname if one.naming is not None else None, ref)
        for ref, one in enumerate(said)
    ]
    threads = making.threads()
    return Lineage(
        threads, held, making.plant, making.bundle, making.graft, said, identities(threads, statements), names, gone, alive
    )  # fmt: skip


def _counts(row: Naming, as_of: date | None, before: str | None) -> bool:
    return (as_of is None or row.on <= as_of) and (before is None or row.uid <= before)


def _about(row: Naming, plants: set[int], bundles: set[int], grafts: set[int]) -> bool:
    return row.plant_id in plants or row.bundle_id in bundles or row.graft_id in grafts


class _Making:
    """Numbers for every thing, plants first, then bundles, sticks that are named somewhere, and grafts."""

    def __init__(
        self,
        held: Columns,
        gone: Sequence[Gone],
        spoken: Sequence[Naming],
        came: dict[int, int],
        alive: Alive | None,
    ) -> None:
        self.held, self.gone, self.came, self.alive = held, gone, came, alive
        self.plant = {row[0]: number for number, row in enumerate(held.plants)}
        first = len(self.plant)
        self.bundle = {row[0]: number for number, row in enumerate(held.bundles, first)}
        self.mixed: dict[int, dict[int, int]] = {}
        self.mixed_on: dict[int, date] = {}
        for one in gone:
            if one.into_bundle_id is not None:
                parts = self.mixed.setdefault(one.into_bundle_id, {})
                parts[one.bundle_id] = parts.get(one.bundle_id, 0) + one.sticks
                self.mixed_on.setdefault(one.into_bundle_id, one.on)
        self.stick = self._sticks(first + len(self.bundle), spoken)
        start = first + len(self.bundle) + len(self.stick)
        self.graft = {row[0]: number for number, row in enumerate(held.grafts, start)}

    def _sticks(self, start: int, spoken: Sequence[Naming]) -> dict[tuple[int, int], int]:
        wanted = {(row[2], row[3]): None for row in self.held.grafts if row[3] is not None and row[2] is not None}
        wanted.update({(row.bundle_id, row.stick): None for row in spoken if row.stick is not None})
        wanted.update({(one.bundle_id, one.stick): None for one in self.gone if one.stick is not None})
        for bundle_id in self.mixed:
            wanted.update({(bundle_id, stick): None for stick in range(1, self.came.get(bundle_id, 0) + 1)})
        return {pair: number for number, pair in enumerate(sorted(wanted), start)}

    def threads(self) -> Threads:
        """The arrays."""
        bundle_code = {row[0]: row[1] for row in self.held.bundles}
        days = {row[0]: self.mixed_on.get(row[0]) or row[5] or row[6] for row in self.held.bundles}
        codes = [row[1] for row in self.held.plants] + [row[1] for row in self.held.bundles]
        codes += [f"{bundle_code[bundle_id]}/{stick}" for bundle_id, stick in self.stick]
        codes += [row[1] for row in self.held.grafts]
        parent = [NONE] * len(self.plant) + [self._source(row) for row in self.held.bundles]
        parent += [NONE if bundle_id in self.mixed else self.bundle[bundle_id] for bundle_id, _ in self.stick]
        parent += [self._wood(row) for row in self.held.grafts]
        host = [NONE] * (len(codes) - len(self.graft)) + [self._host(row) for row in self.held.grafts]
        day = [row[4] for row in self.held.plants] + [days[row[0]] for row in self.held.bundles]
        day += [days[bundle_id] for bundle_id, _ in self.stick] + [row[6] for row in self.held.grafts]
        end: list[date | None] = [row[5] for row in self.held.plants]
        end += [None] * (len(self.bundle) + len(self.stick)) + [self._end(row[0]) for row in self.held.grafts]
        return Threads(codes, parent, host, day, end, len(self.plant), tuple(self._mixes()))

    def _source(self, row: tuple) -> int:
        if row[0] in self.mixed:
            return NONE
        return self.plant[row[3]] if row[3] is not None else self.graft[row[4]] if row[4] is not None else NONE

    def _wood(self, row: tuple) -> int:
        bundle_id, stick = row[2], row[3]
        if bundle_id is None or (stick is None and bundle_id in self.mixed):
            return NONE
        return self.bundle[bundle_id] if stick is None else self.stick[bundle_id, stick]

    def _host(self, row: tuple) -> int:
        return self.plant.get(row[4], NONE) if row[4] is not None else self.graft.get(row[5], NONE)

    def _end(self, graft_id: int) -> date | None:
        end = self.alive.end(graft_id) if self.alive is not None else None
        return end.on if end is not None and end.dead else None

    def _mixes(self) -> Iterable[Mix]:
        for bundle_id, parts in self.mixed.items():
            counts = tuple(parts.values())
            enough = sum(counts) >= self.came.get(bundle_id, 0)
            sticks = tuple(self.stick[bundle_id, stick] for stick in range(1, self.came.get(bundle_id, 0) + 1))
            loose = tuple(self.graft[row[0]] for row in self.held.grafts if row[2] == bundle_id and row[3] is None)
            yield Mix(
                self.bundle[bundle_id], self.mixed_on[bundle_id], tuple(self.bundle[part] for part in parts),
                counts if enough else None, sticks, loose, tuple(self.graft[row[0]] for row in self.held.grafts
                if row[2] == bundle_id and row[3] is None and row[8]),
            )  # fmt: skip


def _recorded(held: Columns, making: _Making, names: Names, known: set[str]) -> Iterable[Said]:
    """What plants and bundles were recorded as; a bundle that only repeats what its source is says nothing of its own."""
    own = {
        ("P", row[0]): row[3] if row[3] is not None else row[9] if row[2] == "stock" else None for row in held.plants
    }
    of_bundle = {row[0]: row[2] for row in held.bundles}
    own.update({("G", row[0]): of_bundle.get(row[2]) for row in held.grafts if row[2] is not None})
    for row in held.plants:
        if row[3] is not None:
            yield Said(making.plant[row[0]], None, _candidates(row[3], known, names))
    for row in held.bundles:
        source = (
            own.get(("P", row[3])) if row[3] is not None else own.get(("G", row[4])) if row[4] is not None else None
        )
        if row[2] is not None and (source is None or naming.key(source) != naming.key(row[2])):
            yield Said(making.bundle[row[0]], None, _candidates(row[2], known, names))


def _candidates(cultivar: str, known: set[str], names: Names) -> tuple[str, ...]:
    """A recorded cultivar; one that was written "A or B" of cultivars the book has is both, in doubt."""
    if " or " in cultivar:
        parts = cultivar.split(" or ")
        if len(parts) > 1 and all(naming.key(part) in known for part in parts):
            return tuple(dict.fromkeys(names.one(part.strip()) for part in parts))
    return (names.one(cultivar),)


def _named(spoken: Sequence[Naming], making: _Making, names: Names) -> Iterable[Said]:
    for row in spoken:
        if row.stick is not None and row.bundle_id is not None:
            thing = making.stick[row.bundle_id, row.stick]
        elif row.bundle_id is not None:
            thing = making.bundle[row.bundle_id]
        elif row.plant_id is not None:
            thing = making.plant[row.plant_id]
        else:
            thing = making.graft[row.graft_id]
        yield Said(thing, row.on, names.several(row.candidates), row)


def label(identity: Identity) -> str | None:
    """What a thing is, for a row: `Quern Russet`, `Quern Russet or Tolm Beauty`, `unknown ("old yard")`; None where
    nobody said anything."""
    if identity.names:
        return " or ".join(identity.names)
    if identity.sure is None:
        return None
    return f'unknown ("{identity.nickname}")' if identity.nickname else "unknown"


def written(identity: Identity) -> str:
    """The same for a sentence, names in single quotes as the trade writes them."""
    if identity.names:
        return " or ".join(quoted(name) for name in identity.names)
    return label(identity) or "not named"


def how_sure(identity: Identity) -> str | None:
    """How sure it is, in a few words; None where nobody said anything."""
    if identity.disputed:
        return "disputed"
    if identity.counted:
        return "by counting"
    return identity.sure
