"""What is said of where wood is put: a temperature such wood is not known to live at, and fruit beside it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk.desk import Desk
from graftbook.book import wood_queries
from graftbook.season import turn


def of_store(desk: Desk, session: Session, values: Mapping[str, Any], day: date) -> tuple[str, ...]:
    """Sentences on the store of a bundle about to be recorded, by its columns; empty when it is not said where it lies.

    Fruit that ripens beside it is named with the first wood put in store in a season.
    """
    from graftbook.trade import cautions

    notes = _temperature(desk, values)
    if values.get("store") is None and values.get("temperature_c") is None:
        return notes
    season = turn.season_of(day, desk.settings.hemisphere)
    since = turn.season_bounds(season, desk.settings.hemisphere)[0]
    first = not wood_queries.any_stored_since(session, since)
    return (*notes, *(cautions.words(["ethylene"]) if first else ()))


def _temperature(desk: Desk, values: Mapping[str, Any]) -> tuple[str, ...]:
    from graftbook.trade import keeping

    degrees = values.get("temperature_c")
    if degrees is None:
        return ()
    low, high = keeping.temperatures(values.get("taxon"), values.get("wood_kind") or "dormant")
    if low <= degrees <= high:
        return ()
    asked, cold, warm = (units.show_temperature(each, desk.settings.temperature) for each in (degrees, low, high))
    return (f"Is {asked} right? Such wood is kept at {cold} to {warm}, and no keeping time is known outside that.",)
