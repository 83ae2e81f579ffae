"""Ancestors of a thing, its descendants, and what was exposed to it by sharing a plant.

Descendants are one clone: cut from one another, never linked by name. Exposed things are not of the clone; they stand on a
plant that also carries it, or were cut from such a plant, or stand on plants that those were put on. The two are never one
list. Every search runs over the arrays of `Threads` once: breadth first for ancestors and descendants, by earliest day (a
priority queue) for exposure.
"""

from __future__ import annotations

import heapq
from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from graftbook.lineage.threads import NONE, Threads


@dataclass(frozen=True)
class Ancestor:
    """One ancestor: `generation` (1 or more) counts cuts from the thing asked about; `possible` where wood was mixed and it came
    from this or from another."""

    thing: int
    generation: int
    possible: bool


class Descendant(NamedTuple):
    """One descendant of what was asked about. `generation` is 0 and `came_from` NONE for those asked about, otherwise
    `came_from` is the thing it was cut from; `possible` where it came through mixed wood and may be another's."""

    thing: int
    generation: int
    came_from: int
    possible: bool


class Exposure(NamedTuple):
    """One thing that shared a plant: since when (None: not known), how, by which other thing, and over how many plants
    (1: the very plant that the clone stands on or is)."""

    thing: int
    since: date | None
    how: str
    by: int
    plants: int


def ancestors(threads: Threads, start: int, sources: Mapping[int, Sequence[int]]) -> list[Ancestor]:
    """The ancestors of the thing with number `start`, nearest first, without itself.

    `sources` says which bundles things out of a mix can have come from (`Identities.sources`); a thing that it lacks can have
    come from all that went in.
    """
    found: list[Ancestor] = []
    seen: set[int] = set()
    waiting = deque([(start, 0, False)])
    while waiting:
        thing, generation, doubt = waiting.popleft()
        if thing in seen:
            continue
        seen.add(thing)
        found.append(Ancestor(thing, generation, doubt))
        if threads.parent[thing] != NONE:
            waiting.append((threads.parent[thing], generation + 1, doubt))
        elif thing in threads.mix_of:
            mix = threads.mix_of[thing]
            parts = sources.get(thing, mix.parts)
            several = doubt or len(parts) != 1
            waiting.extend((part, generation + 1, several) for part in parts)
    return found[1:]


def descendants(threads: Threads, starts: Iterable[int], sources: Mapping[int, Sequence[int]]) -> dict[int, Descendant]:
    """The descendants of the things given, by number, these first. `sources` as in `ancestors`."""
    found: dict[int, Descendant] = {}
    waiting = deque(Descendant(start, 0, NONE, False) for start in starts)
    while waiting:
        here = waiting.popleft()
        held = found.get(here.thing)
        if held is not None and not (held.possible and not here.possible):
            continue
        found[here.thing] = here
        after = here.generation + 1
        for child in threads.children.get(here.thing, ()):
            waiting.append(Descendant(child, after, here.thing, here.possible))
        for mix in threads.mixed_into.get(here.thing, ()):
            for thing in (mix.bundle, *mix.sticks, *mix.loose):
                parts = sources.get(thing, mix.parts)
                if here.thing in parts:
                    sure = all(part in found and not found[part].possible for part in parts)
                    waiting.append(Descendant(thing, after, here.thing, not sure))
    return found


class _ExposureWalk:
    """The search from plant to plant, earliest day first."""

    def __init__(self, threads: Threads, descended: Mapping[int, Descendant]) -> None:
        self.threads, self.descended = threads, descended
        self.found: dict[int, Exposure] = {}
        self.heap: list[tuple[date, int, int, int]] = []  # day, plants, plant, by
        self.reached: dict[int, date] = {}
        self.carried: dict[int, list[int]] = {}
        for graft, plant in enumerate(threads.body):
            if plant != graft:
                self.carried.setdefault(plant, []).append(graft)

    def reach(self, day: date, plants: int, plant: int, by: int) -> None:
        """Note that a plant carries something of the clone, or something exposed, from a day on."""
        end = self.threads.end[plant]
        if end is None or end >= day:
            heapq.heappush(self.heap, (day, plants, plant, by))

    def walk(self) -> None:
        """Go through the plants in the order in which they were reached."""
        while self.heap:
            day, plants, plant, by = heapq.heappop(self.heap)
            if plant in self.reached:
                continue
            self.reached[plant] = day
            self.note(plant, day, "carries", by, plants)
            for graft in self.carried.get(plant, ()):
                end = self.threads.end[graft]
                if end is None or end >= day:
                    self.note(graft, max(day, self._day(graft)), "stands on", plant, plants)
            for source in (plant, *self.carried.get(plant, ())):
                for bundle in self.threads.children.get(source, ()):
                    cut_on = self.threads.day[bundle]
                    if cut_on is None or cut_on >= day:
                        self.wood(bundle, max(day, self._day(bundle)), source, plants)

    def wood(self, first: int, day: date, source: int, plants: int) -> None:
        """Exposed wood, and everything made from it: each graft carries it to another plant."""
        waiting = [(first, source, "cut from")]
        while waiting:
            thing, by, how = waiting.pop()
            if thing in self.descended or (thing in self.found and thing != first):
                continue
            on = max(day, self._day(thing))
            self.note(thing, on, how, by, plants)
            if self.threads.host[thing] != NONE:
                self.reach(on, plants + 1, self.threads.body[thing], thing)
                continue  # wood cut from it is found with its plant
            waiting += [(child, thing, "made from") for child in self.threads.children.get(thing, ())]
            for mix in self.threads.mixed_into.get(thing, ()):
                waiting += [(other, thing, "mixed with") for other in (mix.bundle, *mix.sticks, *mix.loose)]

    def note(self, thing: int, day: date, how: str, by: int, plants: int) -> None:
        """Keep the earliest exposure of a thing that is not of the clone itself."""
        if thing in self.descended:
            return
        held = self.found.get(thing)
        since = None if day == date.min else day
        if held is None or (held.since is not None and day < held.since):
            self.found[thing] = Exposure(thing, since, how, by, plants)

    def _day(self, thing: int) -> date:
        day = self.threads.day[thing]
        return day if day is not None else date.min


def exposed(threads: Threads, descended: Mapping[int, Descendant], since: date | None = None) -> dict[int, Exposure]:
    """Everything not of the clone that shares a plant with it on or after a day (None: ever), and what that was put on.

    `descended` is what `descendants` gave. A graft shares the plant it stands on with every graft alive there from the day both
    were there; wood shares the plant it was cut from if it was cut on or after that day. Each thing has its earliest day.
    """
    walk = _ExposureWalk(threads, descended)
    floor = since if since is not None else date.min
    for thing in descended:
        body = threads.body[thing]
        if threads.host[thing] != NONE:
            walk.reach(max(floor, walk._day(thing)), 1, body, thing)
        elif thing < threads.plants:
            walk.reach(floor, 1, thing, thing)
    walk.walk()
    return walk.found
