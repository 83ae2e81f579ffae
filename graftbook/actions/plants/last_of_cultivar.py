"""Before a limb or a plant goes: what living grafts go with it, and which cultivars would live nowhere else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count, first_of
from graftbook.actions.desk.sorting import natural
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import last_copies, shown_names
from graftbook.actions.names.last_copies import LastCopy
from graftbook.actions.names.shown_names import Shown
from graftbook.actions.outcome import subjects
from graftbook.actions.outcome.plant_days import alive_on
from graftbook.actions.plants.plants import dated_note, may_die
from graftbook.book import living_queries, plant_queries
from graftbook.book.grafts import Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.unit import Unit
from graftbook.errors import NotFound, Refused

LIMB_CUT, PLANT_GONE = "limb cut off", "plant taken away"


@dataclass(frozen=True)
class Leaving:
    """What goes: living grafts by number with the words for what they are, and the cultivars that would live nowhere
    else."""

    what: str
    grafts: tuple[Graft, ...]
    kinds: tuple[str, ...]
    last_ones: tuple[LastCopy, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What a person should read before it goes; empty when nothing is lost."""
        return (*self._with_it(), *(one.before for one in self.last_ones))

    def _with_it(self) -> tuple[str, ...]:
        if not self.grafts:
            return ()
        named = first_of(
            [f"{graft.code} {kind}" for graft, kind in zip(self.grafts, self.kinds, strict=True)], 12, ", "
        )
        return (f"With {self.what} {count(len(self.grafts), 'living graft')} would go: {named}.",)


def ahead(desk: Desk, text: str, limb: str | None = None, on: str | None = None) -> tuple[str, ...]:
    """What would be lost if the limb, or the whole plant where `limb` is None, went on a day; empty when nothing would.

    Raises UsageProblem unless one plant is named, NotFound for a limb that nothing stands on.
    """
    day = desk.day(on)
    with desk.book.read() as session:
        return leaving(session, subjects.one_plant(session, text), limb, day).sentences


def leaving(session: Session, plant: Plant, limb: str | None, day: date) -> Leaving:
    """What goes with a limb, or with the whole plant. Raises as `ahead`."""
    here = subjects.standing(session, [plant], day).get(plant.id, ())
    alive = [each.graft for each in here if each.ended is None]
    if limb is not None:
        there = on_limb(plant, [each.graft for each in here], limb, day)
        alive = [graft for graft in alive if graft.id in there]
    what = f"limb {limb} of {plant.code}" if limb is not None else plant.code
    names = shown_names.of(session, alive)
    kinds = tuple(_kind(names.of(graft)) for graft in alive)
    own = [plant.id] if limb is None else []
    return Leaving(what, tuple(alive), kinds, last_copies.last_copies(session, own, [graft.id for graft in alive], day))


def _kind(shown: Shown) -> str:
    return " or ".join(f"‘{name}’" for name in shown.names) or shown.cultivar or "of unknown kind"


def on_limb(plant: Plant, grafts: Sequence[Graft], limb: str, day: date) -> frozenset[int]:
    """Ids of the grafts on a limb and of all that stands on them. Raises NotFound where none was made on it by that day."""
    wanted = limb_key(limb)
    found = {graft.id for graft in grafts if graft.limb is not None and limb_key(graft.limb) == wanted}
    if not found:
        named = sorted(
            {limb_key(graft.limb): graft.limb for graft in grafts if graft.limb is not None}.values(), key=natural
        )
        if not named:
            raise NotFound(
                f"no graft on {plant.code} has a limb recorded by {day.isoformat()}",
                next_step=f"See what stands on it: graftbook find --host {plant.code}",
            )
        limbs = f"limb{'s' if len(named) > 1 else ''} {', '.join(named)}"
        raise NotFound(
            f"no graft is recorded on limb {limb!r} of {plant.code} by {day.isoformat()}; there are grafts on {limbs}",
            next_step="Only a limb that carries grafts is known to the book: name one of those",
        )
    while above := {graft.id for graft in grafts if graft.host_graft_id in found} - found:
        found |= above
    return frozenset(found)


def limb_key(limb: str) -> str:
    """A limb's name for telling whether two spellings are one limb; signs alone, such as `#`, are kept."""
    return naming.key(limb) or " ".join(limb.split())


def after(gone: Leaving) -> tuple[str, ...]:
    """Sentences for after it went: which cultivars live nowhere in this book any more."""
    return tuple(one.after for one in gone.last_ones)


def limb_gone(
    desk: Desk, text: str, limb: str, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record that a limb came off and the living grafts on it with it, as one entry: a look at each, no union to blame."""
    day = desk.day(on)
    with desk.book.write("limb gone", desk.person(who)) as unit:
        plant = subjects.one_plant(unit.session, text)
        alive_on(plant, day, "a limb coming off")
        gone = leaving(unit.session, plant, limb, day)
        record(unit, gone, day, LIMB_CUT, note)
        if not gone.grafts:
            raise Refused(
                f"no living graft is on limb {limb} of {plant.code} on {day.isoformat()}, so there is nothing to record"
            )
        entry = unit.commit(f"Limb {limb} of {plant.code} gone, {day.isoformat()}, with {went(gone)}")
    return Recorded(f"{entry.summary}.", entry.id, tuple(graft.code for graft in gone.grafts), after(gone))


def plant_gone(
    desk: Desk, text: str, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record that a plant was taken away, felled or given up, and the living grafts on it with it, as one entry."""
    day = desk.day(on)
    with desk.book.write("plant gone", desk.person(who)) as unit:
        plant = subjects.one_plant(unit.session, text)
        may_die(plant, day, plant_queries.event_days(unit.session, [plant.id]).get(plant.id))
        gone = leaving(unit.session, plant, None, day)
        record(unit, gone, day, PLANT_GONE, note)
        unit.amend(plant, died_on=day, **dated_note(plant, day, note))
        with_it = f", with {went(gone)}" if gone.grafts else ""
        entry = unit.commit(f"{plant.code} gone, {day.isoformat()}{with_it}")
    named = (plant.code, *(graft.code for graft in gone.grafts))
    return Recorded(f"{entry.summary}.", entry.id, named, after(gone))


def record(unit: Unit, gone: Leaving, day: date, cause: str, note: str | None = None) -> None:
    """Write down a look at each graft that goes. Raises Refused where one was seen after that day."""
    seen = living_queries.last_looks(unit.session, date.max, [graft.id for graft in gone.grafts])
    later = [f"{graft.code} on {seen[graft.id].on.isoformat()}" for graft in gone.grafts
             if graft.id in seen and seen[graft.id].on > day]  # fmt: skip
    if later:
        raise Refused(
            f"these grafts were seen after {day.isoformat()}: {'; '.join(later[:10])}",
            "",
            "Give the right day with --on",
        )
    unit.add_many(
        Look,
        [{"graft_id": graft.id, "on": day, "state": "dead", "cause": cause, "union_fault": "no", "who": unit.entry.who,
          "note": blank(note)} for graft in gone.grafts],
    )  # fmt: skip


def went(gone: Leaving) -> str:
    """How many grafts go, and which."""
    if not gone.grafts:
        return "no living graft"
    return f"{count(len(gone.grafts), 'graft')} {code_list(tuple(graft.code for graft in gone.grafts))}"
