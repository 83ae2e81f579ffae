"""What is usually said of a pruning: how much and when; and the cautions that go with it.

All of it is common practice and none of it forbids.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.plants import stage_notes
from graftbook.book import plant_queries, wood_queries
from graftbook.book.plants import Plant
from graftbook.book.wood import Prune

MOST_PERCENT = 33

# A noted stage speaks for this many days; after that the calendar does. A rule of this book, no source.
STAGE_DAYS = 42

_RESTING = (0, 100)

_SAPS = ("fig", "citrus", "lacquer")


def advise(
    desk: Desk, session: Session, plant: Plant, day: date, facts: Mapping[str, Any], summer: bool, fruit: bool | None
) -> tuple[str, ...]:
    """Sentences on what is usually done otherwise; empty when there is nothing to say."""
    from graftbook.trade import taxa

    found = taxa.nearest_to(plant.taxon)
    parts = (
        _much(facts["removed_percent"], found is not None and found.fruits_on_new_wood),
        _awake(desk, session, plant, day, None if found is None else found.deciduous)
        if not summer and (found is None or found.genus != "Prunus")
        else "",
        _fruit(plant, fruit) if found is not None and not found.deciduous else "",
    )
    return tuple(part for part in parts if part)


def _much(percent: int | None, on_new_wood: bool) -> str:
    if percent is None or percent <= MOST_PERCENT or on_new_wood:
        return ""
    return (
        f"More than a third of the canopy went ({percent} %): a quarter to a third is usually the most in one year"
        " (common practice)."
    )


def _awake(desk: Desk, session: Session, plant: Plant, day: date, deciduous: bool | None) -> str:
    from graftbook.season.turn import dormant
    from graftbook.trade import stages

    if deciduous is not True:
        return ""
    usual = "deciduous trees are usually pruned at full dormancy (common practice)."
    noted = stage_notes.on_day(session, [plant], day, STAGE_DAYS)[plant.id]
    order = stages.order(noted.stage) if noted.stage is not None else None
    if order in _RESTING or (order is None and dormant(day, desk.settings.hemisphere, True)):
        return ""
    if order is not None:
        return f"{plant.code} was not dormant ({noted.stage}, {noted.stage_on}): {usual}"
    return f"By the calendar {plant.code} was not dormant on {day.isoformat()}: {usual}"


def _fruit(plant: Plant, fruit: bool | None) -> str:
    usual = "evergreens are usually pruned right after harvest (common practice)."
    if fruit is None:
        return f"If {plant.code} still carried fruit: {usual} Say which with --fruit yes or --fruit no."
    return f"{plant.code} still carried fruit: {usual}" if fruit else ""


def cautions(desk: Desk, session: Session, plant: Plant, pruned: Prune, saved: bool) -> tuple[str, ...]:
    """The cautions for a pruning: tools and ladders once a season, sap and livestock once a season for each kind, a tree
    under suspicion each time wood is taken from it."""
    from graftbook.season import turn
    from graftbook.trade import cautions as table

    season = turn.season_of(pruned.on, desk.settings.hemisphere)
    since = turn.season_bounds(season, desk.settings.hemisphere)[0]
    before = plant_queries.taxa_pruned_since(session, since, pruned.id)
    keys = ["saw", "ladder", "tools-sizes"] if not before else []
    winter = turn.dormant(pruned.on, desk.settings.hemisphere, True) is True
    known = {key for taxon in before for key in _hazards(taxon, winter)}
    keys += [key for key in _hazards(plant.taxon, winter) if key not in known]
    if saved and wood_queries.is_suspect(session, plant.id, pruned.on):
        keys.append("suspect-tree")
    return table.words(keys)


def _hazards(taxon: str | None, winter: bool) -> list[str]:
    from graftbook.trade import taxa

    found = taxa.nearest_to(taxon)
    if found is None:
        return []
    keys = [f"{found.sap}-sap"] if found.sap in _SAPS else []
    if found.genus != "Prunus":
        return keys
    return [*keys, "prunus-prunings", *(["prunus-winter"] if winter else [])]
