"""Warmth since a day or an event, for plants, grafts, wood, places and stations."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.weather import graft_warmth, weather_subjects
from graftbook.actions.weather.weather_days import PlaceSeries, gap_words
from graftbook.actions.weather.weather_subjects import EVENTS, Subject, SubjectWeather
from graftbook.book import weather_queries
from graftbook.errors import NotFound, UsageProblem
from graftbook.season import degree_days, warmth
from graftbook.season.warmth import BASE_C
from graftbook.units import show_temperature


@dataclass(frozen=True)
class WarmthRow:
    """The warmth of one thing: degree-days in C from `since` to `until`, both counted in. `days` have a temperature,
    `missing` have none and add nothing."""

    what: str
    since: date
    until: date
    degree_days: float
    days: int
    missing: int
    place: str | None
    weather: str
    shown: ClassVar = ("what", "since", "until", "degree_days", "days", "missing", "place")
    headings: ClassVar = {"what": "of", "degree_days": "C-days", "missing": "days missing"}


@dataclass(frozen=True)
class How:
    """How degree-days are computed, as typed; None is the usual: above 5 C, no upper threshold, single sine."""

    base: str | None = None
    upper: str | None = None
    method: str | None = None


def since(
    desk: Desk, when: str, codes: str | None = None, *, place: str | None = None, station: str | None = None,
    until: str | None = None, how: How | None = None, limit: int = 200,
) -> Report:  # fmt: skip
    """Degree-days since a day, or an event of each thing named: grafting, tied, stage, planted, cut, stored, received.

    With neither codes, place nor station `grafting` means every graft of the book and a day every place of which nothing
    else is said; other events want codes. A thing without the event is left out and said.

    Raises UsageProblem for a day or event that is none and for what cannot be computed, NotFound for a book without weather.
    """
    asked = how if how is not None else How()
    base = BASE_C if asked.base is None else desk.temperature(asked.base)
    upper = None if asked.upper is None else desk.temperature(asked.upper)
    method = (asked.method or "sine").strip().lower().replace(" ", "-").replace("_", "-")
    degree_days.check(base, upper, method)
    word = weather_subjects.event_word(when)
    typed = None if word is not None else _day(desk, when)
    if word is not None and codes is None and (word != "grafting" or place is not None or station is not None):
        raise UsageProblem(
            f"codes of things with a day of {word}, such as G1-G9", "none", "Or give a day instead of an event"
        )
    last = desk.today if until is None else desk.day(until, future=True)
    if typed is not None:
        weather_subjects.refuse_backwards(typed, last)
    with desk.book.read() as session:
        need_weather(session)
        if word == "grafting" and codes is None and place is None and station is None:
            rows, notes = _every_graft(session, last, base, upper, method, desk.settings.temperature, limit)
        else:
            subjects = weather_subjects.of(session, codes, place, station)
            rows, notes = _rows(session, subjects, word, typed, last, base, upper, method, desk.settings.temperature)
    facts = {"as_of": desk.today, "base_c": base, "upper_c": upper, "method": method}
    return Report(WarmthRow, tuple(rows), (_how_words(base, upper, method, desk.settings.temperature), *notes), facts)


def _day(desk: Desk, when: str) -> date:
    try:
        return desk.day(when, future=True)
    except UsageProblem as error:
        raise UsageProblem(
            f"a day such as 2027-03-01, or an event: {', '.join(EVENTS)}", repr(when), error.next_step
        ) from error


def need_weather(session: Session) -> None:
    """Raise NotFound where the book has no weather at all."""
    if not weather_queries.place_weather(session) and not weather_queries.stations(session):
        raise NotFound(
            "no weather in this book", "", "Bring it in: graftbook weather import FILE --station NAME, or graftbook weather "
            "place PLACE --constant 20C",
        )  # fmt: skip


def _how_words(base: float, upper: float | None, method: str, unit: str) -> str:
    top = "" if upper is None else f", warmth above {show_temperature(upper, unit)} counted as at it"
    name = {"sine": "single sine", "triangle": "single triangle", "average": "simple average"}.get(method, method)
    return f"Degree-days in C above {show_temperature(base, unit)}{top}, by {name}. One C-day is 1.8 F-days."


def _rows(
    session: Session, subjects: tuple[Subject, ...], word: str | None, typed: date | None, last: date, base: float,
    upper: float | None, method: str, unit: str,
) -> tuple[list[WarmthRow], list[str]]:  # fmt: skip
    starts = {one.name: typed if typed is not None else one.event(word or "grafting") for one in subjects}
    without = tuple(name for name, day in starts.items() if day is None)
    begun = [day for day in starts.values() if day is not None]
    notes = [f"{code_list(without)}: no day of {word} is recorded."] if without else []
    weather = PlaceSeries(session, min(begun, default=last), last, unit)
    subject_weather = SubjectWeather(session)
    rows, late = [], []
    for one in subjects:
        start = starts[one.name]
        if start is None or start > last:
            late += [one.name] if start is not None else []
            continue
        stays = subject_weather.stays(one, start)
        begin = stays[0].on if one.station_id is None else start
        days = subject_weather.days(one, weather, begin, last)
        found = warmth.warmth(days, begin, last, base, upper, method)
        now = stays[-1].place if one.row is not None else one.place
        basis = subject_weather.basis(one, weather, stays)
        total = round(found.degree_days, 1)
        rows.append(WarmthRow(one.name, begin, last, total, found.known, found.missing, now, basis))
        if found.missing and len(subjects) <= 5:
            notes.append(f"{one.name}: {gap_words(found.gaps)} without a temperature, which add nothing to the sum.")
    if late:
        notes.append(f"{code_list(tuple(late))}: not begun by {last.isoformat()}.")
    return rows, [*notes, *_notes(rows, len(subjects) > 5)]


def _notes(rows: list[WarmthRow], many: bool) -> list[str]:
    lost = [row for row in rows if row.missing]
    notes = []
    if many and lost:
        notes.append(f"{count(len(lost), 'sum')} of {len(rows):,} lack days without a temperature, which add nothing.")
    sources = tuple(dict.fromkeys(part for row in rows for part in row.weather.split("; ")))
    if sources:
        notes.append(f"Weather: {'; '.join(sources[:6])}{' …' if len(sources) > 6 else ''}.")
    return notes


def _every_graft(
    session: Session, last: date, base: float, upper: float | None, method: str, unit: str, limit: int
) -> tuple[list[WarmthRow], list[str]]:
    """The newest grafts first."""
    grafts = [one for one in weather_queries.standers(session) if one.made_on <= last]
    every = graft_warmth.GraftWarmth(session, grafts, last, upper, method, unit)
    sums = every.since_made(base)
    rows = []
    for graft in grafts[-limit:][::-1]:
        total, missing = sums[graft.id]
        place = every.stays(graft.id)[-1].place
        known = (last - graft.made_on).days + 1 - missing
        basis = every.sums.weather.basis(place) or "none known"
        rows.append(WarmthRow(graft.code, graft.made_on, last, round(total, 1), known, missing, place, basis))
    notes = (
        [f"The newest {limit:,} of {count(len(grafts), 'graft')}; --limit N shows more."] if len(grafts) > limit else []
    )
    return rows, [*notes, *_notes(rows, True)]
