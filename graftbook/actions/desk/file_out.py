"""Files put on the disk whole or not at all, and never over something else, least of all over the book."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from graftbook.errors import CannotWrite

_OURS = (b"%PDF-", b"\x89PNG", b'<svg xmlns="http://www.w3.org/2000/svg" width="', b"<!-- Graftbook -->")


@contextmanager
def written(output: Path, content: bytes, over: tuple[bytes, ...] = ()) -> Iterator[None]:
    """The file beside its place while the block runs, and in its place when the block ends well; otherwise what was there
    before stays, and nothing is left beside it.

    Only an empty file, a PDF, a PNG, an SVG that begins as ours do, or a file that begins as one of `over` does is written
    over. Raises CannotWrite.
    """
    place = Path(os.path.realpath(output))
    part = _beside(output, place, content, over)
    try:
        yield
        try:
            part.replace(place)
        except OSError as error:
            raise CannotWrite(f"{output} cannot be written: {reason(error, place)}") from error
    finally:
        part.unlink(missing_ok=True)


def write_file(output: Path, content: bytes, over: tuple[bytes, ...] = ()) -> None:
    """The whole file or none of it. Takes and raises what `written` does."""
    with written(output, content, over):
        pass


def _beside(output: Path, place: Path, content: bytes, over: tuple[bytes, ...]) -> Path:
    """The content in a file of its own, in the folder where it is wanted."""
    part = None
    try:
        _may_go(output, place, over)
        handle, name = tempfile.mkstemp(prefix=f".{place.name[:100]}-", suffix=".part", dir=place.parent)
        part = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        part.chmod(0o666 & ~_umask())
    except OSError as error:
        if part is not None:
            part.unlink(missing_ok=True)
        raise CannotWrite(f"{output} cannot be written: {reason(error, place)}") from error
    return part


def _may_go(output: Path, place: Path, over: tuple[bytes, ...]) -> None:
    if not place.exists():
        return
    if not place.is_file():
        what = "a folder" if place.is_dir() else "something other than a file"
        raise CannotWrite(f"{output} is {what}", next_step="Nothing was written; name a file")
    with place.open("rb") as file:
        head = file.read(max(map(len, (*_OURS, *over))))
    if head and not head.startswith((*_OURS, *over)):
        raise CannotWrite(
            f"{output} is there already and holds something other than an earlier PDF or picture",
            next_step="Nothing was written; name another file",
        )


def reason(error: OSError, place: Path) -> str:
    """Why a file could not be written at its place, without the name of the file beside it."""
    return f"no folder {place.parent}" if not place.parent.is_dir() else error.strerror or str(error)


def _umask() -> int:
    held = os.umask(0o022)
    os.umask(held)
    return held
