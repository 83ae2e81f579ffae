"""Every writing verb killed at a random moment, again and again: afterwards the book is sound, and what the verb was to do is
done whole or not at all.

tests/hold/run kills [KILLS [postgres]]
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from hold.calls import call
from season_files import GRAFTS, LOOKS, PLANTS, WOOD
from sqlalchemy import func, select

from graftbook.book import versions
from graftbook.book.engine import make_engine
from graftbook.book.parts import PART
from graftbook.book.tables import Entry
from graftbook.book.unit import Book

SEASON = (
    ("tree", "add", "Quern Russet", "--species", "apple"), ("stock", "add", "MM.106", "--count", "12", "--grade", "6-9mm"),
    ("prune", "P1", "--on", "2027-01-14", "--save", "9 sticks 6-9mm 25cm 6 buds"), ("want", "add", "Quern Russet", "3"),
    ("graft", "W1", "P2-P5", "--method", "whip-and-tongue", "--on", "2027-03-28"),
    ("look", "G1-G3", "growing", "--on", "2027-06-01"), ("plan", "--on", "2027-04-02"),
)  # fmt: skip
VERBS: tuple[tuple[str, ...], ...] = (
    ("tree", "add", "Tolm Beauty"), ("stock", "add", "M.9", "--count", "200"), ("tree", "amend", "P1", "--place", "gate"),
    ("wood", "receive", "Old Pippin", "--from", "IM", "--sticks", "4"), ("prune", "P1", "--save", "5 sticks", "--save", "3 sticks"),
    ("graft", "W1", "P6-P9", "--method", "cleft", "--on", "2027-04-01"), ("look", "G1-G4", "dead", "--on", "2027-07-01"),
    ("care", "G1-G4", "tie-released", "--on", "2027-07-01"), ("want", "amend", "1", "--trees", "9"), ("undo", "7"),
    ("tags", "P1-P13", "--medium", "letter-30up", "-o", "DIR/tags.pdf"), ("name", "P1", "Old Pippin"),
    ("tags", "blank", "30", "--medium", "letter-30up", "-o", "DIR/blank.pdf"), ("plan", "sheet", "1", "-o", "DIR/plan.pdf"),
    ("graft", "--plan", "1", "--done", "--on", "2027-04-02"), ("settings", "units=in", "name=Gate"),
    ("import", "FILES"), ("export", "DIR/out"), ("export", "DIR/old", "--force"), ("mcpd", "-o", "DIR/living.csv"),
    ("due", "--calendar", "DIR/due.ics"), ("start",), ("migrate",),
    ("merge", "OTHER"),
)  # fmt: skip
"""What is killed; DIR is a folder of the round, FILES a folder of CSV files to import, OTHER a copy that went its own way."""


class Ground(NamedTuple):
    """Where books stand: what gives the location of a new one, a copy of the season or empty or of an older version."""

    season: Callable[[Path], str]
    older: Callable[[Path], str]
    nothing: Callable[[Path], str]


def play(location: str) -> None:
    """The season that every round begins with."""
    for words in SEASON:
        did = call(list(words), location)
        assert 0 == did.code, did.err


def on_files(folder: Path) -> Ground:
    """SQLite books, copied for every round."""
    season, older = folder / "season.sqlite", folder / "older.sqlite"
    versions.create(str(season))
    play(str(season))
    engine = make_engine(str(older), create=True)
    versions.set_wal(engine)
    versions.upgrade(engine, "0004")
    engine.dispose()

    def copied(source: Path) -> Callable[[Path], str]:
        return lambda to: str(shutil.copy(source, to / "book.sqlite"))

    return Ground(copied(season), copied(older), lambda to: str(to / "book.sqlite"))


def on_server(make: Callable[..., str]) -> Ground:
    """Databases of a server; a season is played once into one, of which others are copies."""
    from urllib.parse import urlsplit

    template = make("empty_book")
    play(template)
    name = urlsplit(template).path.lstrip("/")
    return Ground(lambda _to: make(name), lambda _to: make(name), lambda _to: make(None))


def entries(location: str) -> int:
    """How many entries a book holds."""
    book = Book(location)
    with book.read() as session:
        number = session.execute(select(func.count(Entry.id))).scalar() or 0
    book.close()
    return number


def killed(words: tuple[str, ...], location: str, after: float) -> bool:
    """Run a command line in a process of its own and kill it after so many seconds; whether it was killed before its end."""
    child = os.fork()
    if child == 0:
        try:
            call(list(words), location)
        finally:
            os._exit(0)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])


def faults(location: str, before: int | None, folder: Path) -> list[str]:
    """What is wrong with a book after a kill, in words; `before` are the entries it had (None: there was no book)."""
    found = []
    if before is None and "://" not in location and not Path(location).exists():
        return []
    did = call(["doctor"], location)
    if did.code == 22 or (before is None and did.code == 20 and "://" in location):  # not migrated, not made: as it was
        return []
    if did.code != 0:
        found.append(f"doctor {did.code}: {did.out[-600:]}{did.err[-300:]}")
    elif before is not None and entries(location) - before not in (0, 1):
        found.append(f"{entries(location) - before} entries more")
    if "://" not in location:
        with closing(sqlite3.connect(location)) as raw:
            found += [str(row) for row in raw.execute("PRAGMA integrity_check") if row != ("ok",)]
            found += [f"astray {row}" for row in raw.execute("PRAGMA foreign_key_check")]
    half = [path.name for path in folder.rglob("*") if not path.name.endswith(PART) and _half(path)]
    return found + [f"half a file: {name}" for name in half]


def _half(path: Path) -> bool:
    """Whether a file that a verb writes is cut off; files not finished yet have names that say so."""
    if any(part.endswith(PART) for part in path.parts):
        return False
    if path.suffix == ".pdf":
        return not path.read_bytes().rstrip().endswith(b"%%EOF")
    return path.suffix in (".csv", ".ics") and not path.read_bytes().endswith(b"\n")


def one(ground: Ground, words: tuple[str, ...], share: float, within: Path) -> tuple[bool, list[str]]:
    """One kill: whether it came before the verb's end, and what was wrong afterwards."""
    with tempfile.TemporaryDirectory(dir=within) as name:
        folder = Path(name)
        files = folder / "files"
        files.mkdir()
        for kind, text in (("plants", PLANTS), ("wood", WOOD), ("grafts", GRAFTS), ("looks", LOOKS)):
            (files / f"{kind}.csv").write_text(_moved(text))
        begin = {"start": ground.nothing, "migrate": ground.older}.get(words[0], ground.season)
        location = begin(folder)
        other = str(folder / "other.sqlite")
        typed = tuple(word.replace("DIR", name).replace("FILES", str(files)).replace("OTHER", other) for word in words)
        if words[0] == "merge":
            _apart(location, other, files)
        if "--force" in words:
            call(["export", f"{name}/old"], location)
        before = None if words[0] in ("start", "migrate") else entries(location)
        dead = killed(typed, location, share)
        return dead, faults(location, before, folder)


