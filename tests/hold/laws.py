"""Laws of random histories of a book: undone from the newest entry back it is the empty book again; exported, imported and
exported it is the same byte for byte; SQLite and PostgreSQL give the same answers to every report; two histories that began as one
come to the same by either way of merging, and merging again adds nothing.

tests/hold/run laws [HISTORIES [postgres]]
"""

from __future__ import annotations

import json
import re
import shutil
import sys
import tempfile
from collections.abc import Callable
from itertools import zip_longest
from pathlib import Path
from random import Random

from hold.calls import call
from rich_books import RichBook

from graftbook.book import versions

REPORTS: tuple[tuple[str, ...], ...] = (
    ("tree", "list"), ("stock", "list"), ("wood", "list", "--empty"), ("graft", "list"), ("look", "list"), ("care", "list"),
    ("prune", "list"), ("want", "list", "--all"), ("name", "list"), ("only",), ("due",), ("tags", "worklist"), ("match",),
    ("take", "--by", "species,method"), ("take", "course"), ("trace", "down", "P1"), ("journal", "--limit", "500"), ("doctor",),
    ("wood", "requests", "--all"), ("wood", "thanks"), ("find",), ("settings",), ("plan", "list"), ("people", "list"),
)  # fmt: skip
REFUSED = "both ways were refused: together they would have used more sticks than there were"
NOT_PUT_BACK = ("codes.csv",)
"""What undoing leaves: numbers once given are never given again."""


def played(location: str, random: Random, most: int) -> None:
    """Type a random history into an empty book."""
    for words in RichBook(random, most).commands:
        did = call(list(map(str, words)), location)
        assert did.code == 0, f"{words}: {did.err}"


def exported(location: str, folder: Path) -> dict[str, bytes]:
    """The files of a book, how to reach people among them."""
    did = call(["export", str(folder), "--contacts"], location)
    assert did.code == 0, did.err
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def differ(one: dict[str, bytes], other: dict[str, bytes]) -> list[str]:
    """Where two exports differ: the file, and the first line that does."""
    found = []
    for name in sorted(one.keys() | other.keys()):
        lines = zip_longest(one.get(name, b"").splitlines(), other.get(name, b"").splitlines())
        first = next(((a, b) for a, b in lines if a != b), None)
        if first is not None:
            found.append(f"{name}: {first[0]!r} and {first[1]!r}")
    return found


def comes_back(location: str, new: Callable[[], str], folder: Path) -> list[str]:
    """What is lost when a book is exported, imported into an empty one, and exported again."""
    first = exported(location, folder / "first")
    other = new()
    did = call(["import", str(folder / "first")], other)
    return [did.err] if did.code else differ(first, exported(other, folder / "second"))


def undone(location: str, new: Callable[[], str], folder: Path) -> list[str]:
    """What is left of a book when every entry was undone, newest first."""
    entries = [row["entry"] for row in json.loads(call(["journal", "--limit", "1000", "--json"], location).out)["rows"]]
    wrong = []
    for entry in entries:
        did = call(["undo", str(entry)], location)
        if did.code and not (did.code == 2 and "the one that made the book" in did.err):
            wrong.append(f"undo {entry}: {did.err}")
    left, empty = exported(location, folder / "undone"), exported(new(), folder / "empty")
    return wrong + differ(
        *({name: held for name, held in each.items() if name not in NOT_PUT_BACK} for each in (left, empty))
    )


class Forked(Random):
    """A random history that goes its own way after so many draws."""

    def __init__(self, seed: int, own: int, draws: int) -> None:
        super().__init__(seed)
        self._own, self._draws = own, draws

    def getrandbits(self, k: int, /) -> int:
        """So many random bits."""
        self._draws -= 1
        if self._draws == 0:
            self.seed(self._own)
        return super().getrandbits(k)


def forked(seed: int, draws: int, most: int, places: tuple[str, str]) -> tuple[int, list[str]]:
    """Type two histories that are one for so many draws: how many commands they share, and what went wrong."""
    pair = [list(RichBook(Forked(seed, own, draws), most).commands) for own in (seed + 1000, seed + 2000)]
    shared = next((at for at, two in enumerate(zip(*pair, strict=False)) if two[0] != two[1]), min(map(len, pair)))
    for words in pair[0][:shared]:
        call(list(map(str, words)), places[0])
    days = sorted(word for words in pair[0][:shared] for word in words if re.fullmatch(r"\d{4}-\d\d-\d\d", str(word)))
    for row in json.loads(call(["wood", "list", "--empty", "--json"], places[0]).out)["rows"]:
        # enough for both, from the first day there was any
        next(day for day in days if not call(["wood", "found", row["code"], "90", "--on", day], places[0]).code)
    shutil.copy(places[0], places[1])
    wrong = []
    for place, commands in zip(places, pair, strict=True):
        for words in commands[shared:]:
            did = call(list(map(str, words)), place)
            wrong += [f"{words}: {did.err}"] if did.code else []
    return shared, wrong


