"""The callus clock of grafts: how far their unions have come by the warmth where they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual, code_list, count
from graftbook.actions.outcome import alive, subjects
from graftbook.actions.weather import graft_warmth
from graftbook.actions.weather.subject_places import PlaceStay, Stays
from graftbook.actions.weather.weather_days import PlaceSeries, need_weather, newest_notes, sources_named
from graftbook.book import weather_queries
from graftbook.book.weather_queries import Stander
from graftbook.errors import UsageProblem
from graftbook.season import callus_clock
from graftbook.season.callus_clock import FARTHEST_DAYS, CallusClock
from graftbook.trade import callus, sources
from graftbook.trade.callus import CallusBand, CallusRow
from graftbook.trade.taxa import common_name
from graftbook.units import show_temperature

RECENT_DAYS = 60

_NO_BAND = CallusBand("", None, None, None, None, None, None, None, ())


@dataclass(frozen=True)
class CallusClockRow:
    """The clock of one union. Hours and degree-days in C since grafting; `from_on` to `to_on` is the band of days in which
    callus may be expected, None where there is no basis for one, `extrapolated` where it is computed from the last seven
    days. `state`: running, paused by cold, within its band, past its band, no temperatures, or unknown kind."""

    code: str
    kind: str | None
    made_on: date
    place: str | None
    state: str
    hours_below: int | None
    hours_inside: int | None
    hours_above: int | None
    best_low_c: float | None
    best_high_c: float | None
    degree_days: float | None
    base_c: float | None
    heat_min: float | None
    heat_max: float | None
    from_on: date | None
    to_on: date | None
    extrapolated: bool
    days: int
    missing: int
    weather: str
    shown: ClassVar = (
        "code", "kind", "state", "hours_below", "hours_inside", "hours_above", "degree_days", "from_on", "to_on",
    )  # fmt: skip
    headings: ClassVar = {
        "hours_below": "hours below", "hours_inside": "in band", "hours_above": "above", "degree_days": "C-days",
        "from_on": "from", "to_on": "to",
    }  # fmt: skip


def callus_clock_of(desk: Desk, codes: str | None = None, *, as_of: str | None = None, limit: int = 200) -> Report:
    """The clock of grafts, by codes or (None) of every open graft of the last sixty days.

    Raises NotFound for codes or weather the book has not got, UsageProblem for wood.
    """
    on = desk.day(as_of)
    with desk.book.read() as session:
        need_weather(session)
        grafts = _grafts(session, codes, on)
        shown = grafts[-limit:]
        first = min((one.made_on for one in shown), default=on)
        weather = PlaceSeries(session, first, on + timedelta(days=FARTHEST_DAYS), desk.settings.temperature)
        stays = Stays(session)
        hosts = weather_queries.plant_taxa(session, [stays.foot(one) for one in shown if one.taxon is None])
        clocks = _Clocks(weather, on)
        rows: list[CallusClockRow] = []
        warned: dict[tuple[str, str | None, str | None], list[str]] = {}
        for one in shown:
            taxon = one.taxon if one.taxon is not None else hosts.get(stays.foot(one))
            stood = stays.of_graft(one)
            clock, basis = clocks.of(taxon, stood)
            rows.append(_row(one, taxon, stood[-1].place, clock, basis))
            for sentence in clock.warnings:
                warned.setdefault((sentence, common_name(taxon), stood[-1].place), []).append(one.code)
    notes = (*_notes(rows, clocks), *newest_notes(limit, len(grafts), "graft"))
    cautions = tuple(f"{code_list(tuple(codes))}: {sentence}" for (sentence, *_), codes in warned.items())
    return Report(CallusClockRow, tuple(rows), notes, {"as_of": on}, cautions=cautions)


def _grafts(session: Session, codes: str | None, on: date) -> list[Stander]:
    if codes is not None:
        named = subjects.grafts_meant(session, codes, on)
        found = weather_queries.standers(session, [one.id or 0 for one in named])
        late = tuple(one.code for one in found if one.made_on > on)
        if late:
            raise UsageProblem(f"grafts made by {on.isoformat()}", code_list(late))
        return found
    every = [one for one in weather_queries.standers(session) if on - timedelta(days=RECENT_DAYS) <= one.made_on <= on]
    held = alive.of_grafts(session, on, [one.id for one in every])
    return [one for one in every if held.end(one.id) is None]


class _Clocks:
    """The clock of each kind at each place and day, computed once however many grafts share it."""

    def __init__(self, weather: PlaceSeries, on: date) -> None:
        self._weather, self._on, self.unit = weather, on, weather.unit
        self._held: dict[tuple[str | None, tuple[PlaceStay, ...]], tuple[CallusClock, str]] = {}
        self.bands: dict[str | None, CallusBand] = {}

    def of(self, taxon: str | None, stays: tuple[PlaceStay, ...]) -> tuple[CallusClock, str]:
        """The clock, and where its temperatures come from."""
        if (taxon, stays) not in self._held:
            band = self.band(taxon)
            days = graft_warmth.days_along(self._weather, stays, self._on + timedelta(days=FARTHEST_DAYS))
            basis = self._weather.basis_along(stays)
            self._held[taxon, stays] = callus_clock.clock(band, days, stays[0].on, self._on, self._weather.unit), basis
        return self._held[taxon, stays]

    def band(self, taxon: str | None) -> CallusBand:
        """What the table says of a kind; an empty band where it says nothing."""
        if taxon not in self.bands:
            found = None if taxon is None else callus.about(taxon)
            self.bands[taxon] = found if found is not None else _NO_BAND
        return self.bands[taxon]


def _row(graft: Stander, taxon: str | None, place: str | None, clock: CallusClock, basis: str) -> CallusClockRow:
    known = clock.low_c is not None or clock.heat_min is not None
    return CallusClockRow(
        graft.code, common_name(taxon), graft.made_on, place, clock.state if known else "unknown kind",
        _whole(clock.below), _whole(clock.inside), _whole(clock.above),
        clock.low_c, clock.high_c, None if clock.degree_days is None else round(clock.degree_days, 1), clock.base_c,
        clock.heat_min, clock.heat_max, clock.from_on, clock.to_on, clock.extrapolated, clock.known, clock.missing, basis,
    )  # fmt: skip


def _whole(hours: float | None) -> int | None:
    return None if hours is None else round(hours)


def _notes(rows: Sequence[CallusClockRow], clocks: _Clocks) -> list[str]:
    notes = [
        Usual(band_words(taxon, band, clocks.unit)) if callus_clock.heat_row(band) is not None
        else band_words(taxon, band, clocks.unit)
        for taxon, band in clocks.bands.items()
    ]  # fmt: skip
    if not rows:
        notes.append(f"No open graft was made in the last {RECENT_DAYS} days; name older ones by their codes.")
    if any(row.extrapolated for row in rows):
        notes.append("Dates to come are extrapolated from the last seven days.")
    if any(row.state == "paused by cold" for row in rows):
        notes.append(Usual("Cold stops the clock; it does not kill a dormant union."))
    lost = [row for row in rows if row.missing]
    if lost:
        days = max(row.missing for row in lost)
        notes.append(f"{count(len(lost), 'graft')} {'lacks' if len(lost) == 1 else 'lack'} up to {count(days, 'day')} "
                     "without a temperature, which count for nothing.")  # fmt: skip
    if rows:
        origin = "; ".join(sources_named(rows))
        air = "They are those of the air where a graft stands, not of the union itself."
        notes.append(Usual(f"Temperatures: {origin}. {air}"))
    return notes


def band_words(taxon: str | None, band: CallusBand, unit: str = "C") -> str:
    """What the table says of a kind's unions, with its basis, in a sentence."""
    name = common_name(taxon) or "A graft of no recorded kind"
    best = callus_clock.best_band(band)
    if best is None:
        return f"{name}: no source in the tables states the warmth its unions want."
    rows = [row for row in band.rows if row.kind == "optimum"]
    wider = "" if best == (band.best_min, band.best_max) else f", counted as {_span(*best, unit)}"
    span = _span(band.best_min, band.best_max, unit)
    sentence = f"{name}: best {span}{wider} ({_basis(rows)})"
    heat = callus_clock.heat_row(band)
    if heat is None:
        return f"{sentence}; no basis for dates."
    return (
        f"{sentence}; callus after {heat.heat_min:.10g} to {heat.heat_max:.10g} C-days above {show_temperature(heat.base_c, unit)} "
        f"({_basis([heat])}; {heat.words[:1].lower()}{heat.words[1:]})."
    )


def _span(low: float | None, high: float | None, unit: str) -> str:
    least, most = show_temperature(low, unit), show_temperature(high, unit)
    return least if least == most else f"{least.removesuffix(f' {unit}')} to {most}"


def _basis(rows: Sequence[CallusRow]) -> str:
    cited = dict.fromkeys(sources.cite(row.source) or row.basis for row in rows)
    return (f"{len(rows)} sources, " if len(rows) > 1 else "") + "; ".join(cited)
