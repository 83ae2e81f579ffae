"""Following wood: up to where it came from, down to all that came from it, and aside to what shared a plant with it.

Descended things are one clone: cut from one another, thread by thread, never by name. Exposed things are not of the clone;
they stand on a plant that also carries it, or were cut from such a plant, or stand on plants that those were put on. The two
are never one list. Every walk runs over the arrays of the threads once.
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
class Step:
    """One thing on the way up: `generation` counts threads from the thing asked about; `possible` where wood was mixed and
    it came from this or from another."""

    thing: int
    generation: int
    possible: bool


class Descent(NamedTuple):
    """One thing that descends from what was asked about. `came_from` is the thing it was cut from (NONE for those asked
    about); `possible` where it came through mixed wood and may have come from another bundle."""

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


def up(threads: Threads, start: int, sources: Mapping[int, Sequence[int]]) -> list[Step]:
    """Everything a thing came from, nearest first; `sources` says which bundles things out of a mix can have come from."""
    steps: list[Step] = []
    seen: set[int] = set()
    waiting = deque([(start, 0, False)])
    while waiting:
        thing, generation, doubt = waiting.popleft()
        if thing in seen:
            continue
        seen.add(thing)
        steps.append(Step(thing, generation, doubt))
        if threads.parent[thing] != NONE:
            waiting.append((threads.parent[thing], generation + 1, doubt))
        elif thing in threads.mix_of:
            mix = threads.mix_of[thing]
            parts = sources.get(thing, mix.parts)
            several = doubt or len(parts) != 1
            waiting.extend((part, generation + 1, several) for part in parts)
    return steps[1:]


def down(
    threads: Threads, starts: Iterable[int], since: date | None, sources: Mapping[int, Sequence[int]]
) -> dict[int, Descent]:
    """Everything of one clone that came from the things given, cut or made on or after a day (None: ever); they head the
    list. Things without a day are taken in."""
    found: dict[int, Descent] = {}
    waiting = deque(Descent(start, 0, NONE, False) for start in starts)
    while waiting:
        here = waiting.popleft()
        held = found.get(here.thing)
        if held is not None and not (held.possible and not here.possible):
            continue
        found[here.thing] = here
        after = here.generation + 1
        for child in threads.children.get(here.thing, ()):
            if _late_enough(threads.day[child], since):
                waiting.append(Descent(child, after, here.thing, here.possible))
        for mix in threads.mixed_into.get(here.thing, ()):
            if _late_enough(mix.on, since):
                for thing in (mix.bundle, *mix.sticks, *mix.loose):
                    parts = sources.get(thing, mix.parts)
                    if here.thing in parts:
                        sure = all(part in found and not found[part].possible for part in parts)
                        waiting.append(Descent(thing, after, here.thing, not sure))
    return found


def _late_enough(day: date | None, since: date | None) -> bool:
    return since is None or day is None or day >= since


class _Aside:
    """The walk from plant to plant, earliest day first."""

    def __init__(self, threads: Threads, descended: Mapping[int, Descent]) -> None:
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
                    if self.threads.day[bundle] is None or self.threads.day[bundle] >= day:
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
        """Keep the earliest word on a thing that is not of the clone itself."""
        if thing in self.descended:
            return
        held = self.found.get(thing)
        since = None if day == date.min else day
        if held is None or (held.since is not None and day < held.since):
            self.found[thing] = Exposure(thing, since, how, by, plants)

    def _day(self, thing: int) -> date:
        day = self.threads.day[thing]
        return day if day is not None else date.min


def exposed(threads: Threads, descended: Mapping[int, Descent], since: date | None = None) -> dict[int, Exposure]:
    """Everything not of the clone that shares a plant with it on or after a day (None: ever), and what that was put on.

    A graft shares the plant it stands on with every graft alive there from the day both were there; wood shares the plant
    it was cut from if it was cut on or after that day. Each thing has its earliest day.
    """
    walk = _Aside(threads, descended)
    floor = since if since is not None else date.min
    for thing in descended:
        body = threads.body[thing]
        if threads.host[thing] != NONE:
            walk.reach(max(floor, walk._day(thing)), 1, body, thing)
        elif thing < threads.plants:
            walk.reach(floor, 1, thing, thing)
    walk.walk()
    return walk.found
