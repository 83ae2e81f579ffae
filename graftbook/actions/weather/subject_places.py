"""Where plants and grafts stood, day by day: from where they stand now back through their moves.

Each day by the rule of places: a graft went along with its plant while it stood where that stood, however either place was put
right since. The day of a move counts for the place moved to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.outcome import standing_place
from graftbook.book import stacks, weather_queries
from graftbook.book.weather_queries import Move, Stander


class PlaceStay(NamedTuple):
    """From which day on a thing stood at a place; None where the place was not recorded."""

    on: date
    place: str | None


class Stays:
    """The stays of every plant and graft of a book, read once."""

    def __init__(self, session: Session) -> None:
        self._place_of_plant = weather_queries.plant_places(session)
        self._of_graft: dict[int, list[Move]] = {}
        self._of_plant: dict[int, list[Move]] = {}
        for move in weather_queries.moves(session):
            if move.graft_id is not None:
                self._of_graft.setdefault(move.graft_id, []).append(move)
            elif move.plant_id is not None:
                self._of_plant.setdefault(move.plant_id, []).append(move)
        self._session = session
        self._stacked: Mapping[int, int] | None = None

    def foot(self, graft: Stander) -> int:
        """The id of the plant at the foot of the stack a graft stands on."""
        if graft.host_plant_id is not None:
            return graft.host_plant_id
        if self._stacked is None:
            self._stacked = stacks.feet_of_stacked(self._session)
        return self._stacked[graft.id]

    def of_graft(self, graft: Stander) -> tuple[PlaceStay, ...]:
        """Where a graft stood since it was made, in order; one stay where it was never moved."""
        foot = self.foot(graft)
        under = self._place_of_plant.get(foot)
        now = graft.place if standing_place.stands_apart(graft.place, under) else under
        own, plant = self._of_graft.get(graft.id, ()), self._of_plant.get(foot, ())
        if not own and not plant:
            return (PlaceStay(graft.made_on, now),)
        moves = sorted((*own, *(move for move in plant if move.on >= graft.made_on)), key=lambda move: move.on)
        return _back(now, under, moves, graft.made_on)

    def of_plant(self, plant_id: int, since: date) -> tuple[PlaceStay, ...]:
        """Where a plant stood from a day on, in order."""
        now = self._place_of_plant.get(plant_id)
        return _back(now, now, self._of_plant.get(plant_id, ()), since)


def _back(now: str | None, plant: str | None, moves: Sequence[Move], since: date) -> tuple[PlaceStay, ...]:
    """The stays of what is at `now` and its plant at `plant`, moves in the order of days undone one by one."""
    stays: list[PlaceStay] = []
    here = now
    for move in reversed(moves):
        if move.on <= since:
            break
        along = move.graft_id is not None or not standing_place.stands_apart(here, plant)
        if move.graft_id is None:
            plant = move.before
        if along:
            stays.append(PlaceStay(move.on, here))
            here = move.before
    return tuple(_merged([PlaceStay(since, here), *reversed(stays)]))


def _merged(stays: Iterable[PlaceStay]) -> Iterable[PlaceStay]:
    """Stays in order, the last of several on one day, and one where the place stays the same."""
    kept: list[PlaceStay] = []
    for stay in stays:
        if kept and kept[-1].on == stay.on:
            kept.pop()
        if not kept or kept[-1].place != stay.place:
            kept.append(stay)
    return kept
