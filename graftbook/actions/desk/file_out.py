"""Files put on the disk whole or not at all, and never over something else, least of all over a book.

`may_go` is the one judge of what may be written over, for every output of every verb, whatever flag was given. What is
still being written stands beside its place under a name that ends in PART; a program that was killed leaves that behind,
and the next writing of the same file takes it away.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from graftbook.book.engine import beside_a_book, is_book_file
from graftbook.book.parts import PART, prefix, sweep
from graftbook.errors import CannotWrite

MARK = b"<!-- Graftbook -->"
"""What a drawing or a page of ours begins with."""

# How files that we make begin, and what else stands in them (one of these; none: nothing else).
_OURS: tuple[tuple[bytes, tuple[bytes, ...]], ...] = (
    (b"%PDF-", (b"/Creator (labels)", b"/Creator (Graftbook)")),
    (b"\x89PNG\r\n\x1a\n", (b"Software\0labels", b"Software\0Graftbook")),
    (b"PK\x03\x04", (b"<dc:creator>Graftbook</dc:creator>",)),
    (MARK, ()),
)

Content = bytes | Callable[[IO[bytes]], None]
"""What a file is to hold, or what writes it into a file that is open."""


@contextmanager
def written(output: Path, content: Content, over: tuple[bytes, ...] = ()) -> Iterator[None]:
    """The file beside its place while the block runs, and in its place when the block ends well; otherwise what was there
    before stays, and nothing is left beside it. Takes and raises what `may_go` does, and CannotWrite for a disk that says no.
    """
    place = may_go(output, over)
    part = _beside(output, place, content)
    try:
        yield
        try:
            part.replace(place)
        except OSError as error:
            raise CannotWrite(f"{output} cannot be written: {reason(error, place)}") from error
    finally:
        part.unlink(missing_ok=True)


def write_file(output: Path, content: Content, over: tuple[bytes, ...] = ()) -> None:
    """The whole file or none of it. Takes and raises what `written` does."""
    with written(output, content, over):
        pass


@contextmanager
def folder_beside(folder: Path) -> Iterator[Path]:
    """A folder beside the one wanted, for files that are moved there when all are whole; gone after the block.

    Raises CannotWrite for a disk that says no, then and inside the block.
    """
    place = folder.absolute()
    try:
        sweep(place)
        made = Path(tempfile.mkdtemp(prefix=prefix(place), suffix=PART, dir=place.parent))
        try:
            yield made
        finally:
            shutil.rmtree(made, ignore_errors=True)
    except OSError as error:
        raise CannotWrite(
            f"{folder} cannot be written: {reason(error, place)}", next_step="Nothing was written"
        ) from error


def may_go(output: Path, over: tuple[bytes, ...] = (), book: Callable[[Path], str] | None = None) -> Path:
    """The place where a file may be put: one where nothing is, or an empty file, or a file of our own making.

    Ours are PDFs, PNGs, workbooks, drawings and pages that say so inside, and files that begin as one of `over` does. Never
    a book or another database, a file that belongs to one, or what a link in this folder leads to in another. What is to be
    put there is itself a copy of a book where `book` is given: it may go over nothing, an empty file, and a database of which
    `book` has nothing to say against, as words after its name. Raises CannotWrite, which says what is there.
    """
    place = Path(os.path.realpath(output))
    try:
        problem = _in_the_way(output, place, over, book)
    except OSError as error:
        raise CannotWrite(f"{output} cannot be written: {reason(error, place)}") from error
    if problem:
        raise CannotWrite(f"{output} {problem}", next_step="Nothing was written; name another file")
    return place


def _in_the_way(output: Path, place: Path, over: tuple[bytes, ...], book: Callable[[Path], str] | None) -> str:
    """Why nothing may be put there, as words after its name; '' where it may."""
    if place.parent != Path(os.path.realpath(output.absolute().parent)):
        return f"is a link that leads to {place}"
    if beside_a_book(place):
        return f"belongs to the book {place.with_name(place.name.rpartition('-')[0])}"
    if not place.exists():
        return ""
    if not place.is_file():
        return "is a folder" if place.is_dir() else "is something other than a file"
    if is_book_file(place):
        if book is not None:
            return book(place)
        return "is a book or another database, and no file is ever written over one"
    if place.stat().st_size == 0 or (book is None and _is_ours(place, over)):
        return ""
    if book is not None:
        return "is there already and is no backup of a book"
    return "is there already and holds something other than an earlier file of this kind made by Graftbook"


def _is_ours(place: Path, over: tuple[bytes, ...]) -> bool:
    with place.open("rb") as file:
        head = file.read(max(map(len, (*over, *(start for start, _ in _OURS)))))
        if any(head.startswith(start) for start in over):
            return True
        inside = next((marks for start, marks in _OURS if head.startswith(start)), None)
        if not inside:
            return inside is not None
        content = head + file.read()
    return any(mark in content for mark in inside)


def _beside(output: Path, place: Path, content: Content) -> Path:
    """The content in a file of its own, in the folder where it is wanted."""
    part = None
    try:
        sweep(place)
        handle, name = tempfile.mkstemp(prefix=prefix(place), suffix=PART, dir=place.parent)
        part = Path(name)
        with os.fdopen(handle, "wb") as file:
            if callable(content):
                content(file)
            else:
                file.write(content)
            file.flush()
            os.fsync(handle)
        part.chmod(0o666 & ~_umask())
    except BaseException as error:
        if part is not None:
            part.unlink(missing_ok=True)
        if not isinstance(error, OSError):
            raise
        why = f"{output} cannot be written: {reason(error, place)}"
        raise CannotWrite(why, next_step="Nothing was written") from error
    return part


def reason(error: OSError, place: Path) -> str:
    """Why a file could not be written at its place, without the name of the file beside it."""
    return f"no folder {place.parent}" if not place.parent.is_dir() else error.strerror or str(error)


def _umask() -> int:
    held = os.umask(0o022)
    os.umask(held)
    return held
