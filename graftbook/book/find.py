"""Finding things in the book by their codes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import islice
from typing import Any, TypeVar

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book import former
from graftbook.book._base import Row
from graftbook.book.asking import CHUNK, things, things_with
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.tables import CautionNote, CodedTable, Counter, OwnRow
from graftbook.book.wood import Bundle
from graftbook.codes import Code
from graftbook.errors import NotFound

Kind = TypeVar("Kind", bound=Row)

TABLES: dict[str, CodedTable] = {"P": Plant, "W": Bundle, "G": Graft}
NAMES = {"P": "plant", "W": "bundle", "G": "graft"}
_LISTS = {"P": "graftbook tree list, graftbook stock list", "W": "graftbook wood list", "G": "graftbook graft list"}


def many(session: Session, codes: Sequence[Code]) -> list[Any]:
    """The rows behind codes of any kinds, in the order given. Raises NotFound naming every code the book has not got."""
    found = by_code(session, codes)
    missing = [code.base for code in codes if code.base not in found]
    if missing:
        shown = ", ".join(missing[:10]) + (f" and {len(missing) - 10} more" if len(missing) > 10 else "")
        raise NotFound(
            f"no {NAMES[missing[0][0]]} with the code {shown}", "", f"List what there is with: {_LISTS[missing[0][0]]}"
        )
    return [found[code.base] for code in codes]


def known(session: Session, codes: Sequence[Code]) -> list[Any]:
    """The rows behind those of the codes that the book has, in the order given."""
    found = by_code(session, codes)
    return [found[code.base] for code in codes if code.base in found]


def by_code(session: Session, codes: Sequence[Code]) -> dict[str, Any]:
    """The same by the code asked: that which a thing has, else the one it had before it was merged or joined, which its tag may
    still bear."""
    found: dict[str, Any] = {}
    for letter, table in TABLES.items():
        wanted = [code.base for code in _reachable(session, table, [code for code in codes if code.letter == letter])]
        found.update((row.code, row) for row in things_with(session, table, table.code, wanted))
    lacking = {code.base for code in codes if code.base not in found} if len(codes) <= CHUNK else set()
    for letter, table in TABLES.items() if lacking else ():
        old = former.old_codes(session, [code for code in lacking if code[0] == letter])
        rows = {
            row.uid: row for row in things_with(session, table, table.uid, [each.thing_uid for each in old.values()])
        }
        found.update((code, rows[each.thing_uid]) for code, each in old.items() if each.thing_uid in rows)
    return found


def _reachable(session: Session, table: CodedTable, codes: Sequence[Code]) -> Sequence[Code]:
    """The codes, of a long run those not above the highest there is: a run may go far past what the book holds."""
    if len(codes) <= CHUNK:
        return codes
    highest = session.execute(select(func.max(table.number))).scalar() or 0
    return [code for code in codes if code.number <= highest]


def beginning(session: Session, start: str, most: int) -> list[str]:
    """Codes that begin so, as a person would write them, in their order: the newest `most` of each kind of thing."""
    found: list[str] = []
    for letter, table in TABLES.items():
        if letter.startswith(start[:1].upper()):
            query = select(table.number).where(table.code.startswith(start.upper(), autoescape=True))
            numbers = session.execute(query.order_by(table.number.desc()).limit(most)).scalars()
            found += [f"{letter}{number}" for number in sorted(numbers)]
    return found


def once_given(session: Session, codes: Sequence[Code], most: int = 20) -> list[Code]:
    """Those of the codes, the first `most` of them, that were given out and that the book has not got."""
    held = by_code(session, codes)
    last = {counter.letter: counter.last for counter in session.execute(select(Counter)).scalars()}
    gone = (code for code in codes if code.base not in held and code.number <= last.get(code.letter, 0))
    return list(islice(gone, most))


def one(session: Session, code: Code) -> Any:
    """The row behind one code. Raises NotFound."""
    return many(session, (code,))[0]


def by_id(session: Session, table: type[Row], ids: Iterable[int | None]) -> dict[int, Any]:
    """Rows by id, for as many ids as are given; None among them is passed over."""
    wanted = (number for number in ids if number is not None)
    return {row.id: row for row in things_with(session, table, table.id, wanted)}


def by_one_id(session: Session, table: type[Kind], number: int | None) -> Kind | None:
    """The row with an id; None where none is given or the book has not got it."""
    return by_id(session, table, [number]).get(number) if number is not None else None


def how_many(session: Session, table: type[Kind]) -> int:
    """How many rows a table has."""
    return int(session.execute(select(func.count()).select_from(table)).scalar() or 0)


def own_rows(session: Session, trade_table: str) -> tuple[dict[str, str], ...]:
    """The rows this grower added to one of the trade's tables."""
    return tuple(dict(row.fields) for row in things(session, OwnRow, OwnRow.trade_table == trade_table))


def caution_notes(session: Session, on: date | None = None) -> tuple[CautionNote, ...]:
    """Every health and rights note that holds on a day (None: all in the book), oldest first."""
    if on is None:
        return tuple(things(session, CautionNote))
    return tuple(
        things(session, CautionNote, CautionNote.on <= on, CautionNote.until.is_(None) | (CautionNote.until >= on))
    )
