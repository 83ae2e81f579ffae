"""Weather in the book's own files: stations each once, their years with a temperature a day, and what is stated of places."""

from __future__ import annotations

from calendar import isleap
from datetime import date
from typing import Any

from graftbook.actions.desk import naming
from graftbook.actions.exchange.csv_shapes import PLACE_WEATHER, STATIONS, WEATHER
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.book import weather_queries


def check(batch: Batch, session: Any) -> None:
    """Object to stations and years that are there already, to stations nobody knows, and to years that cannot be."""
    keys = {one.id: naming.key(one.name) for one in weather_queries.stations(session)}
    known = batch.once(STATIONS, "name", keys.values(), lambda values: naming.key(values["name"]))
    _years(batch, known, {(keys[station], year) for station, year in weather_queries.year_keys(session)})
    for sheet, line, values in batch.of(PLACE_WEATHER):
        for header, found, accepted in _place_faults(values, known):
            sheet.object_to(line, header, found, accepted)


def _years(batch: Batch, known: set[str], taken: set[tuple[str, int]]) -> None:
    for sheet, line, values in batch.of(WEATHER):
        key = (naming.key(values["station"]), values["year"])
        if key[0] not in known:
            sheet.object_to(line, "station", values["station"], "a weather station in the book or in these files")
        elif key in taken and id(values) not in batch.repeated:
            sheet.object_to(line, "year", values["year"], "each year of a station once; this one is there already")
        taken.add(key)
        for header, found, accepted in _year_faults(values):
            sheet.object_to(line, header, found, accepted)


def _year_faults(values: dict[str, Any]) -> list[tuple[str, str, str]]:
    days = 366 if isleap(values["year"]) else 365
    lows, highs = values["lows"].split(), values["highs"].split()
    wrong = [
        (header, f"{len(found)} days", f"{days} temperatures, a full stop for a day without one")
        for header, found in (("lows_c", lows), ("highs_c", highs))
        if len(found) != days
    ]
    if not wrong:
        for at, (low, high) in enumerate(zip(lows, highs, strict=True)):
            if "." not in (low, high) and float(low) > float(high):
                day = date.fromordinal(date(values["year"], 1, 1).toordinal() + at)
                wrong.append(("lows_c", f"{low} on {day.isoformat()}", f"no more than the highest of the day, {high}"))
    return wrong


def _place_faults(values: dict[str, Any], known: set[str]) -> list[tuple[str, str, str]]:
    station, low, high = (values.get(name) for name in ("station", "low_c", "high_c"))
    if station is not None and naming.key(station) not in known:
        return [("station", station, "a weather station in the book or in these files")]
    if (station is None) == (low is None and high is None) or (station is None and (low is None or high is None)):
        return [("station", station or "none", "a station, or else both low_c and high_c")]
    if low is not None and high is not None and low > high:
        return [("low_c", str(low), f"no more than high_c, {high}")]
    return []
