"""Every verb of the program as the command line itself declares it, calls of them with words nobody would type, and what no
call may do. A new verb or a new option is tried without a line here.
"""

from __future__ import annotations

import io
import os
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any, NamedTuple
from unittest.mock import patch

from hypothesis import strategies as some
from test_visible import steers

from graftbook.cli.main import _command, main

TODAY = "2027-11-30"


class Did(NamedTuple):
    """What a call came to."""

    code: int
    out: str
    err: str


class Verb(NamedTuple):
    """One verb: the words that call it, and its arguments and options."""

    path: tuple[str, ...]
    words: tuple[Any, ...]


def call(words: list[str], book: str) -> Did:
    """Run one command line on a book, with nobody there to ask."""
    out, err = io.StringIO(), io.StringIO()
    told = {"GRAFTBOOK_TODAY": TODAY, "GRAFTBOOK_BOOK": book, "GRAFTBOOK_WHO": ""}
    with patch.dict(os.environ, told), patch("sys.stdin", io.StringIO()), redirect_stdout(out), redirect_stderr(err):
        code = main(words)
    return Did(code, out.getvalue(), err.getvalue())


def verbs(command: Any = None, path: tuple[str, ...] = ()) -> Iterator[Verb]:
    """Every verb, those of groups among them."""
    command = _command() if command is None else command
    below = getattr(command, "commands", None)
    if below is None:
        yield Verb(path, tuple(command.params))
        return
    for name, each in below.items():
        if name == "bench":  # serves until it is stopped
            continue
        yield from verbs(each, (*path, name))


MEANT = (
    "P3", "P10", "P11", "W1", "W2", "G1", "G2", "G1,G2", "P3-P11", "W1/1", "G41", "apple", "Malus domestica", "cleft", "chip-bud",
    "growing", "dead", "tie-released", "moved", "all", "unknown", "Quern Russet", "A or B", "today", "2027-03-04", "2027-11-30",
    "-3d", "9mm", "3/8in", "6-9mm", "30%", "1/3", "0.5", "3C", "NW", "a4", "a4-21up", "letter-30up", "species", "method",
    "units=in", "place=bench", "2026-27", "5 sticks 6-9mm", "a=b", "M.9", "seedling", "took", "sound", "suspect", "1", "2", "12",
)  # fmt: skip
ODD = (
    "", " ", "-", "--", "0", "-1", "9" * 20, "9" * 5_000, "1e400000000", "nan", "inf", "-0", "\x1b[31m", "\x9b1m", "\u202eback",
    "\ud800", "\0", "'", '"', "=1+1", "'=1", "@SUM(1)", "+1", ",", ";", ",,", "=", "==", "G1-G99999", "G2-G1", "G1-P3", "W0",
    "-9999w", "9999-12-31", "1900-01-01", "29 Feb 2027", "../..", "%s", "{}", "{0.__class__}", "x" * 201, "x" * 5_000, "苹果",
    "a\nb", "a\tb", "a\rb", " a ", "\ufeff", "\u2028", "´`", "3-70000000", "1/0", "0mm", "999999999mm", "²", "٣",
)  # fmt: skip
LIKELY = {
    "codes": "P3 P10,P11 W1 G1 G1,G2", "code": "P3 P10 W1 W2 G1 G2", "wood": "W1 W2 W5", "hosts": "P11 P3", "host": "P11 P3",
    "method": "cleft whip-and-tongue chip-bud", "state": "growing dead", "cultivar": "Tolm unknown", "called": "Tolm unknown",
    "donor": "IM", "receiver": "IM", "to": "IM", "sticks": "1 3", "condition": "sound mould", "trees": "3", "bark": "slips",
    "medium": "letter-30up a4-21up", "number": "1 2", "numbers": "1 1,2", "plan": "1", "run": "1", "entry": "1 2", "low": "2C",
    "high": "12C", "station": "north", "on": "2027-06-01 today -3d", "as_of": "2027-11-01", "since": "2026-01-01", "tie": "rubber",
    "until": "2027-11-01", "species": "apple", "clone": "MM.106", "diameter": "9mm 3/8in", "scion": "7mm", "stock": "9mm",
    "height": "1m", "bearing": "NW", "limb": "south", "place": "bench", "row": "7", "order": "3", "season": "2026-27", "x": "date",
    "by": "species method,place", "endpoint": "took standing", "table": "methods pairs", "stage": "dormant", "word": "slips",
    "changes": "units=in name=x", "name": "IM Tolm", "of": "P3 Tolm", "kind": "plants", "sure": "believed", "health": "suspect",
    "temperature": "3C", "removed": "30%", "saves": "5_sticks_6-9mm", "diameters": "9mm", "buds": "2", "shoot": "12cm",
    "grade": "6-9mm", "length": "25cm", "store": "fridge", "when": "2027-03-01", "paper": "a4 letter", "level": "0.9",
    "tree codes": "P3", "stock codes": "P10 P11", "limb code": "P3", "tree code": "P3", "wood codes": "W1 W2", "wood code": "W1 W2",
    "graft codes": "G1 G1,G2", "look words": "G1+growing G2+dead", "care words": "G1+tie-released P3+staked", "what": "cleft,bark",
    "stage words": "dormant", "find words": "P3 Tolm", "trade words": "whip", "tree cut": "south", "weather when": "2027-03-01",
    "trade texts": "method=x", "media texts": "label_w_mm=50", "condition words": "sound", "donors": "IM", "within": "200mm",
    "held numbers": "2", "new": "Sort=Tolm", "where": "Sort=Tolm", "map": "Sort=cultivar", "given": "method=cleft",
    "spelling": "all Tolm=Quern", "acquired": "2020-01-01",
    "other": "FOLDER/other.sqlite", "keep": "all P3", "take": "all", "newest": "all",
    "container": "5_l", "dates": "day-first", "units": "mm", "hemisphere": "north", "died": "2027-11-01",
}  # fmt: skip
"""What is often right for a word of this name (`verb name` where that verb has its own); `+` parts words of a list."""
WORDS = some.one_of(
    some.sampled_from(MEANT), some.sampled_from(ODD), some.text(some.characters(exclude_categories=()), max_size=6)
)
NUMBERS = some.sampled_from(("0", "1", "2", "3", "12", "-1", "1000", "9" * 9, "9" * 20, "0.5", "x", "", "1e9", "nan"))
PLACES = some.sampled_from((
    "new.pdf", "new.csv", "new.svg", "new.png", "no/such/place.pdf", "theirs.pdf", "folder", "book.sqlite", "book.sqlite-wal",
    "", "\0", "l\ud800",
))  # fmt: skip


