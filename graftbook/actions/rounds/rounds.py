"""due: what the grafts want now, to be walked place by place, and the wood to use first.

The rules are those of the season; this file lays them on every living graft of the book. Grafts alike in everything the
rules look at are asked once, which is what makes tens of thousands of them quick.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import sorting
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.names import lineages, shown_names
from graftbook.actions.names.shown_names import ShownNames
from graftbook.actions.outcome import alive, standing_place
from graftbook.actions.outcome.endpoints import has_taken, judge_days
from graftbook.actions.rounds import round_jobs, round_sheet
from graftbook.actions.rounds.round_sheet import BriefRow, DueRow
from graftbook.actions.weather.graft_warmth import GraftWarmth
from graftbook.actions.weather.subject_places import PlaceStay
from graftbook.actions.wood.wood_first import WoodDue, wood_to_use_first
from graftbook.book import find, round_queries, weather_queries
from graftbook.book.round_queries import Grown, RoundGraft
from graftbook.season.aftercare import FORGOTTEN_WEEKS, CareRound
from graftbook.season.care_facts import Due, GraftFacts, WarmthReached
from graftbook.trade import aftercare
from graftbook.trade.aftercare import Rule

# Past this age nothing is asked of a graft any more: its first growing season and the one after are over.
OLDEST_DAYS = 120 + 366 + 366


# A living graft that wants something, where it stands, and what it wants.
Wanting = tuple[RoundGraft, Any, tuple[Due, ...]]


@dataclass(frozen=True)
class Gathered:
    """Everything due on a day, in walking order, and sentences on what is not among it."""

    day: date
    rows: tuple[DueRow, ...]
    notes: tuple[str, ...]
    buds: frozenset[str] = frozenset()
    """The codes of the grafts among it that are buds."""


def due(
    desk: Desk, *, on: str | None = None, weeks: int = 0, forgotten: int = FORGOTTEN_WEEKS,
    place: str | None = None, brief: bool = False, limit: int | None = None, job: str | None = None,
) -> Report:  # fmt: skip
    """What is due on a day, which may lie ahead, by place in walking order; living grafts only, and wood to use first.

    `weeks` looks so many weeks ahead of that day; `forgotten` weeks without a look put a graft on the list; `place` narrows
    to one place under any spelling of it; `brief` puts together what wants the same; `limit` None gives every row; `job` such as
    `release tie` is asked for alone.
    """
    found = gather(desk, on=on, weeks=weeks, forgotten=forgotten, place=place, job=job)
    rows = found.rows
    shown: Sequence[Any] = round_sheet.together(rows) if brief else rows
    cut = shown[:limit]
    more = (f"{len(shown) - len(cut):,} more rows: --place, --brief or --limit.",) if len(cut) < len(shown) else ()
    facts = {"as_of": found.day, "due": len(rows)}
    title = f"Due on {found.day.isoformat()}: {round_sheet.summed(rows)}"
    notes = (*found.notes, *more, *round_sheet.whys(rows))
    return Report(BriefRow if brief else DueRow, tuple(cut), notes, facts, title, "place")


def gather(
    desk: Desk, *, on: str | None = None, weeks: int = 0, forgotten: int = FORGOTTEN_WEEKS, place: str | None = None,
    job: str | None = None,
) -> Gathered:  # fmt: skip
    """What is due, as `due` says it, before it is put in any form. Raises UsageProblem for a job there is not."""
    day = desk.day(on, future=True)
    with lineages.all_staying(), desk.book.read() as session:
        rules = _rules(session)
        wanted = round_jobs.job(job, rules) if job is not None else None
        urgent, past = wood_to_use_first(session, day)
        wanting = list(_wanting(session, desk, rules, day, weeks, forgotten))
        grafts = {line.id: line.bundle_id for line, _, _ in wanting}
        names = shown_names.of_ids(session, bundles=[each.line.id for each in urgent], grafts=grafts)
    rows = [*_graft_rows(wanting, names), *(_wood_row(each, names) for each in urgent)]
    notes = round_sheet.past_words(past) if place is None and wanted in (None, round_jobs.USE_FIRST) else ()
    if wanted is not None:
        rows = [row for row in rows if row.what == wanted]
    if place is not None:
        rows, notes = sorting.at_place(rows, place)
    buds = frozenset(line.code for line, _, _ in wanting if line.unit == "bud")
    return Gathered(day, tuple(round_sheet.in_order(rows)), notes, buds)


def _rules(session: Session) -> tuple[Rule, ...]:
    """The trade's rules and the grower's own."""
    return (*aftercare.rules(), *(aftercare.from_row(row) for row in find.own_rows(session, "aftercare")))


def _graft_rows(wanting: Iterable[Wanting], names: ShownNames) -> Iterator[DueRow]:
    for line, where, items in wanting:
        called = names.graft(line.id, line.bundle_id).cultivar
        for item in items:
            yield DueRow(
                where.place, where.row, where.order, line.code, called, where.host, item.what, item.since, item.until,
                item.why, item.basis, item.driven_by,
            )  # fmt: skip


def _wanting(
    session: Session, desk: Desk, rules: tuple[Rule, ...], day: date, weeks: int, forgotten: int
) -> Iterator[Wanting]:
    oldest = day - timedelta(days=OLDEST_DAYS)
    lines = round_queries.lines(session, oldest, day)
    held, grown = alive.made_since(session, day, lines, oldest), round_queries.grown(session, oldest, day)
    cares = round_queries.cares(session, oldest, day)
    kinds = round_queries.kinds(session)
    warm = of(session, rules, lines, kinds, day)
    asked = _Asked(
        CareRound(rules, day, desk.settings.hemisphere, 7 * weeks, forgotten, warm.asked if warm else None), warm
    )
    unknown, stages = (None, None, None), round_queries.stages(session, oldest, day)
    for line in lines:
        if held.end(line.id) is not None:
            continue
        taxon, _, wood = kinds.get(line.bundle_id, unknown) if line.bundle_id is not None else unknown
        look = held.looks.get(line.id)
        state, looked_on = (look.state, look.on) if look is not None else (None, None)
        of_stock = stages.get(line.host_plant_id or 0, ()) if line.unit == "bud" else ()
        seen = _Seen(state, looked_on, grown.get(line.id, _NEVER), of_stock)
        items = asked.of(line, seen, cares.get(line.id, ()), taxon, wood)
        where = standing_place.where(held, line) if items else None
        if where is not None:
            yield line, where, items


_NEVER = Grown(None, None, None)


class _Seen(NamedTuple):
    """What was seen of a graft: the state and day of the last look (None: not looked at), how it grew, and for a bud the
    growth stages noted of its stock."""

    state: str | None
    on: date | None
    grown: Grown
    of_stock: tuple[tuple[date, str], ...]


class _Asked:
    """A round that asks grafts alike only once."""

    def __init__(self, walk: CareRound, warm: GraftsWarm | None) -> None:
        self._walk, self._warm = walk, warm
        self._answers: dict[tuple[object, ...], tuple[Due, ...]] = {}

    def of(
        self, line: RoundGraft, seen: _Seen, cares: tuple[tuple[date, str], ...], taxon: str | None, wood: str | None
    ) -> tuple[Due, ...]:
        warm = self._warm.turn_to(line.id) if self._warm is not None else ()
        of_line = (line.method, line.unit, line.made_on, line.tie, line.tied_on, line.bench)
        key = (*of_line, taxon, wood, seen, cares, warm)
        found = self._answers.get(key)
        if found is None:
            found = self._answers[key] = self._walk.due(_facts(line, seen, cares, taxon, wood))
        return found


def _facts(
    line: RoundGraft, seen: _Seen, cares: tuple[tuple[date, str], ...], taxon: str | None, wood: str | None
) -> GraftFacts:
    grown = seen.grown
    return GraftFacts(
        line.code, line.method, line.unit, line.made_on, line.tie, line.tied_on, seen.state, seen.on, seen.on, cares, line.place,
        line.bench, taxon, grown.forced_on, _took(line, grown), wood, grown.shoots, seen.of_stock,
    )  # fmt: skip


def _took(line: RoundGraft, grown: Grown) -> bool:
    """Whether the take is decided: growing on two days, or at the judging age, for a forced bud from its forcing."""
    if grown.first_growing is None or grown.last_growing is None:
        return False
    start, age = grown.forced_on or line.made_on, timedelta(days=judge_days(line.method))
    return has_taken(grown.first_growing, grown.last_growing, start, age)


def _wood_row(wood: WoodDue, names: ShownNames) -> DueRow:
    line, called = wood.line, names.bundle(wood.line.id).cultivar
    return DueRow(
        line.store, None, None, line.code, called, None, "use first", wood.since, wood.until, wood.why, wood.basis
    )


Kinds = Mapping[int, tuple[str | None, str | None, str]]


class GraftsWarm:
    """The warmth of some grafts up to a day, asked for one graft at a time: first turned to, then asked."""

    def __init__(self, warmth: GraftWarmth, ids: frozenset[int]) -> None:
        self._warmth, self._ids = warmth, ids
        self._now: int | None = None

    def turn_to(self, graft_id: int) -> tuple[PlaceStay, ...]:
        """Turn to a graft; where it stood since it was made, empty for one whose warmth nobody asks for."""
        self._now = graft_id if graft_id in self._ids else None
        return self._warmth.stays(graft_id) if self._now is not None else ()

    def asked(self, graft: GraftFacts, base_c: float, degree_days: float) -> WarmthReached | None:
        """Whether the graft turned to has had so much; None where days without a temperature leave it open."""
        if self._now is None:
            return None
        reached = self._warmth.reached(self._now, base_c, degree_days)
        return None if reached.on is None and reached.missing else WarmthReached(reached.on)


def of(
    session: Session, rules: Iterable[Rule], lines: Sequence[RoundGraft], kinds: Kinds, day: date
) -> GraftsWarm | None:
    """The warmth of the grafts that rules which go by warmth may speak of; None in a book without weather, or without such
    rules or grafts."""
    taxa = tuple(
        rule.taxon for rule in rules if rule.warmth_from is not None and (rule.is_default or rule.basis == "own")
    )
    if not taxa or not (weather_queries.place_weather(session) or weather_queries.stations(session)):
        return None
    ids = [line.id for line in lines if _of_kind(line, kinds, taxa)]
    return GraftsWarm(GraftWarmth.of(session, ids, day), frozenset(ids)) if ids else None


def _of_kind(line: RoundGraft, kinds: Kinds, taxa: tuple[str, ...]) -> bool:
    taxon = kinds.get(line.bundle_id, (None, None, ""))[0] if line.bundle_id is not None else None
    return any((taxon or "").startswith(kind) for kind in taxa)
