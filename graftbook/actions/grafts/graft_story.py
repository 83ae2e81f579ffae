"""The story of one graft in the order it is asked for: facts, doubts of the day, looks, care, attempts, what came of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown, ShownNames
from graftbook.actions.outcome import alive, standing_place, states
from graftbook.book import graft_queries, living_queries, look_queries
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.plants import Plant
from graftbook.units import show_length


@dataclass(frozen=True)
class StoryRow:
    """One thing the book has on a graft: a fact under its name, or something seen or done on a day."""

    section: str
    on: date | None
    name: str
    value: str
    who: str | None = None
    shown: ClassVar = ("on", "name", "value", "who")
    headings: ClassVar = {"name": "what", "value": "in words", "who": "by"}


class GraftStory:
    """A graft's story. `line` is the graft as a list has it, `unit` that of lengths, `names` what it and those beside it are."""

    def __init__(self, session: Session, graft: Graft, line: Any, unit: str) -> None:
        self._session, self._graft, self._line, self._unit = session, graft, line, unit
        self._below: list[Graft] = graft_queries.stack(session, graft) if graft.host_graft_id is not None else []
        self._here = _made_on_host(session, graft)
        self.foot: Plant = graft_queries.foot_plants(session, [graft])[graft.id]
        self.names: ShownNames = shown_names.of(session, [graft, self.foot, *self._below, *self._here])

    def rows(self) -> Iterator[StoryRow]:
        """Every row of it, in the order it is asked for."""
        session, graft, unit = self._session, self._graft, self._unit
        here = standing_place.of_graft(graft.place, self.foot).place
        yield from _facts(graft, self._line, here, self.names.of(graft), unit)
        if self._below:
            yield from _stack(graft, self.foot, self._below, self.names)
        for sentence in (graft.cautions or "").splitlines():
            yield StoryRow("cautions when it was made", graft.made_on, "", sentence)
        for look in look_queries.looks_at(session, [graft.id]):
            yield StoryRow("looks", look.on, look.state, look_words(look, unit), look.who)
        for care in look_queries.care_of(session, [graft.id], [graft.host_plant_id] if graft.host_plant_id else []):
            if care.on >= graft.made_on:
                yield StoryRow("care", care.on, care.what, _care_words(care, self._line), care.who)
        yield from _attempts(session, graft, self._line, self._here, self.names)
        for above in graft_queries.on_grafts(session, [graft.id]).get(graft.id, []):
            yield StoryRow("made on it", above.made_on, above.code, above.method, above.who)
        for bundle in graft_queries.wood_from(session, graft.id):
            yield StoryRow("wood cut from it", bundle.cut_on, bundle.code, bundle.store or "")


def _facts(graft: Graft, line: Any, place: str | None, shown: Shown, unit: str) -> Iterator[StoryRow]:
    stick = f"/{graft.stick}" if graft.stick is not None else ""
    kind = ", ".join(part for part in (shown.with_sureness if shown.cultivar else None, line.taxon) if part)
    old = f" (recorded as: {shown.recorded})" if shown.recorded else ""
    wood = f"{line.wood}{stick}{f': {kind}{old}' if kind else ''}" if line.wood is not None else None
    days = wood_age(line)
    age = None if days is None else f"{days} day{'' if days == 1 else 's'} from the tree when it was used"
    bench = None if graft.bench is None else "at the bench" if graft.bench else "in the field"
    bearing = None if graft.bearing_deg is None else f"{graft.bearing_deg} degrees"
    plain = (
        (graft.made_on, "made", f"by {graft.method}", graft.who), (None, "wood", wood, None),
        (None, "age of the wood", age, None),
        (None, "on", line.host, None),
        (None, "scion", show_length(graft.scion_mm, unit), None), (None, "stock", show_length(graft.stock_mm, unit), None),
        (None, "buds", graft.buds, None), (graft.tied_on, "tie", graft.tie, None), (None, "seal", graft.seal, None),
        (None, "place", place, None),
        (None, "stage of the stock", graft.stage, None), (None, "bench or field", bench, None),
        (None, "limb", graft.limb, None), (None, "bearing", bearing, None),
        (None, "height", show_length(graft.height_mm, unit), None), (None, "position", graft.position, None),
        (None, "trial", graft.trial, None), (None, "block", graft.block, None), (None, "note", graft.note, None),
    )  # fmt: skip
    for on, name, value, who in plain:
        if value not in (None, ""):
            yield StoryRow("facts", on, name, str(value), who)


def _stack(graft: Graft, plant: Plant, below: Sequence[Graft], names: ShownNames) -> Iterator[StoryRow]:
    """From the roots up, where the graft stands on an earlier graft: each piece, and the union below it."""
    section = "the stack, from the roots up"
    yield StoryRow(section, None, plant.code, plant.clone or names.of(plant).name or plant.kind)
    for each in below:
        kind = names.of(each).name or "kind not known"
        own = " (this one)" if each.id == graft.id else ", between" if each is not below[-1] else ""
        yield StoryRow(section, each.made_on, each.code, f"{kind}{own}, union by {each.method}", each.who)


def wood_age(line: Any) -> int | None:
    """Days from the cutting of the wood to the graft; None where the day of cutting is not known."""
    return (line.Graft.made_on - line.cut_on).days if line.cut_on is not None else None


def look_words(look: Look, unit: str) -> str:
    """What a look says beside its state, in a few words."""
    parts = (
        f"shoot {show_length(look.shoot_mm, unit)}" if look.shoot_mm is not None else None, look.cause,
        states.UNION_BLAME.get(look.union_fault or ""), f"stock {look.stock_fate}" if look.stock_fate is not None else None,
        look.note, f"photo {look.photo}" if look.photo is not None else None,
    )  # fmt: skip
    return "; ".join(part for part in parts if part)


def _care_words(care: Care, line: Any) -> str:
    whole = f"to {line.host} as a whole" if care.plant_id is not None else ""
    return "; ".join(part for part in (whole, care.note) if part)


def _made_on_host(session: Session, graft: Graft) -> list[Graft]:
    if graft.host_plant_id is not None:
        return list(graft_queries.made_on_plant(session, graft.host_plant_id))
    host = graft.host_graft_id or 0
    return list(graft_queries.on_grafts(session, [host]).get(host, []))


def _attempts(
    session: Session, graft: Graft, line: Any, here: Sequence[Graft], names: ShownNames
) -> Iterator[StoryRow]:
    looks = living_queries.last_looks(session, date.max, [each.id for each in here])
    held = alive.of_grafts(session, date.max, [each.id for each in here])
    for each in here:
        look, end = looks.get(each.id), held.end(each.id)
        kind = f"{names.of(each).written} " if names.of(each).written else ""
        last = f"{look.state} on {look.on.isoformat()}" if look else "not looked at"
        seen = end.words if end is not None else last
        where = f", {each.position or each.limb}" if each.position or each.limb else ""
        own = " (this one)" if each.id == graft.id else ""
        words = f"{kind}{each.method}{where}: {seen}{own}"
        yield StoryRow(f"attempts on {line.host}", each.made_on, each.code, words, each.who)
