"""What killed or repeated work left on the disk beside a book: half-written files and folders, and copies made by themselves."""

from __future__ import annotations

from pathlib import Path

from graftbook.actions.desk.copied_before import folder_of
from graftbook.actions.desk.results import first_of
from graftbook.book import kept_before, parts


def notes(location: str) -> tuple[str, ...]:
    """A sentence for each kind of leftover in the book's folder and in the one we are in; none where there is nothing."""
    kept = folder_of(location)
    folders, copies = [Path.cwd(), kept], kept_before.copies(location, kept)
    left = list(dict.fromkeys(found for folder in dict.fromkeys(folders) for found in parts.leftovers(folder)))
    said = []
    if left:
        said.append(
            f"Left half written by work that was stopped, and safe to delete: {first_of(tuple(map(str, left)))}."
        )
    if len(copies) > 1:
        said.append(
            f"Copies made by themselves; keep those you may want to go back to: {first_of(tuple(map(str, copies)))}."
        )
    return tuple(said)
