"""Files put on the disk whole or not at all, and never over something else, least of all over the book."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from graftbook.errors import CannotWrite

_OURS = (b"%PDF-", b"\x89PNG", b"<!-- Graftbook -->")


@contextmanager
def written(output: Path, content: bytes) -> Iterator[None]:
    """The file beside its place while the block runs, and in its place when the block ends well; otherwise what was there
    before stays, and nothing is left beside it.

    Only an empty file, a PDF or a PNG is written over. Raises CannotWrite.
    """
    place = Path(os.path.realpath(output))
    part = _beside(output, place, content)
    try:
        yield
        try:
            part.replace(place)
        except OSError as error:
            raise CannotWrite(f"a file that can be written at {output}", str(error)) from error
    finally:
        part.unlink(missing_ok=True)


def write_file(output: Path, content: bytes) -> None:
    """The whole file or none of it. Raises as `written`."""
    with written(output, content):
        pass


def _beside(output: Path, place: Path, content: bytes) -> Path:
    """The content in a file of its own, in the folder where it is wanted."""
    part = None
    try:
        _may_go(output, place)
        handle, name = tempfile.mkstemp(prefix=f".{place.name[:100]}-", suffix=".part", dir=place.parent)
        part = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        part.chmod(0o666 & ~_umask())
    except OSError as error:
        if part is not None:
            part.unlink(missing_ok=True)
        raise CannotWrite(f"a file that can be written at {output}", _reason(error, place)) from error
    return part


def _may_go(output: Path, place: Path) -> None:
    if not place.exists():
        return
    if not place.is_file():
        raise CannotWrite("the name of a file to write", f"{output}, which is no file", "Name another one")
    with place.open("rb") as file:
        head = file.read(max(map(len, _OURS)))
    if head and not head.startswith(_OURS):
        raise CannotWrite(
            "a new name, or an earlier PDF or picture to write over", f"{output}, which holds something else",
            "Nothing was written; name another file",
        )  # fmt: skip


def _reason(error: OSError, place: Path) -> str:
    return f"no folder {place.parent}" if not place.parent.is_dir() else error.strerror or str(error)


def _umask() -> int:
    held = os.umask(0o022)
    os.umask(held)
    return held
