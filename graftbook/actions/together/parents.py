"""Rows that come need what they point to, and what something stands on cannot go."""

from __future__ import annotations

from collections.abc import Iterator

from graftbook.actions.together.differences import EXISTS, GONE, STANDS, Clash, Comparing
from graftbook.book.portable import Values, keys_of
from graftbook.book.tables import BY_NAME


def missing(books: Comparing) -> list[Clash]:
    """Rows that were taken away here while something new in the other book stands on them, each once."""
    found: dict[str, Clash] = {}
    there_uids = {name: books.here.portable.uids(BY_NAME[name]) for name in _targets()}
    decided = {clash.uid for clash in books.found.clashes if clash.field == EXISTS}
    for name, _uid, values in _coming(books):
        for target, parent in _parents(books, name, values):
            if (
                parent in there_uids[target]
                or parent in _coming_uids(books, target)
                or parent in found
                or parent in decided
            ):
                continue
            gone = [each.entry for each in books.here.of([parent]).get(parent, []) if each.operation == "delete"]
            last = [each.entry for each in books.there.of([_uid]).get(_uid, [])]
            found[parent] = Clash(
                target, parent, EXISTS, GONE, STANDS, gone[-1] if gone else None, last[-1] if last else None
            )
    return list(found.values())


def drop_orphans(books: Comparing) -> int:
    """Leave out what comes without what it stands on, since the person said that this stays away; how many rows."""
    dropped, again = 0, True
    here = {name: books.here.portable.uids(BY_NAME[name]) for name in _targets()}
    while again:
        again = False
        lost: dict[str, set[str]] = {}
        for name, uid, values in _coming(books):
            for target, parent in _parents(books, name, values):
                if parent not in here[target] and parent not in _coming_uids(books, target):
                    lost.setdefault(name, set()).add(uid)
        for name, uids in lost.items():
            books.found.comes[name] = [uid for uid in books.found.comes[name] if uid not in uids]
            dropped, again = dropped + len(uids), True
    return dropped


def keep_what_bears(books: Comparing) -> None:
    """What was taken away in the other book stays where something here, or something that comes, points to it."""
    again = bool(books.found.gone)
    while again:
        again = False
        for target, parent in [*_pointed_to(books)]:
            if parent in books.found.gone.get(target, ()):
                books.found.gone[target].remove(parent)
                books.found.kept.append((target, parent))
                again = True


def _pointed_to(books: Comparing) -> Iterator[tuple[str, str]]:
    targets = set(books.found.gone)
    for name, table in BY_NAME.items():
        if targets & set(keys_of(name).values()):
            gone = set(books.found.gone.get(name, ()))
            for uid, values in books.here.portable.rows(table):
                if uid not in gone:
                    yield from _parents(books, name, {**values, **books.found.takes.get((name, uid), {})})
    for name, _uid, values in _coming(books):
        yield from _parents(books, name, values)


def _targets() -> set[str]:
    return {target for name in BY_NAME for target in keys_of(name).values()}


def _coming(books: Comparing) -> Iterator[tuple[str, str, Values]]:
    for name, uids in list(books.found.comes.items()):
        if uids and keys_of(name):
            for uid, values in books.there.portable.rows(BY_NAME[name], uids):
                yield name, uid, values


def _coming_uids(books: Comparing, name: str) -> set[str]:
    uids = books.found.comes.get(name, [])
    key = (name, len(uids))
    if key not in books.coming_sets:
        books.coming_sets[key] = set(uids)
    return books.coming_sets[key]


def _parents(books: Comparing, name: str, values: Values) -> Iterator[tuple[str, str]]:
    for column, target in keys_of(name).items():
        if isinstance(values.get(column), str):
            yield target, books.now(values[column])
