"""due: what the grafts want now, to be walked place by place, and the wood to use first.

The rules are those of the season; this file lays them on every living graft of the book. Grafts alike in everything the
rules look at are asked once, which is what makes tens of thousands of them quick.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from sqlmodel import Session

from graftbook.actions import naming, round_warmth
from graftbook.actions import round_sheet as sheet
from graftbook.actions.desk import Desk
from graftbook.actions.judging import judge_days
from graftbook.actions.results import Report
from graftbook.actions.round_warmth import GraftsWarm
from graftbook.actions.standing import Standing
from graftbook.actions.wood_first import WoodDue, wood_to_use_first
from graftbook.book import find, round_queries
from graftbook.book.round_queries import Last, Line
from graftbook.season.aftercare import FORGOTTEN_WEEKS, Due, GraftFacts, Round
from graftbook.season.care_facts import ENDED
from graftbook.trade import aftercare

# Past this age nothing is asked of a graft any more: its first growing season and the one after are over.
OLDEST_DAYS = 120 + 366 + 366


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
    rules = (*aftercare.rules(), *own)
    oldest = day - timedelta(days=OLDEST_DAYS)
    looks = round_queries.last_looks(session, oldest, day)
    cares = round_queries.cares(session, oldest, day)
    kinds = round_queries.kinds(session)
    lines = round_queries.lines(session, oldest, day)
    warm = round_warmth.of(session, rules, lines, kinds, day)
    asked = _Asked(
        Round(rules, day, desk.settings.hemisphere, 7 * weeks, forgotten, warm.asked if warm else None), warm
    )
    stands, unknown = Standing(session), (None, None, None)
    for line in lines:
        last = looks.get(line.id)
        if last is not None and (last.state in ENDED or last.state == "not-found"):
            continue
        taxon, cultivar, wood = kinds.get(line.bundle_id, unknown) if line.bundle_id is not None else unknown
        items = asked.of(line, last, cares.get(line.id, ()), taxon, wood)
        where = stands.of(line, day) if items else None
        if where is not None:
            for item in items:
                yield sheet.DueRow(
                    where.place, where.row, where.order, line.code, cultivar, where.host, item.what, item.since, item.until,
                    item.why, item.basis, item.driven_by,
                )  # fmt: skip


class _Asked:
    """A round that asks grafts alike only once."""

    def __init__(self, walk: Round, warm: GraftsWarm | None) -> None:
        self._walk, self._warm = walk, warm
        self._answers: dict[tuple[object, ...], tuple[Due, ...]] = {}

    def of(
        self, line: Line, last: Last | None, cares: tuple[tuple[date, str], ...], taxon: str | None, wood: str | None
    ) -> tuple[Due, ...]:
        key: tuple[object, ...] = (
            line.method,
            line.unit,
            line.made_on,
            line.tie,
            line.tied_on,
            line.bench,
            taxon,
            wood,
            last,
            cares,
        )
        if self._warm is not None:
            key = (*key, self._warm.turn_to(line.id))
        found = self._answers.get(key)
        if found is None:
            found = self._answers[key] = self._walk.due(_facts(line, last, cares, taxon, wood))
        return found


def _facts(
    line: Line, last: Last | None, cares: tuple[tuple[date, str], ...], taxon: str | None, wood: str | None
) -> GraftFacts:
    state, seen_on, forced = (None, None, None) if last is None else (last.state, last.on, last.forced_on)
    return GraftFacts(
        line.code, line.method, line.unit, line.made_on, line.tie, line.tied_on, state, seen_on, seen_on, cares, line.place,
        line.bench, taxon, forced, _took(line, last), wood, () if last is None else last.shoots,
    )  # fmt: skip


def _took(line: Line, last: Last | None) -> bool:
    """Whether the take is decided: growing on two days, or at the judging age, for a forced bud from its forcing."""
    if last is None or last.first_growing is None or last.last_growing is None:
        return False
    start = last.forced_on if last.forced_on is not None else line.made_on
    return last.first_growing < last.last_growing or last.last_growing >= start + timedelta(
        days=judge_days(line.method)
    )


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
