"""Requests for wood against the sticks there are, first come first served."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, Usual, code_list, count
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import have, health_flow, lineages, tracing
from graftbook.actions.names.lineages import Lineage
from graftbook.book import asking
from graftbook.book.balances import balances
from graftbook.book.lineage import WoodRequest
from graftbook.errors import NotFound, Refused, UsageProblem


@dataclass(frozen=True)
class RequestRow:
    """One request. Counts are of sticks: `asked`, `sent`, still `open`, `free` for it once earlier requests are served (wood
    that is surely the cultivar), `doubtful` that may be it. `rights` are your own notes that hold today."""

    number: int
    on: date
    for_: str
    cultivar: str
    asked: int
    sent: int
    open: int
    free: int
    doubtful: int
    wood: str
    sent_on: tuple[date, ...]
    closed_on: date | None
    rights: str
    note: str | None
    shown: ClassVar = ("number", "on", "for_", "cultivar", "asked", "sent", "free", "doubtful", "wood", "your_rights")
    headings: ClassVar = {"for_": "for", "doubtful": "in doubt", "your_rights": "rights"}

    @property
    def your_rights(self) -> str:
        """Whether a note on rights holds, in a word; the notes under the list say what it says."""
        return "holds" if self.rights else ""


def ask(
    desk: Desk, cultivar: str, receiver: str, sticks: int, on: str | None = None, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record one request, and say what there is of it and your notes on rights. Raises UsageProblem for an empty name."""
    day, person = desk.day(on), desk.person(who)
    if not naming.key(cultivar) or not receiver.strip():
        raise UsageProblem("a cultivar and who asks for it", repr(cultivar if receiver.strip() else receiver))
    with desk.book.write("wood request", person) as unit:
        name = naming.Cultivars.of(unit.session).name(cultivar)
        number = asking.next_number(unit.session, WoodRequest)
        unit.add(
            WoodRequest, number=number, on=day, receiver=receiver, cultivar=name.kept, typed=name.typed, sticks=sticks, who=person,
            note=blank(note),
        )  # fmt: skip
        row = next(row for row in _rows(unit.session, day) if row.number == number)
        near = (row.cultivar for row in have.rows_like(unit.session, name.kept, day))
        rights = health_flow.rights_on(unit.session, (name.kept, *near), day)
        asked = f"{receiver.strip()} asked for {count(sticks, 'stick')} of '{name.kept}'"
        entry = unit.commit(f"Request {number}: {asked}")
    there = f"{count(row.free, 'stick')} free ({row.wood})" if row.free else "No stick free"
    doubt = f", {count(row.doubtful, 'stick')} that may be it" if row.doubtful else ""
    notes = [f"{there}{doubt}.", *rights]
    if name.note is not None:
        notes.append(name.note)
    return Recorded(f"{entry.summary}.", entry.id, (), tuple(notes))


def list_requests(desk: Desk, every: bool = False) -> Report:
    """The open requests, oldest first; `every` adds those filled or closed."""
    with desk.book.read() as session:
        rows = tuple(row for row in _rows(session, desk.today) if every or row.open)
    notes = (Usual("Free: what is left once earlier requests are served."),) if rows else ()
    if any(row.rights for row in rows):
        held = dict.fromkeys(row.rights for row in rows if row.rights)
        notes = (*notes, *held, "Rights are your own notes, and no legal advice.")
    return Report(RequestRow, rows, notes, {"as_of": desk.today}, title="Requests for wood, first come first served")


def close(desk: Desk, number: int, on: str | None = None, who: str | None = None, note: str | None = None) -> Recorded:
    """Close a request. Raises NotFound, Refused where it is closed or the day is before it."""
    day = desk.day(on)
    with desk.book.write("wood close", desk.person(who)) as unit:
        row = next((row for row in asking.things(unit.session, WoodRequest) if row.number == number), None)
        if row is None:
            raise NotFound(f"no request {number}", "", "List them with: graftbook wood requests")
        if row.closed_on is not None:
            raise Refused(f"request {number} was closed on {row.closed_on.isoformat()}")
        if day < row.on:
            raise Refused(f"request {number} is of {row.on.isoformat()}; it cannot be closed on {day.isoformat()}")
        unit.amend(row, closed_on=day, **({} if note is None else {"note": blank(note)}))
        entry = unit.commit(f"Closed request {number} of {row.receiver} for '{row.cultivar}'")
    return Recorded(f"{entry.summary}.", entry.id)


def _rows(session: Session, on: date) -> list[RequestRow]:
    asked = asking.things(session, WoodRequest)
    if not asked:
        return []
    book = lineages.of_wood(session)
    stock = _sticks(session, book)
    gifts = _gifts(session, book)
    promised: dict[str, int] = {}
    return [_row(session, book, row, stock, gifts, promised, on) for row in asked]


def _sticks(session: Session, book: Lineage) -> dict[str, tuple[int, int, list[str]]]:
    """Of each cultivar, by its key: sticks surely it, sticks that may be it, and the bundles."""
    found: dict[str, tuple[int, int, list[str]]] = {}
    left = balances(session)
    for number, thing in book.bundle.items():
        sticks = left[number].left if number in left else 0
        identity = book.identity(thing)
        for name in identity.names if sticks > 0 else ():
            sure, doubt, codes = found.setdefault(naming.key(name), (0, 0, []))
            found[naming.key(name)] = (
                (sure + sticks, doubt, [*codes, book.code(thing)])
                if identity.certain
                else (sure, doubt + sticks, codes)
            )
    return found


def _gifts(session: Session, book: Lineage) -> list[list[Any]]:
    """Every gift that may serve a request: the receiver's names, the cultivars it may be, the day, sticks not yet counted."""
    return [
        [
            tracing.person_names(session, gift.receiver),
            set(map(naming.key, book.identity(thing).names)),
            gift.on,
            gift.sticks,
        ]
        for gift, _, thing in book.given()
        if gift.receiver
    ]


def _row(
    session: Session, book: Lineage, row: WoodRequest, stock: Mapping[str, tuple[int, int, list[str]]], gifts: list[list[Any]],
    promised: dict[str, int], on: date,
) -> RequestRow:  # fmt: skip
    key = naming.key(book.names.one(row.cultivar))
    people = tracing.person_names(session, row.receiver)
    sent, days = 0, []
    for gift in gifts:
        if gift[3] and gift[0] & people and key in gift[1] and gift[2] >= row.on and sent < row.sticks:
            taken = min(gift[3], row.sticks - sent)
            gift[3] -= taken
            sent += taken
            days.append(gift[2])
    still = 0 if row.closed_on is not None else row.sticks - sent
    sure, doubt, codes = stock.get(key, (0, 0, []))
    free = max(sure - promised.get(key, 0), 0)
    promised[key] = promised.get(key, 0) + still
    rights = " ".join(health_flow.rights_on(session, (row.cultivar,), on))
    return RequestRow(
        row.number, row.on, row.receiver, book.names.one(row.cultivar), row.sticks, sent, still, free, doubt,
        code_list(tuple(codes), 3), tuple(dict.fromkeys(days)), row.closed_on, rights, row.note,
    )  # fmt: skip
