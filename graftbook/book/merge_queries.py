"""What a merge asks of a book besides its rows: which numbers are given, and to what."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, NamedTuple

from sqlalchemy import func, insert, select
from sqlmodel import Session

from graftbook.book.asking import CHUNK, ids_by, rows
from graftbook.book.find import TABLES
from graftbook.book.merged import MergedChange, MergedEntry
from graftbook.book.plans import Plan, PlanRow
from graftbook.book.story import KnownEntry
from graftbook.book.tables import BY_NAME, Change
from graftbook.book.tags import ReservedCode
from graftbook.book.unit import Unit


class CodeBlock(NamedTuple):
    """The numbers of grafts' codes that a plan gave out: its uid, the first, and how many."""

    uid: str
    first: int
    many: int


def numbers(session: Session, table_name: str) -> dict[str, int]:
    """The number of every row of a table, by uid."""
    table: Any = BY_NAME[table_name]
    return dict(map(tuple, rows(session, select(table.uid, table.number))))


def gone_numbers(session: Session, letter: str) -> dict[int, str]:
    """Numbers of plants, bundles or grafts that were taken away, with the uid each had last: no other thing gets them."""
    query = select(Change.row_uid, Change.before).where(
        Change.table_name == TABLES[letter].__tablename__, Change.operation == "delete"
    )
    return {before["number"]: uid for uid, before in rows(session, query) if before and "number" in before}


def reserved(session: Session) -> dict[int, str]:
    """Numbers of grafts' codes given out on blank tags, with the uid of the row that says so."""
    return {int(code[1:]): uid for code, uid in rows(session, select(ReservedCode.code, ReservedCode.uid))}


def blocks(session: Session) -> list[CodeBlock]:
    """The codes that plans gave out."""
    query = (
        select(Plan.uid, Plan.first_graft, func.max(PlanRow.line)).join(PlanRow, PlanRow.plan_id == Plan.id)
        .where(Plan.first_graft.is_not(None)).group_by(Plan.uid, Plan.first_graft).order_by(Plan.first_graft)
    )  # fmt: skip
    return [CodeBlock(*row) for row in rows(session, query)]


def codes(session: Session, uids: Collection[str]) -> dict[str, str]:
    """The codes of those of these rows that have one, by uid."""
    return {
        uid: code
        for table in TABLES.values()
        for uid, code in rows(session, select(table.uid, table.code), table.uid, uids)
    }


def keep_entries(unit: Unit, entries: list[tuple[KnownEntry, list[dict[str, Any]]]]) -> None:
    """Keep entries of another book, each with its changes, under the merge that is being written."""
    heads = [
        {"merge_id": unit.entry.id, "uid": t.uid, "at": t.at, "who": t.who, "verb": t.verb, "summary": t.summary,
         "undone": t.undone}
        for t, _changes in entries
    ]  # fmt: skip
    unit.session.execute(insert(MergedEntry), heads)
    mine = select(MergedEntry.uid, MergedEntry.id).where(MergedEntry.merge_id == unit.entry.id)
    ids = dict(map(tuple, rows(unit.session, mine, MergedEntry.uid, [t.uid for t, _changes in entries])))
    changes = [{"merged_entry_id": ids[t.uid], **change} for t, held in entries for change in held]
    for start in range(0, len(changes), CHUNK):
        unit.session.execute(insert(MergedChange), changes[start : start + CHUNK])


def ids_of(session: Session, table_name: str, uids: Collection[str]) -> dict[str, int]:
    """The ids of rows by their uids."""
    return ids_by(session, BY_NAME[table_name], "uid", uids)
