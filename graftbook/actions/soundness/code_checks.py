"""Codes: each given once, written as codes are, and none above the counter that gives them out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from graftbook.actions.soundness.record import Finding, Record
from graftbook.book import bulk, find
from graftbook.codes import KINDS, LARGEST_NUMBER

_MEND = "Put the right code back from a copy of the book or an export; a printed tag says which it is"


def well_formed(record: Record) -> Iterator[Finding]:
    """Every code is its letter and its number, and stands on one thing only."""
    for letter, things in _coded(record):
        times = Counter(thing.code for thing in things)
        for thing in things:
            right = f"{letter}{thing.number}"
            if thing.code != right or not 1 <= thing.number <= LARGEST_NUMBER:
                yield Finding((thing.code,), f"the {KINDS[letter]} of number {thing.number} to have the code {right}",
                              thing.code, _MEND)  # fmt: skip
        for code, number in times.items():
            if number > 1:
                yield Finding((code,), f"one {KINDS[letter]} with the code {code}", f"{number} of them", _MEND)
    for code in record.reserved:
        if not (code[:1] == "G" and code[1:].isdecimal() and code[1:2] != "0"):
            yield Finding((code,), "a code on a blank tag to be a graft's, such as G105", code, _MEND)


def below_counters(record: Record) -> Iterator[Finding]:
    """No code that was ever given, on a blank tag, by a plan or to what was undone, is above the counter of its kind."""
    counters = bulk.counters(record.session)
    for letter, things in _coded(record):
        given = {thing.number: thing.code for thing in things}
        given |= {number: f"{letter}{number}" for number in _given_otherwise(record, letter)}
        last, most = counters.get(letter, 0), max(given, default=0)
        if most > last:
            yield Finding(
                (given[most],), f"the counter of {letter} at {most} or above, since {given[most]} was given", str(last),
                f"Import a line with {given[most]} again, or go back to a sound copy: the next {KINDS[letter]} would get a code"
                " that is taken",
            )  # fmt: skip


def _given_otherwise(record: Record, letter: str) -> Iterator[int]:
    """Numbers given without a thing that has them now."""
    if letter == "G":
        yield from (int(code[1:]) for code in record.reserved if code[1:].isdecimal())
        yield from (last for _, last in record.planned)
    table = find.TABLES[letter].__tablename__
    for change in record.last_changes.values():
        number = change.values.get("number")
        if change.operation == "delete" and change.table_name == table and isinstance(number, int):
            yield number


def _coded(record: Record) -> tuple[tuple[str, tuple[Any, ...]], ...]:
    held = (("P", record.plants), ("W", record.bundles), ("G", record.grafts))
    return tuple((letter, tuple(things.values())) for letter, things in held)
