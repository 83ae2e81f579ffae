"""Warmth since a day or an event, for plants, grafts, wood, places and stations."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar, NamedTuple

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual, code_list, count
from graftbook.actions.weather import graft_warmth, weather_subjects
from graftbook.actions.weather.weather_days import PlaceSeries, gap_words, need_weather, newest_notes, sources_named
from graftbook.actions.weather.weather_subjects import EVENTS, Subject, SubjectWeather
from graftbook.book import weather_queries
from graftbook.errors import UsageProblem
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


class Counting(NamedTuple):
    """How degree-days are counted: above a base in C, up to an upper threshold in C (None: none), by one of
    degree_days.METHODS."""

    base_c: float
    upper_c: float | None
    method: str


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
    method = (asked.method or "sine").strip().lower().replace(" ", "-").replace("_", "-")
    base = BASE_C if asked.base is None else desk.temperature(asked.base)
    counting = Counting(base, None if asked.upper is None else desk.temperature(asked.upper), method)
    degree_days.check(*counting)
    word, unit = weather_subjects.event_word(when), desk.settings.temperature
    typed = None if word is not None else _day(desk, when)
    every = word == "grafting" and (codes, place, station) == (None, None, None)
    if word is not None and codes is None and not every:
        events = f"codes of things with a day of {word}, such as G1-G9"
        raise UsageProblem(events, "none", "Or give a day instead of an event")
    last = desk.today if until is None else desk.day(until, future=True)
    if typed is not None:
        weather_subjects.refuse_backwards(typed, last)
    with desk.book.read() as session:
        need_weather(session)
        if every:
            rows, notes = _every_graft(session, last, counting, unit, limit)
        else:
            subjects = weather_subjects.of(session, codes, place, station)
            starts = {one.name: typed if typed is not None else one.event(word or "grafting") for one in subjects}
            rows, notes = _rows(session, subjects, starts, last, counting, unit)
            without = tuple(name for name, day in starts.items() if day is None)
            notes = [*([f"{code_list(without)}: no day of {word} is recorded."] if without else []), *notes]
    facts = {"as_of": desk.today, **counting._asdict()}
    return Report(WarmthRow, tuple(rows), (Usual(_how_words(counting, unit)), *notes), facts)


def _day(desk: Desk, when: str) -> date:
    try:
        return desk.day(when, future=True)
    except UsageProblem as error:
        raise UsageProblem(
            f"a day such as 2027-03-01, or an event: {', '.join(EVENTS)}", repr(when), error.next_step
        ) from error


def _how_words(how: Counting, unit: str) -> str:
    top = "" if how.upper_c is None else f", warmth above {show_temperature(how.upper_c, unit)} counted as at it"
    methods = {"sine": "single sine", "triangle": "single triangle", "average": "simple average"}
    name = methods.get(how.method, how.method)
    return f"Degree-days in C above {show_temperature(how.base_c, unit)}{top}, by {name}. One C-day is 1.8 F-days."


def _rows(
    session: Session,
    subjects: tuple[Subject, ...],
    starts: Mapping[str, date | None],
    last: date,
    how: Counting,
    unit: str,
) -> tuple[list[WarmthRow], list[str]]:
    weather = PlaceSeries(session, min((day for day in starts.values() if day is not None), default=last), last, unit)
    subject_weather = SubjectWeather(session)
    rows, late, notes = [], [], []
    for one in subjects:
        start = starts[one.name]
        if start is None or start > last:
            late += [one.name] if start is not None else []
            continue
        stays = subject_weather.stays(one, start)
        begin = stays[0].on if one.station_id is None else start
        found = warmth.warmth(subject_weather.days(one, weather, begin, last), begin, last, *how)
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
    sources = sources_named(rows)
    if sources:
        notes.append(Usual(f"Weather: {'; '.join(sources[:6])}{' …' if len(sources) > 6 else ''}."))
    return notes


def _every_graft(
    session: Session, last: date, how: Counting, unit: str, limit: int
) -> tuple[list[WarmthRow], list[str]]:
    """The newest grafts first."""
    grafts = [one for one in weather_queries.standers(session) if one.made_on <= last]
    every = graft_warmth.GraftWarmth(session, grafts, last, how.upper_c, how.method, unit)
    sums = every.since_made(how.base_c)
    rows = []
    for graft in grafts[-limit:][::-1]:
        total, missing = sums[graft.id]
        place = every.stays(graft.id)[-1].place
        known = (last - graft.made_on).days + 1 - missing
        basis = every.weather.basis(place) or "none known"
        rows.append(WarmthRow(graft.code, graft.made_on, last, round(total, 1), known, missing, place, basis))
    return rows, [*newest_notes(limit, len(grafts), "graft"), *_notes(rows, True)]
