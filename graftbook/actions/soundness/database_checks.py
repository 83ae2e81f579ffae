"""Whether the database under the book is whole: its own check, its version, its tables, and keys that point somewhere."""

from __future__ import annotations

from collections.abc import Iterator

from graftbook.actions.soundness.record import Finding, Record
from graftbook.book import soundness_queries
from graftbook.book.versions import HEAD

LAST_COPY = "Go back to the newest copy of the book that is sound, and record what came after it again"


def whole(record: Record) -> Iterator[Finding]:
    """What SQLite's check of the file, or PostgreSQL's list of constraints, finds."""
    for fault in soundness_queries.database_faults(record.session):
        yield Finding((), "a database that is whole", fault, LAST_COPY)


def one_version(record: Record) -> Iterator[Finding]:
    """The book holds one version, that of this program."""
    held = soundness_queries.versions_held(record.session)
    if held != [HEAD]:
        yield Finding((), f"one version, {HEAD}", ", ".join(held) or "none", LAST_COPY)


def tables(record: Record) -> Iterator[Finding]:
    """Every table and column of the record is there."""
    for name in soundness_queries.missing_columns(record.session):
        yield Finding((), f"{name} in the database", "that it is missing", LAST_COPY)


def rules(record: Record) -> Iterator[Finding]:
    """The database holds every rule of the record, so that it cannot be broken past the program."""
    for name in soundness_queries.missing_constraints(record.session):
        yield Finding((), f"the rule {name} in the database", "that it is missing", LAST_COPY)


def links(record: Record) -> Iterator[Finding]:
    """Every row points to rows that are there."""
    for row in soundness_queries.astray(record.session):
        things = {"plant": record.plants, "bundle": record.bundles, "graft": record.grafts}.get(row.table_name, {})
        codes = (things[row.row_id].code,) if row.row_id in things else ()
        what = f"{codes[0] if codes else f'{row.table_name} {row.row_id}'}, {row.column}"
        yield Finding(codes, f"{what} to point to a {row.target} that is there", f"{row.target} {row.target_id}, which is not",
                      LAST_COPY)  # fmt: skip
