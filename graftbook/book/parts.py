"""Names of files and folders that are not whole yet, and what killed programs left of them.

Whatever is written stands under such a name, beside its place, until it is whole. A program that is killed leaves it
there; the next writing of the same thing takes it away once nobody can be at work on it any more.
"""

from __future__ import annotations

import shutil
import time
from contextlib import suppress
from pathlib import Path

PART = ".graftbook-part"
"""How the name of a file or a folder ends that is not whole yet."""
STALE_SECONDS = 3600
"""What was touched last so long ago is written by nobody any more."""


def prefix(place: Path) -> str:
    """How the names of what is to stand at a place begin while it is not whole."""
    return f".{place.name[:60]}-"


def sweep(place: Path) -> None:
    """Take away what earlier writings of the same file or folder left behind when they were killed."""
    for left in leftovers(place.parent, prefix(place)):
        with suppress(OSError):
            shutil.rmtree(left) if left.is_dir() else left.unlink()


def leftovers(folder: Path, start: str = ".") -> list[Path]:
    """What killed programs left half written in a folder: names that begin so, not touched for an hour. A folder that cannot be
    read gives none."""
    now = time.time()
    try:
        found = sorted(path for path in folder.iterdir() if path.name.startswith(start) and path.name.endswith(PART))
        return [path for path in found if now - _touched(path) > STALE_SECONDS]
    except OSError:
        return []


def _touched(path: Path) -> float:
    inside = path.iterdir() if path.is_dir() and not path.is_symlink() else ()
    return max(each.lstat().st_mtime for each in (path, *inside))
