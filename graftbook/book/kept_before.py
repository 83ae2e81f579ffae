"""Copies of a book that are made by themselves before much of it changes: the last five of each book, beside it.

Their names say before what: a version the book was migrated to, `restore`, `import` or `undo`. One that holds the very
same as the book does is the one, so that what is tried again leaves no second.
"""

from __future__ import annotations

import filecmp
import os
import re
import shutil
import tempfile
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from sqlalchemy import make_url

from graftbook.book import backup, parts
from graftbook.book.engine import is_url
from graftbook.errors import CannotWrite, GraftbookError

KEPT = 5
"""How many copies made by themselves are kept of one book."""
MANY = 1_000
"""An import or an undo that touches more rows than this has a copy made first."""


def name_of(location: str) -> tuple[str, str]:
    """What a book's copies are called by, and how their names end: the name of its file, or of its database."""
    if not is_url(location):
        path = Path(os.path.realpath(Path(location).expanduser()))
        return path.stem, path.suffix
    return make_url(location).database or "book", ".sqlite"


def before(location: str, what: str, now: datetime, folder: Path | None = None) -> Path:
    """Copy the book into a folder (None: the one its file is in), take the oldest of its own copies away, and say where.

    A book that is not sound is copied as it is. Raises CannotWrite: what was to come after must not come then.
    """
    copy = _named(location, what, now, folder)
    beside = copy.parent
    try:
        parts.sweep(copy)
        with tempfile.TemporaryDirectory(prefix=parts.prefix(copy), suffix=parts.PART, dir=beside) as inside:
            made = Path(inside) / copy.name
            backup.snapshot(location, made, sound=False)
            for kept in copies(location, beside):
                if filecmp.cmp(kept, made, shallow=False):
                    return kept
            copy = _free(copy)
            made.replace(copy)
    except CannotWrite as error:
        raise _no_copy(copy, error.expected) from error
    except OSError as error:
        raise _no_copy(copy, error.strerror or str(error)) from error
    _keep_five(location, beside)
    return copy


def as_it_lies(place: Path, now: datetime) -> Path:
    """Copy the file of a book that cannot be read, byte for byte, and its log with it, and say where. Raises CannotWrite."""
    copy = _free(_named(str(place), "restore", now, None))
    try:
        for end in ("-wal", ""):
            source, part = place.with_name(place.name + end), copy.with_name(f"{parts.prefix(copy)}{end}{parts.PART}")
            if source.exists():
                shutil.copyfile(source, part)
                part.replace(copy.with_name(copy.name + end))
    except OSError as error:
        raise _no_copy(copy, error.strerror or str(error)) from error
    return copy


def _named(location: str, what: str, now: datetime, folder: Path | None) -> Path:
    beside = folder if folder is not None else Path(os.path.realpath(Path(location).expanduser())).parent
    stem, suffix = name_of(location)
    return beside / f"{stem}-before-{what}-{now:%Y%m%dT%H%M%S}{suffix}"


def _no_copy(copy: Path, why: str) -> CannotWrite:
    return CannotWrite(f"a copy at {copy} could not be made: {why}", next_step="The book is as it was")


def _free(copy: Path) -> Path:
    """This name, or the next that is free where two were made within one second."""
    tried, number = copy, 1
    while tried.exists():
        number += 1
        tried = copy.with_name(f"{copy.stem}-{number}{copy.suffix}")
    return tried


def copies(location: str, folder: Path) -> list[Path]:
    """The copies made by themselves of books of this name in a folder, oldest first. A folder that cannot be read has none."""
    stem, suffix = name_of(location)
    named = re.compile(rf"{re.escape(stem)}-before-(\d{{4}}|[a-z]+)-(\d{{8}}T\d{{6}})(?:-(\d+))?{re.escape(suffix)}")
    found: list[tuple[str, int, Path]] = []
    with suppress(OSError):
        for path in folder.iterdir():
            match = named.fullmatch(path.name)
            if match and path.is_file():
                found.append((match[2], int(match[3] or 1), path))
    return [path for _stamp, _number, path in sorted(found)]


def _keep_five(location: str, folder: Path) -> None:
    """Take the oldest away, of this book only: another one of the same name keeps its own."""
    with suppress(GraftbookError, OSError):
        take_oldest(location, copies(location, folder), KEPT)


def take_oldest(location: str, made: list[Path], keep: int) -> list[Path]:
    """Of these files, oldest first, delete the oldest beyond so many that are copies of this book; those deleted."""
    me = backup.entry_uids(location)[:1]
    own = [path for path in made if me and _first_entry(path) == me]
    gone = own[: max(0, len(own) - keep)]
    for path in gone:
        path.unlink()
    return gone


def _first_entry(path: Path) -> list[str]:
    try:
        return backup.entry_uids(str(path))[:1]
    except GraftbookError:
        return []
