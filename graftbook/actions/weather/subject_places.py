"""Where plants and grafts stood, day by day: from where they stand now back through their moves.

A graft with no place of its own stands where its plant stands; one that has a place goes along with its plant when the
plant is moved from that very place. The day of a move counts for the place moved to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

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
        now = graft.place if graft.place is not None else self._place_of_plant.get(foot)
        own, plant = self._of_graft.get(graft.id, ()), self._of_plant.get(foot, ())
        if not own and not plant:
            return (PlaceStay(graft.made_on, now),)
        moves = sorted((*own, *(move for move in plant if move.on >= graft.made_on)), key=lambda move: move.on)
        return _back(now, moves, graft.made_on, follows=graft.place is None)

    def of_plant(self, plant_id: int, since: date) -> tuple[PlaceStay, ...]:
        """Where a plant stood from a day on, in order."""
        return _back(self._place_of_plant.get(plant_id), self._of_plant.get(plant_id, ()), since, follows=True)


def _back(now: str | None, moves: Sequence[Move], since: date, follows: bool) -> tuple[PlaceStay, ...]:
    stays: list[PlaceStay] = []
    here = now
    for move in reversed(moves):
        if move.graft_id is None and not follows and move.place != here:
            continue
        if move.on > since:
            stays.append(PlaceStay(move.on, here))
            here = move.before
        elif move.on <= since:
            break
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