def likely(path: tuple[str, ...], word: Any, folder: Path) -> some.SearchStrategy[str]:
    """What a person might mean by an argument or option, by its name and the type it is declared with."""
    kind = str(word.type_descriptor.annotation)
    if "Path" in kind:
        return some.just(str(folder / "new.pdf"))
    names = (*(f"{part} {word.name}" for part in reversed(path)), word.name)
    known = next((LIKELY[name] for name in names if name in LIKELY), "")
    if known:
        return some.sampled_from([text.replace("_", " ") for text in known.split()])
    return some.sampled_from(("1", "2") if "int" in kind or "float" in kind else MEANT)


def odd(word: Any, folder: Path) -> some.SearchStrategy[str]:
    """What nobody would mean by it."""
    kind = str(word.type_descriptor.annotation)
    if "Path" in kind:
        return PLACES.map(lambda place: str(folder / place) if place else place)
    return NUMBERS if "int" in kind or "float" in kind else WORDS


@some.composite
def call_words(draw: Any, verb: Verb, folder: Path) -> list[str]:
    """One command line of a verb: its arguments and some of its options, mostly one of them odd, the rest as meant."""
    named = [word for word in verb.words if word.required or not draw(some.integers(0, 3))]
    turned = draw(some.integers(-1, len(named) - 1))
    typed: list[str] = [*verb.path]
    for at, word in enumerate(named):
        if word.param_type_name == "option":
            typed.append(draw(some.sampled_from(word.opts)))
        if word.type_descriptor.annotation is bool:
            continue
        for _ in range(max(word.nargs, 1)):
            value = draw(odd(word, folder) if at == turned else likely(verb.path, word, folder))
            typed += [value] if at == turned or "list" not in str(word.type_descriptor.annotation) else value.split("+")
    return typed


class Stand:
    """A book copied into a folder of its own, with files of others beside it that must stay as they are;
    `did` is what the last call came to."""

    def __init__(self, book: Path, folder: Path) -> None:
        self.folder, self.book, self.did = folder, folder / "book.sqlite", Did(0, "", "")
        self.book.write_bytes(book.read_bytes())
        (folder / "folder").mkdir()
        (folder / "theirs.pdf").write_bytes(b"%PDF-1.4 a letter")

    def faults(self, words: list[str], after: Callable[[Path], list[str]] | None = None) -> list[str]:
        """What a call did that no call may do, in words; empty where it behaved. `after` looks at a book that it changed."""
        with closing(sqlite3.connect(self.book)) as seen:
            before = seen.execute("PRAGMA data_version").fetchone()
            did = self.did = call(words, str(self.book))
            changed = before != seen.execute("PRAGMA data_version").fetchone()
        found = []
        if did.code == 1 or "Traceback" in did.err:
            found.append(f"exit {did.code}: {did.err[-400:]}")
        if any(steers(sign) and sign not in "\n\t" for sign in did.out + did.err):
            found.append(f"a raw control character in {(did.out + did.err)!r:.400}")
        if did.code not in (0, 3) and changed:
            found.append(f"exit {did.code}, and the book was changed: {did.err[-400:]}")
        if (self.folder / "theirs.pdf").read_bytes() != b"%PDF-1.4 a letter":
            found.append("a file of somebody else was written over")
        return found + (after(self.book) if after is not None and changed and did.code == 0 else [])


def tried(book: Path, words: list[str], after: Callable[[Path], list[str]] | None = None) -> list[str]:
    """The same of a call on a copy of a book."""
    with tempfile.TemporaryDirectory() as folder:
        placed = [word.replace("FOLDER", folder) for word in words]
        return Stand(book, Path(folder)).faults(placed, after)
