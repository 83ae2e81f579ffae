"""tags worklist: tags to replace before they are lost, to be walked place by place.

A graft that took and is still on a tag whose mark lasts a year or less, or has none that was printed; a medium past the
time its mark is known to last; a tag noted as missing or illegible on a round. A lasting tag put on, or a run printed
later, answers all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import Desk
from graftbook.actions.endpoints import took
from graftbook.actions.judging import frame, judge_days
from graftbook.actions.results import Report
from graftbook.actions.tag_media import medium_named
from graftbook.book import seen, tag_queries
from graftbook.errors import NotFound

DAYS_A_YEAR = 365.25
_ENDED = frozenset({"dead", "not-set", "not-found"})


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
    medium: str
    life_years: float | None
    short_lived: bool


def worklist(desk: Desk, as_of: str | None = None) -> Report:
    """Tags that want replacing as of a day, by place in walking order; living grafts only."""
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        printed = _printed(session, day)
        cares = tag_queries.tag_cares(session, day)
        looks = seen.looks(session, day)
        rows = [
            WorkRow(place, row, order, code, cultivar, why, *_last(printed.get(code)))
            for number, code, made, method, cultivar, place, row, order, died in tag_queries.standing(session)
            if made <= day and (died is None or died > day) and _alive(looks.get(number, ()))
            for why in _reasons(
                printed.get(code), cares.get(number),
                took(looks.get(number, ()), frame(made, judge_days(method), desk.settings.hemisphere, day)) == "yes", day,
            )
        ]  # fmt: skip
    rows.sort(key=lambda r: (r.place or "~", r.row or "", r.order if r.order is not None else 10**6, int(r.code[1:])))
    notes = (
        ("Print them: graftbook tags CODES --medium M -o FILE. Done: graftbook care CODES lasting-tag.",)
        if rows
        else ()
    )
    return Report(
        WorkRow, tuple(rows), notes, {"as_of": day}, title=f"Tags to replace on {day.isoformat()}", group="place"
    )


def _printed(session: Session, day: date) -> dict[str, _Printed]:
    media: dict[str, Any] = {}
    found: dict[str, _Printed] = {}
    for run in reversed(tag_queries.runs(session)):
        if run.on > day:
            continue
        if run.medium not in media:
            media[run.medium] = _medium(session, run.medium)
        medium = media[run.medium]
        life, short = (medium.life_years, medium.short_lived) if medium is not None else (None, False)
        found.update(dict.fromkeys(run.codes, _Printed(run.on, run.medium, life, short)))
    return found


def _medium(session: Session, name: str) -> Any:
    """The medium, or None where a medium of the grower's own is no longer in the book."""
    try:
        return medium_named(session, name)
    except NotFound:
        return None


def _alive(looks: Sequence[Any]) -> bool:
    return not looks or looks[-1][1] not in _ENDED


def _last(printed: _Printed | None) -> tuple[str | None, date | None]:
    return (None, None) if printed is None else (printed.medium, printed.on)


def _reasons(printed: _Printed | None, care: tuple[date, str] | None, grew: bool, day: date) -> Sequence[str]:
    """At most one reason, the most pressing: missing or illegible, past its time, short-lived on a graft that took."""
    newest = printed.on if printed is not None else date.min
    if care is not None and care[1] != "lasting-tag" and care[0] >= newest:
        return (f"{care[1].removeprefix('tag-')} since {care[0].isoformat()}",)
    if care is not None and care[1] == "lasting-tag" and care[0] >= newest:
        return ()
    if printed is None:
        return ("took, and no tag was printed",) if grew else ()
    if printed.life_years is not None and printed.on + timedelta(days=printed.life_years * DAYS_A_YEAR) < day:
        return (f"past the {printed.life_years:g} y such a mark lasts",)
    return ("took, still on a short-lived tag",) if grew and printed.short_lived else ()
