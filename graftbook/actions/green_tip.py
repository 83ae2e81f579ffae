"""How far from green tip things were done, from the stages the book has; for splitting takes by it."""

from __future__ import annotations

from sqlmodel import Session

from graftbook.book import stage_queries
from graftbook.season import phenology
from graftbook.season.phenology import GreenTips


def tips(session: Session, hemisphere: str) -> GreenTips:
    """The days of green tip of every plant and kind of the book, by season."""
    seen = stage_queries.every(session)
    return phenology.green_tips(((row.plant_id, row.taxon, row.place, row.on, row.stage) for row in seen), hemisphere)
