"""How far from green tip things were done, from the stages the book has; for splitting takes by it."""

from __future__ import annotations

from datetime import date

from sqlmodel import Session

from graftbook.book import stage_queries
from graftbook.season import phenology
from graftbook.season.phenology import GreenTips


def tips(session: Session, hemisphere: str) -> GreenTips:
    """The days of green tip of every plant and kind of the book, by season."""
    seen = stage_queries.every(session)
    return phenology.green_tips(((row.plant_id, row.taxon, row.place, row.on, row.stage) for row in seen), hemisphere)


def band(
    found: GreenTips, made_on: date, host_plant_id: int | None, taxon: str | None, place: str | None
) -> str | None:
    """The week from green tip in which a graft was made, such as `0 to 6` or `-7 to -1` days; None where no green tip was
    noted of its plant or its plant's kind in that season. `taxon` and `place` are those of the plant at its foot."""
    since = found.since(made_on, host_plant_id, taxon, place)
    return None if since is None else phenology.band(since.days)
