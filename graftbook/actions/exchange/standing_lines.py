"""What stands where, and who stands on whom, in lines to be read on paper: plants as one walks, grafts under what they stand on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import code_list, count
from graftbook.actions.desk.sorting import walked
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import ShownNames
from graftbook.actions.outcome import alive, standing_place
from graftbook.actions.outcome.alive import Alive
from graftbook.actions.plants.find_matching import spot_words
from graftbook.actions.plants.plant_lists import size_words
from graftbook.actions.tags import tag_fields
from graftbook.book import finding_queries, plant_queries, round_queries
from graftbook.book.finding_queries import GraftLine
from graftbook.book.plants import Plant
from graftbook.book.round_queries import RoundGraft
from graftbook.lineage.positions import Spot
from graftbook.paper.book_pages import BookLine


@dataclass(frozen=True)
class Standing:
    """What stands at one spot of a place: a plant with all that was grafted on it, or stocks alike that carry nothing."""

    place: str | None
    lines: tuple[BookLine, ...]


def standing(session: Session, desk: Desk) -> tuple[list[Standing], list[BookLine]]:
    """What is here, in walking order, and a line for each plant that is not (any more): dead, gone home, not here yet."""
    day, plants = desk.today, plant_queries.every(session)
    grafts = round_queries.lines(session, date.min, day)
    spots = {spot.id: spot for spot in finding_queries.grafts(session)}
    page = _Page(desk, shown_names.every(session), alive.made_since(session, day, grafts), grafts, spots)
    page.held.add_plants(session, (plant.id for plant in plants))
    here = [plant for plant in plants if page.held.plant_end(plant.id) is None]
    here.sort(key=lambda plant: (*walked(plant.place, plant.row, plant.order), plant.number))
    gone = [line for plant in plants if page.held.plant_end(plant.id) is not None for line in page.whole(plant)]
    return list(page.spots(here)), gone


class _Page:
    """The lines of plants and grafts, everything about them having been read."""

    def __init__(
        self, desk: Desk, names: ShownNames, held: Alive, grafts: Iterable[RoundGraft], spots: Mapping[int, GraftLine]
    ) -> None:
        self._spots = spots
        self._unit, self._names, self.held = desk.settings.units, names, held
        self._on_plant: dict[int, list[RoundGraft]] = {}
        self._on_graft: dict[int, list[RoundGraft]] = {}
        for graft in grafts:
            under, number = (
                (self._on_plant, graft.host_plant_id)
                if graft.host_graft_id is None
                else (self._on_graft, graft.host_graft_id)
            )
            under.setdefault(number or 0, []).append(graft)

    def spots(self, plants: Iterable[Plant]) -> Iterator[Standing]:
        """Plants as they are walked; neighbours that are stocks alike and carry nothing in one line."""

        def alike(plant: Plant) -> tuple[Any, ...]:
            bare = plant.kind == "stock" and plant.id not in self._on_plant
            return plant.place, plant.row, self._what(plant) if bare else plant.id

        for _, group in groupby(plants, key=alike):
            same = list(group)
            lines = self.whole(same[0]) if len(same) == 1 else (self._several(same),)
            yield Standing(same[0].place, tuple(lines))

    def whole(self, plant: Plant) -> Iterator[BookLine]:
        """A plant, and under it all that was ever grafted on it."""
        end = self.held.plant_end(plant.id)
        came = f"came {plant.acquired_on.isoformat()}" if plant.acquired_on is not None else None
        place = plant.place if end is not None else None
        where = tag_fields.where(place, plant.row, plant.order)
        words = said(self._what(plant), where, came, end.words if end is not None else None)
        yield BookLine(plant.code, f"{words}. {plant.note}" if plant.note else words)
        yield from self._grafts(self._on_plant.get(plant.id, ()), 1, plant)

    def _several(self, plants: list[Plant]) -> BookLine:
        where = tag_fields.where(None, plants[0].row, None)
        what = f"{count(len(plants), 'stock')} without a graft, each {self._what(plants[0]).removeprefix('stock, ')}"
        return BookLine("", f"{said(what, where)}: {code_list((plant.code for plant in plants), len(plants))}")

    def _what(self, plant: Plant) -> str:
        name = self._names.plant(plant.id).with_sureness if plant.kind == "tree" else None
        kind = name or plant.clone or self._names.plant(plant.id).name
        roots = f"on {plant.clone}" if plant.kind == "tree" and name and plant.clone else None
        return said(plant.kind, kind, roots, size_words(plant, self._unit))

    def _grafts(self, grafts: Iterable[RoundGraft], depth: int, plant: Plant) -> Iterator[BookLine]:
        for graft in grafts:
            yield BookLine(graft.code, said(*self._of_graft(graft, plant)), depth)
            yield from self._grafts(self._on_graft.get(graft.id, ()), depth + 1, plant)

    def _of_graft(self, graft: RoundGraft, plant: Plant) -> Iterator[str | None]:
        name = self._names.graft(graft.id, graft.bundle_id)
        yield name.with_sureness or name.kind or "not known what"
        yield f"{graft.method} of {graft.made_on.isoformat()}"
        spot = self._spots[graft.id]
        yield f"limb {spot.limb}" if spot.limb else None
        yield from spot_words(Spot(spot.bearing_deg, spot.height_mm), self._unit)
        yield graft.place if standing_place.stands_apart(graft.place, plant.place) else None
        look, end = self.held.looks.get(graft.id), self.held.end(graft.id)
        seen = f"{look.state} on {look.on.isoformat()}" if look is not None else "not looked at"
        yield seen
        yield end.words if end is not None and end.words != seen else None


def said(*parts: str | None) -> str:
    """Those of the parts that say something, with commas."""
    return ", ".join(part for part in parts if part)
