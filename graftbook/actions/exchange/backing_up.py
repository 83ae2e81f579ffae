"""The whole book in one file, whichever database it is in, and backups kept by the day in a folder."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import may_go, reason
from graftbook.actions.desk.results import Report, count, first_of
from graftbook.book import backup as copying
from graftbook.book import kept_before, parts
from graftbook.book.engine import is_url, public
from graftbook.errors import CannotWrite, GraftbookError, UsageProblem


@dataclass(frozen=True)
class BackupRow:
    """One backup: its file, the version of the book in it, entries and rows of all tables together, and its size."""

    file: str
    version: str
    entries: int
    rows: int
    bytes: int
    shown: ClassVar = ("file", "version", "entries", "rows", "bytes")


def backup(desk: Desk, output: Path, keep: int | None = None) -> Report:
    """Write the book into one file, verified before it has its name; with `keep` under a dated name into a folder, where only
    so many backups of this book stay.

    Raises CannotWrite for a place where something else is or a disk that says no, NotABook for a book that is not sound.
    """
    place = output if keep is None else _dated(desk, output)
    taken = _write(desk, place)
    gone = () if keep is None else _rotated(desk, output, keep)
    row = BackupRow(str(place), taken.version, taken.rows.get("entry", 0), taken.total, place.stat().st_size)
    notes: tuple[str, ...] = (
        f"Read back and found to hold what the book holds. Go back to it with: graftbook restore {place}.",
    )
    if gone:
        notes += (f"Taken away, being older than the newest {keep}: {first_of(gone)}.",)
    facts = {"as_of": desk.today, "removed": list(gone)}
    return Report(
        BackupRow, (row,), notes, facts, title=f"Backed up {public(desk.book.location)}: {count(taken.total, 'row')}"
    )


def _write(desk: Desk, output: Path) -> copying.Snapshot:
    judge = _judge(desk.book.location)
    place = may_go(output, book=judge)
    try:
        parts.sweep(place)
        with tempfile.TemporaryDirectory(prefix=parts.prefix(place), suffix=parts.PART, dir=place.parent) as folder:
            made = Path(folder) / place.name
            taken = copying.snapshot(desk.book.location, made)
            may_go(output, book=judge).parent.stat()
            made.replace(place)
    except OSError as error:
        raise CannotWrite(f"{output} cannot be written: {reason(error, place)}", "", "Nothing was written") from error
    return taken


def _judge(location: str) -> Callable[[Path], str]:
    """What speaks against a backup of this book going over a database, as words after its name; '' where nothing does."""

    def problem(place: Path) -> str:
        if not is_url(location) and os.path.samefile(place, Path(location).expanduser()):
            return "is the open book itself"
        try:
            held = copying.entry_uids(str(place))
        except GraftbookError:
            return "is another database, or a book that cannot be read, and no backup is ever written over one"
        own = copying.entry_uids(location)
        if not held or held[:1] != own[:1]:
            return "is another book, and no backup is ever written over one"
        more = len(set(held) - set(own))
        if more:
            return f"is a copy of this book with {count(more, 'entry', 'entries')} that this one lacks"
        if any(place.with_name(f"{place.name}-{kind}").exists() for kind in ("wal", "journal")):
            return "is open in another program"
        return ""

    return problem


def _dated(desk: Desk, folder: Path) -> Path:
    if folder.exists() and not folder.is_dir():
        raise UsageProblem("a folder for dated backups with --keep", f"the file {folder}", "Name a folder")
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotWrite(
            f"{folder} cannot be made: {reason(error, folder.absolute())}", "", "Make it first"
        ) from error
    stem, suffix = kept_before.name_of(desk.book.location)
    return folder / f"{stem}-{desk.now():%Y%m%dT%H%M%SZ}{suffix}"


def _rotated(desk: Desk, folder: Path, keep: int) -> tuple[str, ...]:
    """Delete the oldest dated backups of this book beyond so many; nothing else in the folder is touched."""
    stem, suffix = kept_before.name_of(desk.book.location)
    named = re.compile(rf"{re.escape(stem)}-\d{{8}}T\d{{6}}Z{re.escape(suffix)}")
    made = sorted(
        path for path in folder.iterdir() if named.fullmatch(path.name) and path.is_file() and not path.is_symlink()
    )
    return tuple(map(str, kept_before.take_oldest(desk.book.location, made, keep)))
