"""What killed or repeated work left on the disk beside a book: half-written files and folders, and copies made by migrating."""

from __future__ import annotations

from pathlib import Path

from graftbook.actions.desk.results import first_of
from graftbook.book import parts, versions
from graftbook.book.engine import is_url


def notes(location: str) -> tuple[str, ...]:
    """A sentence for each kind of leftover in the book's folder and in the one we are in; none where there is nothing."""
    folders, copies = [Path.cwd()], []
    if not is_url(location):
        path = Path(location).expanduser().absolute()
        folders.append(path.parent)
        copies = versions.copies(path)
    left = list(dict.fromkeys(found for folder in dict.fromkeys(folders) for found in parts.leftovers(folder)))
    said = []
    if left:
        said.append(
            f"Left half written by work that was stopped, and safe to delete: {first_of(tuple(map(str, left)))}."
        )
    if len(copies) > 1:
        said.append(
            f"Copies made by migrating; keep the ones you may want to go back to: {first_of(tuple(map(str, copies)))}."
        )
    return tuple(said)
