"""Everything the book has by what it is, doubt in rows of its own; and every word ever said on one clone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count, filled
from graftbook.actions.names import cultivar_names, lineages
from graftbook.actions.names.lineages import Lineage, Said
from graftbook.book import lineage_queries
from graftbook.codes import read_one
from graftbook.lineage.epithets import epithet

ALL_WORDS = "every word on it"


@dataclass(frozen=True)
class NamedRow:
    """What things are said to be, and how many plants, bundles and grafts are that. `sure` is the word of the clones, the
    words of several together; `epithet` writes a single name as the trade does, None for doubt."""

    cultivar: str
    epithet: str | None
    sure: str
    trees: int
    bundles: int
    grafts: int
    codes: str
    shown: ClassVar = ("cultivar", "sure", "trees", "bundles", "grafts", "codes")


@dataclass(frozen=True)
class WordRow:
    """One word on a clone, or one thing that happened to it. `stands` says whether the word speaks today."""

    section: str
    on: date | None
    thing: str
    says: str
    sure: str | None
    stands: str
    why: str | None
    who: str | None
    shown: ClassVar = ("on", "thing", "says", "sure", "stands", "why", "who")


@dataclass(frozen=True)
class SynonymRow:
    """Two names held to be one."""

    name: str
    preferred: str
    on: date
    why: str | None
    who: str | None
    headings: ClassVar = {"preferred": "shown as"}


def list_names(desk: Desk, doubt: bool = False, as_of: str | None = None) -> Report:
    """What everything is said to be, one row for each name and each doubt; `doubt` leaves out what is one name."""
    day = desk.day(as_of, future=True) if as_of is not None else None
    with lineages.all_staying(), desk.book.read() as session:
        book = lineages.fetch(session, day, (day or desk.today) if doubt else None)
    groups: dict[str, list[int]] = {}
    for thing in (*book.plant.values(), *book.bundle.values(), *book.graft.values()):
        identity = book.identity(thing)
        said = lineages.label(identity)
        if said is not None and not (doubt and identity.certain):
            groups.setdefault(said, []).append(thing)
    rows = tuple(
        _row(book, said, things) for said, things in sorted(groups.items(), key=lambda item: item[0].casefold())
    )
    unsaid = sum(book.identity(thing).sure is None for thing in (*book.bundle.values(), *book.graft.values()))
    notes = (
        *(
            (f"{count(unsaid, 'bundle or graft', 'bundles and grafts')} carry no name at all.",)
            if unsaid and not doubt
            else ()
        ),
        *(_living(book, said, things) for said, things in groups.items() if doubt),
        *(("Every word on one of them: graftbook name show CODE.",) if rows else ()),
    )
    return Report(
        NamedRow, rows, notes, {"as_of": day or desk.today}, title="In doubt" if doubt else "What is in the book"
    )


def _living(book: Lineage, said: str, things: list[int]) -> str:
    """Of the grafts in one doubt, how many live and which are dead."""
    grafts = {number: graft_id for graft_id, number in book.graft.items()}
    ends = {thing: book.held.end(grafts[thing]) for thing in things if thing in grafts}
    dead = [book.code(thing) for thing, end in ends.items() if end is not None and end.dead]
    gone = sum(end is not None and not end.dead for end in ends.values())
    unknown = f", {gone} not found or gone home" if gone else ""
    which = f", {len(dead)} dead ({code_list(tuple(dead))})" if dead else ""
    return f"{said}: of {count(len(ends), 'graft')} {len(ends) - len(dead) - gone} living in doubt{which}{unknown}."


def _row(book: Lineage, said: str, things: list[int]) -> NamedRow:
    sure = dict.fromkeys(lineages.how_sure(book.identity(thing)) or "" for thing in things)
    first, last = len(book.plant), len(book.plant) + len(book.bundle)
    trees = sum(thing < first for thing in things)
    bundles = sum(first <= thing < last for thing in things)
    names = {book.identity(thing).names for thing in things}
    single = next(iter(names)) if len(names) == 1 else ()
    codes = code_list(tuple(book.code(thing) for thing in things), 4)
    return NamedRow(
        said, epithet(single[0]) if len(single) == 1 else None, ", ".join(sure), trees, bundles, len(things) - trees - bundles,
        codes,
    )  # fmt: skip


def show_names(desk: Desk, text: str) -> Report:
    """Every word on the clone of one thing, old ones too, the mixes it came through, and who received wood of it."""
    code = read_one(text)
    with desk.book.read() as session:
        book = lineages.fetch(session)
        thing = cultivar_names.number_meant(session, book, text)
    root = book.threads.root[thing]
    clone = [other for other, foot in enumerate(book.threads.root) if foot == root]
    rows = (*_mixed(book, root), *_words(book, clone, thing), *_gifts(book, clone))
    identity = book.identity(thing)
    title = f"{code} is {lineages.written(identity)}" + (f" ({lineages.how_sure(identity)})" if identity.sure else "")
    others = [book.code(other) for other in clone if other != thing]
    notes = [f"The same clone: {code_list(tuple(others), 10)}."] if others else []
    if identity.disputed:
        notes.append("Words of equal weight contradict each other. All stay until a newer word on the same thing.")
    facts = {"as_of": desk.today, "code": str(code), "cultivar": lineages.label(identity),
             "sure": lineages.how_sure(identity), "candidates": identity.names}  # fmt: skip
    return Report(WordRow, rows, tuple(notes), facts, title=title, group="section")


def _words(book: Lineage, clone: list[int], thing: int) -> Iterator[WordRow]:
    members = set(clone)
    mix = book.threads.mix_of.get(book.threads.root[thing])
    if mix is not None:
        members.add(mix.bundle)
    identity = book.identity(thing)
    for ref, said in enumerate(book.said):
        if said.thing in members:
            yield _word(book, ref, said, identity)


def _word(book: Lineage, ref: int, said: Said, identity) -> WordRow:
    standing = "speaks" if ref in identity.by else "against" if ref in identity.against else "earlier"
    if ref in identity.by and ref in identity.against:
        standing = "disputed"
    names, row, code = " or ".join(said.names) or "unknown", said.naming, book.code(said.thing)
    if row is None:
        return WordRow(ALL_WORDS, said.on, code, f"{names} (as recorded)", said.sure, standing, None, None)
    says = f"{names}{f' ({row.nickname})' if row.nickname else ''}{f' (typed: {row.typed})' if row.typed else ''}"
    return WordRow(ALL_WORDS, said.on, code, says, row.sure, standing, row.why, row.who)


def _mixed(book: Lineage, root: int) -> Iterator[WordRow]:
    mix = book.threads.mix_of.get(root)
    if mix is None:
        return
    for at, part in enumerate(mix.parts):
        sticks = count(mix.counts[at], "stick") if mix.counts is not None else "sticks, nobody knows how many"
        says = f"{sticks} of {lineages.written(book.identity(part))}"
        possible = book.found.sources.get(root, mix.parts)
        stands = "ruled out" if part not in possible else "it came from this" if len(possible) == 1 else "possible"
        yield WordRow(f"mixed into {book.code(mix.bundle)}", mix.on, book.code(part), says, None, stands, None, None)


def _gifts(book: Lineage, clone: list[int]) -> Iterator[WordRow]:
    members = set(clone)
    for gift, code, thing in book.given():
        if thing in members:
            says = f"{count(gift.sticks, 'stick')} to {gift.receiver or 'somebody'}"
            yield WordRow("who received wood of it", gift.on, code, says, None, "given", None, gift.receiver)


def list_synonyms(desk: Desk) -> Report:
    """Every pair of names held to be one."""
    with desk.book.read() as session:
        rows = tuple(filled(SynonymRow, row) for row in lineage_queries.synonyms(session))
    return Report(SynonymRow, rows, (), {"as_of": desk.today}, title="Names held to be one")
