"""A copy of the book before much of it changes, and the sentence that says where it is."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from graftbook.book import kept_before
from graftbook.book.engine import is_url
from graftbook.errors import CannotWrite


def copied(location: str, what: str, now: datetime) -> str:
    """Copy the book before `what` (a version to migrate to, restore, import or undo): where that is, as a sentence.

    Raises CannotWrite where no copy could be made; then what was to come after must not come.
    """
    return f"The book as it was is kept at {kept_before.before(location, what, now, _made(location))}."


def copied_if_many(location: str, what: str, now: datetime, rows: int) -> tuple[str, ...]:
    """The same where more than MANY rows are touched; no sentence where they are fewer."""
    return (copied(location, what, now),) if rows > kept_before.MANY else ()


def folder_of(location: str) -> Path:
    """Where the copies made by themselves of a book are: beside its file; for one on a server in the user's own data."""
    if not is_url(location):
        return Path(location).expanduser().resolve().parent
    from platformdirs import user_data_dir

    return Path(user_data_dir("graftbook", appauthor=False)) / "copies"


def _made(location: str) -> Path:
    folder = folder_of(location)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWrite(
            f"a copy in {folder} could not be made: {error.strerror}", "", "The book is as it was"
        ) from error
    return folder
