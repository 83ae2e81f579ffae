"""tags worklist: tags to replace before they are lost, to be walked place by place.

What was last done or noted about a tag decides: missing or illegible on a round; printed on a medium past the time its
mark is known to last, or on one that lasts a year or less where the graft has taken; never printed on a graft that took.
A lasting tag put on, or a later printing, answers all of them. A lasting tag put on a plant counts for the grafts on it;
a tag noted missing on a plant is the plant's own. A stock under a graft goes by the tag of the graft.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import naming, sorting
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.desk.sorting import natural
from graftbook.actions.outcome import standing_place
from graftbook.actions.outcome.endpoints import took
from graftbook.actions.outcome.judging_frame import frame, judge_days
from graftbook.actions.outcome.standing_place import Spot
from graftbook.actions.tags.tag_media import medium_named
from graftbook.book import round_queries, seen, tag_queries
from graftbook.book.round_queries import Line
from graftbook.book.tag_queries import Mark, Rooted
from graftbook.errors import NotFound

DAYS_A_YEAR = 365.25

_ENDED = frozenset({"dead", "not-set", "not-found"})

_LATE_ORDER = 10**7

_DONE = "Print them: graftbook tags CODES --medium M -o FILE. Done: graftbook care CODES lasting-tag."


@dataclass(frozen=True)
class WorkRow:
    """One tag to replace. `printed_on` and `medium` are of the last run that holds its code, None where none does."""

    place: str | None
    row: str | None
    order: int | None
    code: str
    cultivar: str | None
    why: str
    medium: str | None
    printed_on: date | None
    shown: ClassVar = ("row", "order", "code", "cultivar", "why", "printed_on")
    headings: ClassVar = {"order": "no.", "printed_on": "printed"}


@dataclass(frozen=True)
class _Printed:
    """The last printing of a code: when, on what, how long such a mark lasts in years (None: not known)."""

    on: date
    uid: str
    medium: str
    life_years: float | None
    short_lived: bool


def worklist(desk: Desk, as_of: str | None = None, place: str | None = None, limit: int | None = None) -> Report:
    """Tags that want replacing as of a day, by place in walking order; living grafts and plants only.

    `place` as typed narrows to one place, `limit` to so many rows; None never narrows. The fact `tags` counts them all.
    """
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        walk = _Walk(session, desk.settings.hemisphere, day)
        rows = sorted((*walk.grafts(session), *walk.plants(session)), key=_walked)
    notes: tuple[str, ...] = (_DONE,)
    if place is not None:
        held = {row.place for row in rows if row.place is not None}
        rows = [row for row in rows if row.place is not None and naming.key(row.place) == naming.key(place)]
        notes = notes if rows else sorting.no_such(place, held)
    shown = rows[:limit]
    if len(shown) < len(rows):
        notes = (f"{len(rows) - len(shown):,} more tags: --place or --limit.", *notes)
    title = f"Tags to replace on {day.isoformat()}"
    facts = {"as_of": day, "tags": len(rows)}
    return Report(WorkRow, tuple(shown), notes if rows or place is not None else (), facts, title, "place")


def _walked(row: WorkRow) -> tuple[Any, ...]:
    order = row.order if row.order is not None else _LATE_ORDER
    return row.place is None, natural(row.place or ""), natural(row.row or ""), order, row.code[0], int(row.code[1:])


class _Walk:
    """What bears on every tag, looked up once."""

    def __init__(self, session: Session, hemisphere: str, day: date) -> None:
        self._hemisphere, self._day = hemisphere, day
        self._printed = _printed(session, day)
        self._marks = tag_queries.tag_marks(session, day)
        self._hosts = round_queries.hosts(session)
        self._feet = {plant.id: plant for plant in tag_queries.plants(session)}
        self._lines = round_queries.lines(session, date.min, day)

    def grafts(self, session: Session) -> Iterator[WorkRow]:
        """Rows of grafts that are alive and here."""
        looks, home = seen.looks(session, self._day), seen.gone_home(session, self._day)
        kinds = round_queries.kinds(session)
        for line in self._lines:
            told, foot = looks.get(line.id, ()), self._foot(line)
            if line.id in home or (told and told[-1][1] in _ENDED) or _dead(foot, self._day):
                continue
            marks = [*self._marks.get(f"G{line.id}", ()), *self._of_host(line)]
            grew = self._took(line, told)
            why = _reason(self._printed.get(line.code), marks, self._day, grew)
            if why is not None:
                cultivar = kinds.get(line.bundle_id, (None, None))[1] if line.bundle_id is not None else None
                yield self._row(line.code, cultivar, standing_place.of_graft(line.place, foot), why)

    def plants(self, session: Session) -> Iterator[WorkRow]:
        """Rows of plants that are alive and here and had a tag printed, or noted as missing or illegible."""
        home = tag_queries.plants_gone_home(session, self._day)
        above: dict[int, list[str]] = {}
        for line in self._lines:
            above.setdefault(self._foot(line).id, []).append(line.code)
        for plant in self._feet.values():
            grafted = above.get(plant.id, []) if plant.kind == "stock" else []
            printed = self._newest((plant.code, *grafted))
            marks = self._marks.get(f"P{plant.id}", [])
            if (printed is None and not marks) or plant.id in home or _dead(plant, self._day):
                continue
            why = _reason(printed, marks, self._day, False)
            if why is not None and not (grafted and why.startswith("past")):
                yield self._row(plant.code, plant.cultivar, Spot(plant.place, plant.row, plant.order), why)

    def _row(self, code: str, cultivar: str | None, spot: Spot, why: str) -> WorkRow:
        printed = self._printed.get(code)
        last = (printed.medium, printed.on) if printed is not None else (None, None)
        return WorkRow(*spot, code, cultivar, why, *last)

    def _newest(self, codes: Sequence[str]) -> _Printed | None:
        held = [self._printed[code] for code in codes if code in self._printed]
        return max(held, key=lambda printed: (printed.on, printed.uid), default=None)

    def _foot(self, line: Line) -> Rooted:
        plant_id, graft_id = line.host_plant_id, line.host_graft_id
        while graft_id is not None:
            _, plant_id, graft_id = self._hosts[graft_id]
        return self._feet[plant_id]

    def _of_host(self, line: Line) -> Iterator[Mark]:
        """Lasting tags put on the plant a graft was made on, since it was made."""
        for mark in self._marks.get(f"P{line.host_plant_id}", ()):
            if mark.what == "lasting-tag" and mark.on >= line.made_on:
                yield mark

    def _took(self, line: Line, told: Sequence[Any]) -> bool:
        return took(told, frame(line.made_on, judge_days(line.method), self._hemisphere, self._day)) == "yes"


def _dead(plant: Rooted, day: date) -> bool:
    return plant.died_on is not None and plant.died_on <= day


def _printed(session: Session, day: date) -> Mapping[str, _Printed]:
    media: dict[str, Any] = {}
    found: dict[str, _Printed] = {}
    for run in sorted(tag_queries.runs(session), key=lambda run: (run.on, run.uid)):
        if run.on > day:
            continue
        if run.medium not in media:
            media[run.medium] = _medium(session, run.medium)
        medium = media[run.medium]
        life, short = (medium.life_years, medium.short_lived) if medium is not None else (None, False)
        found.update(dict.fromkeys(run.codes, _Printed(run.on, run.uid, run.medium, life, short)))
    return found


def _medium(session: Session, name: str) -> Any:
    """The medium, or None where a medium of the grower's own is no longer in the book."""
    try:
        return medium_named(session, name)
    except NotFound:
        return None


def _reason(printed: _Printed | None, marks: Sequence[Mark], day: date, grew: bool) -> str | None:
    """Why a tag wants replacing, None where it does not; of two things on one day the one recorded later counts."""
    last = max(marks, key=lambda mark: (mark.on, mark.uid), default=None)
    if last is not None and (printed is None or (last.on, last.uid) > (printed.on, printed.uid)):
        missed = last.what != "lasting-tag"
        return f"{last.what.removeprefix('tag-')} since {last.on.isoformat()}" if missed else None
    if printed is None:
        return "took, and no tag was printed" if grew else None
    if printed.life_years is not None and printed.on + timedelta(days=printed.life_years * DAYS_A_YEAR) < day:
        return f"past the {printed.life_years:g} y such a mark lasts"
    return "took, still on a short-lived tag" if grew and printed.short_lived else None
