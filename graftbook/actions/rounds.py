"""due: what the grafts want now, to be walked place by place, and the wood to use first.

The rules are those of the season; this file lays them on every living graft of the book. Grafts alike in everything the
rules look at are asked once, which is what makes tens of thousands of them quick.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, NamedTuple

from sqlmodel import Session

from graftbook.actions import naming
from graftbook.actions import round_sheet as sheet
from graftbook.actions.desk import Desk
from graftbook.actions.judging import judge_days
from graftbook.actions.results import Report
from graftbook.actions.wood_first import WoodDue, wood_to_use_first
from graftbook.book import find, round_queries
from graftbook.book.round_queries import Foot, Last, Line
from graftbook.season.aftercare import FORGOTTEN_WEEKS, Due, GraftFacts, Round
from graftbook.season.care_facts import ENDED
from graftbook.trade import aftercare

# Past this age nothing is asked of a graft any more: its first growing season and the one after are over.
OLDEST_DAYS = 120 + 366 + 366


class _Where(NamedTuple):
    """Where a graft stands: the place it is walked to, its plant's row and order, and the code of its host."""

    place: str | None
    row: str | None
    order: int | None
    host: str


@dataclass(frozen=True)
class Gathered:
    """Everything due on a day, in walking order, and sentences on what is not among it."""

    day: date
    rows: tuple[sheet.DueRow, ...]
    notes: tuple[str, ...]


def due(
    desk: Desk, *, on: str | None = None, weeks: int = 0, forgotten: int = FORGOTTEN_WEEKS,
    place: str | None = None, brief: bool = False,
    limit: int | None = None,
) -> Report:  # fmt: skip
    """What is due on a day, which may lie ahead, by place in walking order; living grafts only, and wood to use first.

    `weeks` looks so many weeks ahead of that day; `forgotten` weeks without a look put a graft on the list; `place` narrows
    to one place under any spelling of it; `brief` puts together what wants the same; `limit` None gives every row.
    """
    found = gather(desk, on=on, weeks=weeks, forgotten=forgotten, place=place)
    rows = found.rows
    shown: Sequence[Any] = sheet.together(rows) if brief else rows
    cut = shown[:limit]
    more = (f"{len(shown) - len(cut):,} more rows: --place, --brief or --limit.",) if len(cut) < len(shown) else ()
    facts = {"as_of": found.day, "due": len(rows)}
    title = f"Due on {found.day.isoformat()}: {sheet.summed(rows)}"
    notes = (*found.notes, *more, *sheet.whys(rows))
    return Report(sheet.BriefRow if brief else sheet.DueRow, tuple(cut), notes, facts, title, "place")


def gather(
    desk: Desk, *, on: str | None = None, weeks: int = 0, forgotten: int = FORGOTTEN_WEEKS, place: str | None = None
) -> Gathered:
    """What is due, as `due` says it, before it is put in any form."""
    day = desk.day(on, future=True)
    with desk.book.read() as session:
        wood = wood_to_use_first(session, day)
        rows = [*_graft_rows(session, desk, day, weeks, forgotten), *(_wood_row(each) for each in wood.urgent)]
    notes = sheet.past_words(wood.past) if place is None else ()
    if place is not None:
        held = {row.place for row in rows if row.place is not None}
        rows = [row for row in rows if row.place is not None and naming.key(row.place) == naming.key(place)]
        notes = sheet.no_such(place, held) if not rows else ()
    return Gathered(day, tuple(sheet.in_order(rows)), notes)


def _graft_rows(session: Session, desk: Desk, day: date, weeks: int, forgotten: int) -> Iterator[sheet.DueRow]:
    own = tuple(aftercare.from_row(row) for row in find.own_rows(session, "aftercare"))
    asked = _Asked(Round((*aftercare.rules(), *own), day, desk.settings.hemisphere, 7 * weeks, forgotten))
    oldest = day - timedelta(days=OLDEST_DAYS)
    looks = round_queries.last_looks(session, oldest, day)
    cares = round_queries.cares(session, oldest, day)
    kinds = round_queries.kinds(session)
    stands = _Standing(session)
    for line in round_queries.lines(session, oldest, day):
        last = looks.get(line.id)
        if last is not None and (last.state in ENDED or last.state == "not-found"):
            continue
        taxon, cultivar = kinds.get(line.bundle_id, (None, None)) if line.bundle_id is not None else (None, None)
        items = asked.of(line, last, cares.get(line.id, ()), taxon)
        where = stands.of(line, day) if items else None
        if where is not None:
            for item in items:
                yield sheet.DueRow(
                    where.place, where.row, where.order, line.code, cultivar, where.host, item.what, item.since, item.until,
                    item.why, item.basis,
                )  # fmt: skip


class _Asked:
    """A round that asks grafts alike only once."""

    def __init__(self, walk: Round) -> None:
        self._walk = walk
        self._answers: dict[tuple[object, ...], tuple[Due, ...]] = {}

    def of(
        self, line: Line, last: Last | None, cares: tuple[tuple[date, str], ...], taxon: str | None
    ) -> tuple[Due, ...]:
        key = (line.method, line.unit, line.made_on, line.tie, line.tied_on, line.bench, taxon, last, cares)
        found = self._answers.get(key)
        if found is None:
            found = self._answers[key] = self._walk.due(_facts(line, last, cares, taxon))
        return found


def _facts(line: Line, last: Last | None, cares: tuple[tuple[date, str], ...], taxon: str | None) -> GraftFacts:
    state, seen_on, forced = (None, None, None) if last is None else (last.state, last.on, last.forced_on)
    return GraftFacts(
        line.code, line.method, line.unit, line.made_on, line.tie, line.tied_on, state, seen_on, seen_on, cares, line.place,
        line.bench, taxon, forced, _took(line, last),
    )  # fmt: skip


def _took(line: Line, last: Last | None) -> bool:
    """Whether the take is decided: growing on two days, or at the judging age, for a forced bud from its forcing."""
    if last is None or last.first_growing is None or last.last_growing is None:
        return False
    start = last.forced_on if last.forced_on is not None else line.made_on
    return last.first_growing < last.last_growing or last.last_growing >= start + timedelta(
        days=judge_days(line.method)
    )


class _Standing:
    """Where grafts stand, looked up once; grafts on grafts stand where the plant at the foot does."""

    def __init__(self, session: Session) -> None:
        self._hosts = round_queries.hosts(session)
        self._feet = round_queries.feet(session)

    def of(self, line: Line, day: date) -> _Where | None:
        """Where a graft stands; None when the plant under it is dead by that day."""
        plant_id, code = line.host_plant_id, None
        graft_id = line.host_graft_id
        while graft_id is not None:
            host, plant_id, graft_id = self._hosts[graft_id]
            code = code if code is not None else host
        foot: Foot = self._feet[plant_id]
        if foot.died_on is not None and foot.died_on <= day:
            return None
        here = line.place if line.place is not None else foot.place
        return _Where(here, foot.row, foot.order, code if code is not None else foot.code)


def _wood_row(wood: WoodDue) -> sheet.DueRow:
    return sheet.DueRow(
        wood.store,
        None,
        None,
        wood.code,
        wood.cultivar,
        None,
        "use first",
        wood.since,
        wood.until,
        wood.why,
        wood.basis,
    )
