"""What lives on a day: the one rule, asked by every verb that counts, walks to, cuts from or warns of living things.

The rule

- A plant is dead from the day it is recorded dead, and not here before the day it came.
- A graft is dead by a last look that saw it dead or not set. A last look that did not find it leaves it unknown, unless the
  look before saw it dead: that stands.
- What went home is unknown until it is seen again: a plant by a look at anything on it or by care other than going home, a
  graft by a look at it. A graft goes home with its plant; a stock goes home with the graft on it.
- What stands on a dead graft, on one that was not found or on one gone home, is itself dead or unknown, however many grafts
  lie between, until a look sees it alive on a later day; so is what was made on it before. Nothing lives on a dead plant.
- Everything else lives. Not looked at is no end, and a shrivelled shoot is a sign, not an end.

"Later" is a later day: of a death and a look on one day the death counts.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.book import graft_queries, living_queries, plant_queries, stacks
from graftbook.book.grafts import DEAD, NOT_ALIVE
from graftbook.book.living_queries import LastLook
from graftbook.book.plants import Plant
from graftbook.book.stacks import GraftOnHost

HOME, AHEAD = "gone home", "not here yet"


class End(NamedTuple):
    """How a thing ended: `how` is a state of NOT_ALIVE, HOME or AHEAD, on that day; `under` the code of what ended beneath it
    and it with that, None where it ended itself."""

    on: date
    how: str
    under: str | None = None

    @property
    def dead(self) -> bool:
        """Whether it is known to be dead; otherwise nobody knows."""
        return self.how in DEAD

    @property
    def words(self) -> str:
        """`dead on 2027-06-01`, or `G1 under it dead on 2027-06-01`."""
        beneath = f"{self.under} under it " if self.under is not None and self.how != HOME else ""
        return f"{beneath}{self.how} on {self.on.isoformat()}"


class Alive:
    """How plants and grafts stood on a day. Every graft asked about, and all that lies under it, must be among `grafts`."""

    def __init__(self, session: Session, day: date, grafts: Iterable[GraftOnHost], since: date | None = None) -> None:
        self.day = day
        self.grafts: dict[int, GraftOnHost] = {graft.id: graft for graft in grafts}
        self._feet: dict[int, int] = {}
        self._ends: dict[int, End | None] = {}
        whole = since is not None or len(self.grafts) > FEW
        self.looks = _looks(session, day, None if whole else self.grafts, since)
        if since is not None:
            old = [graft.id for graft in self.grafts.values() if graft.made_on < since]
            self.looks |= _looks(session, day, old, None)
        self.plants = living_queries.rooted(session, None if whole else {self.foot(number) for number in self.grafts})
        self._home = living_queries.went_home(session, day)
        self._plant_home = self._homes(session)

    def add_plants(self, session: Session, plant_ids: Iterable[int]) -> None:
        """Let plants without any graft among those read be asked about as well."""
        missing = set(plant_ids) - set(self.plants)
        if missing:
            self.plants |= living_queries.rooted(session, missing)
            self._plant_home = self._homes(session)

    def foot(self, graft_id: int) -> int:
        """Id of the plant at the foot of a graft's stack."""
        found = self._feet.get(graft_id)
        if found is None:
            found = self._feet[graft_id] = graft_queries.foot(self.grafts[graft_id], self.grafts)
        return found

    def plant_end(self, plant_id: int) -> End | None:
        """How a plant ended by the day; None while it lives and is here."""
        plant = self.plants[plant_id]
        if plant.died_on is not None and plant.died_on <= self.day:
            return End(plant.died_on, "dead")
        if plant_id in self._plant_home:
            return End(self._plant_home[plant_id], HOME)
        if plant.acquired_on is not None and plant.acquired_on > self.day:
            return End(plant.acquired_on, AHEAD)
        return None

    def end(self, graft_id: int) -> End | None:
        """How a graft ended by the day; None while it lives and is here."""
        if graft_id not in self._ends:
            self._ends[graft_id] = self._end(self.grafts[graft_id])
        return self._ends[graft_id]

    def open_hosts(self) -> frozenset[int]:
        """Ids of the plants on which a graft lives, or at whose foot one does."""
        return frozenset(self.foot(number) for number in self.grafts if self.end(number) is None)

    def _end(self, graft: GraftOnHost) -> End | None:
        if graft.made_on > self.day:
            return End(graft.made_on, AHEAD)
        look = self.looks.get(graft.id)
        own = End(look.on, look.state) if look is not None and look.state in NOT_ALIVE else None
        if own is not None and own.dead:
            return own
        plant = self.plants[self.foot(graft.id)]
        if plant.died_on is not None and plant.died_on <= self.day:
            return End(plant.died_on, "dead", plant.code)
        home, below = self._home.grafts.get(graft.id), self._below(graft)
        if own is None and home is None and below is None:
            return None
        gone = home is not None and home >= graft.made_on and (look is None or look.on <= home)
        seen = graft.made_on if look is None or own is not None else max(look.on, graft.made_on)
        ends = (own, End(home, HOME) if gone and home is not None else None,
                below if below is not None and seen <= below.on else None)  # fmt: skip
        return min((end for end in ends if end is not None), key=_tells, default=None)

    def _below(self, graft: GraftOnHost) -> End | None:
        """How what a graft was made on ended, under the name of what ended."""
        if graft.host_plant_id is not None:
            end, code = self.plant_end(graft.host_plant_id), self.plants[graft.host_plant_id].code
            return None if end is None or end.how == AHEAD else end._replace(under=code)
        host = self.grafts[graft.host_graft_id or 0]
        end = self.end(host.id)
        return None if end is None or end.how == AHEAD else end._replace(under=end.under or host.code)

    def _homes(self, session: Session) -> Mapping[int, date]:
        """Plants gone home and not seen since, with the day."""
        gone = {plant: on for plant, on in self._home.plants.items() if plant in self.plants}
        for graft_id, on in self._home.grafts.items():
            if graft_id in self.grafts and self.plants[self.foot(graft_id)].kind == "stock":
                gone[self.foot(graft_id)] = max(on, gone.get(self.foot(graft_id), on))
        if not gone:
            return gone
        seen = living_queries.last_cared_for(session, gone, self.day)
        for graft_id in self.grafts:
            plant, look = self.foot(graft_id), self.looks.get(graft_id)
            alive = look is not None and look.state not in NOT_ALIVE
            last = look.on if look is not None and alive else self.grafts[graft_id].made_on
            if plant in gone and last <= self.day:
                seen[plant] = max(last, seen.get(plant, last))
        return {plant: on for plant, on in gone.items() if seen.get(plant, on) <= on}


