"""tags worklist: tags to replace before they are lost, to be walked place by place.

What was last done or noted about a tag decides: missing or illegible on a round; printed on a medium past the time its
mark is known to last, or on one that lasts a year or less where the graft has taken; never printed on a graft that took.
Printed before its thing had the name it has
now. A lasting tag put on, or a later printing, answers all of them. A lasting tag put on a plant counts for the grafts on it;
a tag noted missing on a plant is the plant's own. A stock under a graft goes by the tag of the graft.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import sorting
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import alive, standing_place
from graftbook.actions.outcome.endpoints import frame, judge_days, took
from graftbook.actions.outcome.standing_place import StandingPlace
from graftbook.actions.tags.renamed import Tagged, renamed
from graftbook.actions.tags.tag_media import medium_named
from graftbook.book import round_queries, seen, tag_queries
from graftbook.book.balances import balances
from graftbook.book.living_queries import Rooted
from graftbook.book.round_queries import RoundGraft
from graftbook.book.seen import UNSEEN, StoryLook
from graftbook.book.tag_queries import Mark
from graftbook.errors import NotFound

DAYS_A_YEAR = 365.25

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
        rows = sorted((*walk.grafts(session), *walk.plants(), *walk.wood(session)), key=_walked)
    none: tuple[str, ...] = ()
    if place is not None:
        rows, none = sorting.at_place(rows, place)
    shown = rows[:limit]
    more = (f"{len(rows) - len(shown):,} more tags: --place or --limit.",) if len(shown) < len(rows) else ()
    title = f"Tags to replace on {day.isoformat()}"
    facts = {"as_of": day, "tags": len(rows)}
    return Report(WorkRow, tuple(shown), (*more, _DONE) if rows else none, facts, title, "place")


def _walked(row: WorkRow) -> tuple[Any, ...]:
    return *sorting.walked(row.place, row.row, row.order), row.code[0], int(row.code[1:])


class _Walk:
    """What bears on every tag, looked up once."""

    def __init__(self, session: Session, hemisphere: str, day: date) -> None:
        self._hemisphere, self._day = hemisphere, day
        self._printed = _printed(session, day)
        self._marks = tag_queries.tag_marks(session, day)
        self._lines = round_queries.lines(session, date.min, day)
        self._held = alive.made_since(session, day, self._lines)
        self._names = shown_names.every(session, day)
        self._renamed = renamed(session, self._names, self._tagged(session), day)

    def _tagged(self, session: Session) -> Iterator[Tagged]:
        """What has a printed tag, with what gave it one: the last printing, or a lasting tag put on since."""
        for line in self._lines:
            if line.code in self._printed:
                marks = (*self._marks.get(f"G{line.id}", ()), *self._of_host(line))
                yield Tagged(line.code, self._since(line.code, marks), line.id, line.bundle_id)
        for plant in self._held.plants.values():
            if plant.code in self._printed:
                yield Tagged(plant.code, self._since(plant.code, self._marks.get(f"P{plant.id}", ())), plant.id)
        for code, number, _ in tag_queries.stores(session):
            if code in self._printed:
                yield Tagged(code, self._printed[code].uid, number)

    def _since(self, code: str, marks: Sequence[Mark]) -> str:
        printed = self._printed[code]
        lasting = [mark for mark in marks if mark.what == "lasting-tag"]
        return max((printed.on, printed.uid), *((mark.on, mark.uid) for mark in lasting))[1] if lasting else printed.uid

    def grafts(self, session: Session) -> Iterator[WorkRow]:
        """Rows of grafts that are alive and here."""
        stories = seen.stories(session, self._day)
        for line in self._lines:
            if self._held.end(line.id) is not None:
                continue
            looks, foot = stories.get(line.id, UNSEEN).looks, self._foot(line)
            marks = [*self._marks.get(f"G{line.id}", ()), *self._of_host(line)]
            grew = self._took(line, looks)
            why = self._why(line.code, _reason(self._printed.get(line.code), marks, self._day, grew))
            if why is not None:
                called = self._names.graft(line.id, line.bundle_id).cultivar
                yield self._row(line.code, called, standing_place.of_graft(line.place, foot), why)

    def plants(self) -> Iterator[WorkRow]:
        """Rows of plants that are alive and here and had a tag printed, or noted as missing or illegible."""
        above: dict[int, list[str]] = {}
        for line in self._lines:
            above.setdefault(self._foot(line).id, []).append(line.code)
        for plant in self._held.plants.values():
            grafted = above.get(plant.id, []) if plant.kind == "stock" else []
            printed = self._newest((plant.code, *grafted))
            marks = self._marks.get(f"P{plant.id}", [])
            if (printed is None and not marks) or self._held.plant_end(plant.id) is not None:
                continue
            why = self._why(plant.code, _reason(printed, marks, self._day, False))
            if why is not None and not (grafted and why.startswith("past")):
                here = StandingPlace(plant.place, plant.row, plant.order)
                yield self._row(plant.code, self._names.plant(plant.id).cultivar, here, why)

    def wood(self, session: Session) -> Iterator[WorkRow]:
        """Rows of bundles with sticks left whose tag says another name; they lie in their store."""
        left = balances(session, as_of=self._day) if self._renamed else {}
        for code, number, store in tag_queries.stores(session):
            if code in self._renamed and number in left and left[number].any_left:
                here = StandingPlace(store, None, None)
                yield self._row(code, self._names.bundle(number).cultivar, here, self._renamed[code])

    def _why(self, code: str, why: str | None) -> str | None:
        """A tag that is not there or cannot be read is that first; else one that says another name."""
        gone = why is not None and why.startswith(("missing", "illegible"))
        return why if gone else self._renamed.get(code, why)

    def _row(self, code: str, cultivar: str | None, spot: StandingPlace, why: str) -> WorkRow:
        printed = self._printed.get(code)
        last = (printed.medium, printed.on) if printed is not None else (None, None)
        return WorkRow(*spot, code, cultivar, why, *last)

    def _newest(self, codes: Sequence[str]) -> _Printed | None:
        held = [self._printed[code] for code in codes if code in self._printed]
        return max(held, key=lambda printed: (printed.on, printed.uid), default=None)

    def _foot(self, line: RoundGraft) -> Rooted:
        return self._held.plants[self._held.foot(line.id)]

    def _of_host(self, line: RoundGraft) -> Iterator[Mark]:
        """Lasting tags put on the plant a graft was made on, since it was made."""
        for mark in self._marks.get(f"P{line.host_plant_id}", ()):
            if mark.what == "lasting-tag" and mark.on >= line.made_on:
                yield mark

    def _took(self, line: RoundGraft, looks: Sequence[StoryLook]) -> bool:
        return took(looks, frame(line.made_on, judge_days(line.method), self._hemisphere, self._day)) == "yes"


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