def both_ways(one: str, other: str, folder: Path) -> list[str]:
    """What differs when one book is merged into the other, and the other into the one; newest stands. Codes may differ, and
    rows that a book holds once only keep the uid they have there."""
    first, second = (str(shutil.copy(place, folder / f"merged-{Path(place).name}")) for place in (one, other))
    codes = [call(["merge", from_, "--newest", "all"], to).code for to, from_ in ((first, other), (second, one))]
    if codes != [0, 0]:
        return [REFUSED] if codes == [21, 21] else [f"merged with {codes}"]
    held = [_without_codes(place) for place in (first, second)]
    wrong = [f"{uid}: {held[0].get(uid)} and {held[1].get(uid)}"
             for uid in sorted(held[0].keys() | held[1].keys()) if held[0].get(uid) != held[1].get(uid)]  # fmt: skip
    for place, from_ in ((first, other), (first, second), (second, first)):
        again = call(["merge", from_, "--newest", "all", "--json"], place)
        rows = [row for row in json.loads(again.out)["rows"] if row["what"] != "setting"]
        wrong += [f"merged again: {rows}"] if rows and from_ == other else []
        sound = call(["doctor"], place)
        wrong += [] if sound.code in (0, 3) and "breach" not in sound.out else [sound.out]
    files = (exported(first, folder / "a"), exported(second, folder / "b"))
    return wrong + differ(
        *({name: b"\n".join(sorted(held.splitlines())) for name, held in each.items()} for each in files)
    )


def _without_codes(location: str) -> dict[str, dict[str, object]]:
    from whole_book import contents

    aside = {"code", "number", "codes", "first_graft"}
    return {
        uid: {name: value for name, value in values.items() if name not in aside}
        for uid, values in contents(location).items()
        if "of_uid" not in values
    }


def answers(location: str) -> dict[str, str]:
    """Every report of a book; moments of writing and the place of the book are left out."""
    found = {}
    for words in REPORTS:
        did = call([*words, "--json"], location)
        told = json.loads(did.out) if did.out.startswith("{") else {"said": did.err}
        for row in told.get("rows", ()):
            row.pop("at", None)
        found[" ".join(words)] = f"{did.code} {json.dumps(told, sort_keys=True)}"
    return found


def main(histories: int = 20, where: str = "sqlite") -> int:
    """Try the laws on so many histories; the exit code is 1 where any broke."""
    from servers import Server

    with tempfile.TemporaryDirectory() as name:
        within = Path(name)
        template = within / "empty.sqlite"
        versions.create(str(template))
        if where == "postgres":
            with Server() as server:
                server.create("empty_book")
                versions.create(server.url("empty_book"))
                return _many(histories, template, within, lambda: server.make("empty_book"))
        return _many(histories, template, within, None)


def _many(histories: int, template: Path, within: Path, server: Callable[[], str] | None) -> int:
    broken = 0
    for seed in range(histories):
        folder = within / str(seed)
        folder.mkdir()
        counted = iter(range(100))

        def new(folder: Path = folder, counted: object = counted) -> str:
            return str(shutil.copy(template, folder / f"{next(counted)}.sqlite"))  # type: ignore[call-overload]

        book = new()
        played(book, Random(seed), 38)
        wrong = comes_back(book, new, folder)
        if server is not None:
            other = server()
            played(other, Random(seed), 38)
            there, here = answers(other), answers(book)
            wrong += [
                f"{asked}: {here[asked]:.300} and {there[asked]:.300}" for asked in here if here[asked] != there[asked]
            ]
            wrong += undone(other, new, folder)
        else:
            wrong += undone(book, new, folder)
        if server is None:
            places = (new(), str(folder / "forked.sqlite"))
            forked(seed, 40 + seed * 7 % 60, 12, places)
            wrong += [line for line in both_ways(*places, folder) if line != REFUSED]
        broken += bool(wrong)
        print(f"history {seed}: {'; '.join(wrong) or 'holds'}", flush=True)
    print(f"{histories} histories, {broken} broke a law")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(*(kind(word) for kind, word in zip((int, str), sys.argv[1:], strict=False))))