def _tells(end: End) -> tuple[bool, int]:
    """Of several ends a death counts before what is not known, then the newest."""
    return not end.dead, -end.on.toordinal()


FEW = 5_000
"""Up to so many grafts, looks and plants are asked for by number; beyond that those of the whole book are read."""


def alive_at(session: Session, day: date) -> Alive:
    """How everything in the book stood on a day."""
    return Alive(session, day, stacks.on_hosts(session), date.min)


def made_since(session: Session, day: date, grafts: Iterable[GraftOnHost], since: date = date.min) -> Alive:
    """How grafts stood on a day, all that were made from a day on being given; what lies under them is read as well."""
    return Alive(session, day, (*grafts, *stacks.grafted_on(session, since)), since)


def on_plants(session: Session, day: date, plant_ids: Collection[int]) -> Alive:
    """How these plants, and all the grafts made on them, stood on a day."""
    found = Alive(session, day, stacks.on_plants(session, plant_ids))
    found.add_plants(session, plant_ids)
    return found


def of_grafts(session: Session, day: date, graft_ids: Collection[int], plant_ids: Iterable[int] = ()) -> Alive:
    """How the plants at the foot of these grafts, other plants, and every graft made on any of them, stood on a day."""
    if len(graft_ids) > FEW:
        return alive_at(session, day)
    return on_plants(session, day, _feet_of(session, graft_ids) | set(plant_ids))


def free_stocks(session: Session, day: date) -> list[Plant]:
    """Stocks, by number, that live and are here on a day, were not seen dead at a look, and carry no living graft."""
    held = alive_at(session, day)
    taken, dead = held.open_hosts(), seen_dead(session, held)
    return [
        plant
        for plant in plant_queries.stocks(session)
        if held.plant_end(plant.id) is None and plant.id not in taken and plant.id not in dead
    ]


def seen_dead(session: Session, held: Alive, graft_ids: Iterable[int] | None = None) -> dict[int, tuple[date, str]]:
    """Plants whose stock the newest look that says anything of it found dead: the day and the graft looked at. `graft_ids`
    narrows it to looks at these (None: any)."""
    newest: dict[int, tuple[date, str, str]] = {}
    for graft_id, on, fate in living_queries.stock_fates(session, held.day, graft_ids):
        newest[held.foot(graft_id)] = (on, held.grafts[graft_id].code, fate)
    return {plant_id: (on, code) for plant_id, (on, code, fate) in newest.items() if fate == "dead"}


def ended_unseen(session: Session, day: date) -> dict[int, End]:
    """How grafts ended by a day where that is not told by looks at themselves: gone home and not seen since, or with what they
    stand on. By id; `under` is left out, so that grafts that ended alike are alike."""
    gone = living_queries.went_home(session, day)
    stacked = stacks.feet_of_stacked(session).values()
    feet = {*gone.plants, *_feet_of(session, gone.grafts), *stacked, *living_queries.died(session, day)}
    if not feet:
        return {}
    held = on_plants(session, day, feet)
    ends = {number: end for number in held.grafts if (end := held.end(number)) is not None}
    return {
        number: end._replace(under=None) for number, end in ends.items() if end.how == HOME or end.under is not None
    }


def _feet_of(session: Session, graft_ids: Iterable[int]) -> set[int]:
    below = stacks.under(session, graft_ids)
    return {graft.host_plant_id for graft in below.values() if graft.host_plant_id is not None}


def _looks(session: Session, day: date, ids: Iterable[int] | None, since: date | None) -> dict[int, LastLook]:
    """The last look at each graft, and where it did not find what was seen dead before, the look that saw it dead."""
    looks = living_queries.last_looks(session, day, ids, since)
    missing = [number for number, look in looks.items() if look.state == "not-found"]
    before = living_queries.last_found(session, day, missing)
    return looks | {number: look for number, look in before.items() if look.state in DEAD}
