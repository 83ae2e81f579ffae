"""Many people writing in one book at once, and others reading: no row lost or doubled, no code given twice, nobody turned away.

tests/hold/run writers [SECONDS [PROCESSES [postgres]]]
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import NamedTuple

from hold.calls import call
from sqlalchemy import select

from graftbook.book import versions
from graftbook.book.find import TABLES
from graftbook.book.tables import Entry
from graftbook.book.unit import Book

WRITING = (
    ("stock", "add", "MM.106", "--count", "3", "--grade", "6-9mm", "--json"), ("want", "add", "Quern Russet", "3", "--json"),
    ("tree", "add", "Tolm Beauty", "--species", "apple", "--json"),
    ("wood", "receive", "Old Pippin", "--species", "apple", "--from", "IM", "--sticks", "4", "--json"),
)  # fmt: skip
READING = (
    ("tree", "list", "--json"),
    ("wood", "list", "--json"),
    ("take", "--json"),
    ("due", "--json"),
    ("doctor", "--json"),
)


class Turn(NamedTuple):
    """One call of one process: its exit code, the entry and the codes it was told of, the seconds it took, what it complained."""

    code: int
    entry: int | None
    codes: list[str]
    seconds: float
    said: str


class Tally(NamedTuple):
    """What came of it: calls that wrote and that read, seconds they took, and all that was wrong."""

    wrote: int
    read: int
    seconds: list[float]
    wrong: list[str]

    def line(self) -> str:
        """The figures as a sentence."""
        times = sorted(self.seconds) or [0.0]
        at = [times[min(int(len(times) * share), len(times) - 1)] for share in (0.5, 0.95, 1)]
        waits = f"half within {at[0]:.2f} s, 95 % within {at[1]:.2f} s, the longest {at[2]:.2f} s"
        return f"{self.wrote} calls wrote and {self.read} read; writing took {waits}; {len(self.wrong)} faults"


def busy(location: str, verbs: tuple[tuple[str, ...], ...], results: Path, calls: int | None, seconds: float) -> None:
    """Call verbs in turn, so many times or for so long, and write down what each came to; never comes back."""
    end = time.monotonic() + seconds
    done = 0
    with results.open("w", encoding="utf-8") as file:
        while done < calls if calls is not None else time.monotonic() < end:
            start = time.perf_counter()
            did = call(list(verbs[(done + os.getpid()) % len(verbs)]), location)
            told = json.loads(did.out) if did.out.startswith("{") else {}
            codes = [row["code"] for row in told.get("rows", ()) if verbs is WRITING]
            turn = Turn(did.code, told.get("entry"), codes, time.perf_counter() - start, did.err)
            file.write(json.dumps(turn) + "\n")
            done += 1
    os._exit(0)


def many(
    location: str, within: Path, writers: int, readers: int, calls: int | None = None, seconds: float = 0.0
) -> Tally:
    """Set processes to work on a book and hold what each was told against what the book has in the end."""
    jobs = [(WRITING, within / f"wrote-{n}") for n in range(writers)] + [
        (READING, within / f"read-{n}") for n in range(readers)
    ]
    for words in READING:
        call(list(words), location)  # what verbs load is loaded once, before the processes part
    children = []
    for verbs, results in jobs:
        child = os.fork()
        if child == 0:
            try:
                busy(location, verbs, results, calls, seconds)
            finally:
                os._exit(1)
        children.append(child)
    ended = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]
    turns = {results: [Turn(*json.loads(line)) for line in results.read_text().splitlines()] for _, results in jobs}
    wrote = [turn for verbs, results in jobs if verbs is WRITING for turn in turns[results]]
    read = [turn for verbs, results in jobs if verbs is READING for turn in turns[results]]
    wrong = [f"a process ended with {code}" for code in ended if code]
    wrong += [f"exit {turn.code}: {turn.said[-300:]}" for turn in (*wrote, *read) if turn.code != 0]
    return Tally(len(wrote), len(read), [turn.seconds for turn in wrote], wrong + _amiss(location, wrote))


def _amiss(location: str, wrote: list[Turn]) -> list[str]:
    """Where the book and what its writers were told disagree."""
    book = Book(location)
    with book.read() as session:
        held = [code for table in TABLES.values() for (code,) in session.execute(select(table.code))]
        kept = Counter(
            number for (number,) in session.execute(select(Entry.id).where(Entry.verb.not_in(("start", "filling"))))
        )
    book.close()
    told = Counter(code for turn in wrote for code in turn.codes)
    given = Counter(turn.entry for turn in wrote if turn.code == 0)
    wrong = [f"{code} was given {times} times" for code, times in told.items() if times > 1]
    wrong += [f"{code} was told of and is lost" for code in told if code[0] in TABLES and code not in held]
    wrong += [f"entry {number} was told of and is lost" for number in given if number not in kept]
    wrong += [f"entry {number} was told of by nobody" for number in kept if number not in given]
    return wrong


def main(seconds: float = 30, processes: int = 8, where: str = "sqlite") -> int:
    """Let processes write, and two read, for so long; the exit code is 1 where anything was wrong."""
    from servers import Server

    with tempfile.TemporaryDirectory() as name:
        if where == "postgres":
            with Server() as server:
                server.create("empty_book")
                versions.create(server.url("empty_book"))
                tally = many(server.make("empty_book"), Path(name), processes, 2, None, seconds)
        else:
            book = str(Path(name) / "book.sqlite")
            versions.create(book)
            tally = many(book, Path(name), processes, 2, None, seconds)
    for fault, times in Counter(tally.wrong).most_common(20):
        print(f"{times} times: {fault}")
    print(f"{processes} writers and 2 readers for {seconds:g} s on {where}: {tally.line()}")
    return 1 if tally.wrong else 0


if __name__ == "__main__":
    sys.exit(main(*(kind(word) for kind, word in zip((float, int, str), sys.argv[1:], strict=False))))