def _apart(location: str, other: str, files: Path) -> None:
    """A copy of the book, and something new in both, under the same codes."""
    call(["backup", other], location)
    for book in (location, other):
        for words in (["import", str(files)], ["stock", "add", "M.9", "--count", "60"]):
            did = call(words, book)
            assert 0 == did.code, did.err


def _moved(text: str) -> str:
    """The season's files under codes that the book has not got."""
    for letter in "PWG":
        for number in (1, 2, 3):
            text = text.replace(f"{letter}{number}", f"{letter}{number + 500}")
    return text


def main(kills: int = 200, where: str = "sqlite") -> int:
    """So many kills, spread over the verbs; the exit code is 1 where anything was wrong."""
    from servers import Server

    random.seed(1)
    with tempfile.TemporaryDirectory() as name:
        within = Path(name)
        if where == "postgres":
            with Server() as server:
                server.create("empty_book")
                versions.create(server.url("empty_book"))
                return _many(on_server(server.make), kills, within)
        return _many(on_files(within), kills, within)


def _many(ground: Ground, kills: int, within: Path) -> int:
    wrong = cut = 0
    took: dict[tuple[str, ...], float] = {}
    for number in range(kills):
        words = VERBS[number % len(VERBS)]
        longest = took.setdefault(words, 0.5)
        dead, found = one(ground, words, random.uniform(0, longest), within)
        took[words] = longest * (1.1 if dead else 0.8)  # draw the moments in to the length of the verb
        cut += dead
        wrong += bool(found)
        for fault in found:
            print(f"{' '.join(words)}: {fault}", flush=True)
    print(f"{kills} kills of {len(VERBS)} verbs, {cut} before the end: {wrong} left something wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*(kind(word) for kind, word in zip((int, str), sys.argv[1:], strict=False))))
