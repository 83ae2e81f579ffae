"""The story of one graft in the order it is asked for: facts, doubts of the day, looks, care, attempts, what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.outcome import standing_place
from graftbook.actions.outcome.subjects import ending
from graftbook.book import find, graft_queries, look_queries
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.wood import Bundle
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


def story(session: Session, graft: Graft, line: Any, unit: str) -> Iterator[StoryRow]:
    """Every row of a graft's story. `line` is the graft as a list has it, `unit` that of lengths."""
    foot = graft_queries.foot_plants(session, [graft])[graft.id]
    yield from _facts(graft, line, standing_place.of_graft(graft.place, foot).place, unit)
    yield from _stack(session, graft)
    for sentence in (graft.cautions or "").splitlines():
        yield StoryRow("minded when it was made", graft.made_on, "", sentence)
    for look in look_queries.looks_at(session, [graft.id]):
        yield StoryRow("looks", look.on, look.state, look_words(look, unit), look.who)
    for care in look_queries.care_of(session, [graft.id], [graft.host_plant_id] if graft.host_plant_id else []):
        if care.on >= graft.made_on:
            yield StoryRow("care", care.on, care.what, _care_words(care, line), care.who)
    yield from _attempts(session, graft, line)
    for above in graft_queries.on_grafts(session, [graft.id]).get(graft.id, []):
        yield StoryRow("made on it", above.made_on, above.code, above.method, above.who)
    for bundle in graft_queries.wood_from(session, graft.id):
        yield StoryRow("wood cut from it", bundle.cut_on, bundle.code, bundle.store or "")


def _facts(graft: Graft, line: Any, place: str | None, unit: str) -> Iterator[StoryRow]:
    stick = f"/{graft.stick}" if graft.stick is not None else ""
    kind = ", ".join(part for part in (f"'{line.cultivar}'" if line.cultivar else None, line.taxon) if part)
    wood = f"{line.wood}{stick}{f': {kind}' if kind else ''}" if line.wood is not None else None
    bench = None if graft.bench is None else "at the bench" if graft.bench else "in the field"
    bearing = None if graft.bearing_deg is None else f"{graft.bearing_deg} degrees"
    plain = (
        (graft.made_on, "made", f"by {graft.method}", graft.who), (None, "wood", wood, None),
        (None, "age of the wood", _age(line), None),
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


def _stack(session: Session, graft: Graft) -> Iterator[StoryRow]:
    """From the roots up, where the graft stands on an earlier graft: each piece, and the union below it."""
    if graft.host_graft_id is None:
        return
    below = graft_queries.stack(session, graft)
    plant = graft_queries.foot_plants(session, [graft])[graft.id]
    wood = find.by_id(session, Bundle, [each.bundle_id for each in below])
    yield StoryRow(
        "the stack, from the roots up", None, plant.code, plant.clone or plant.cultivar or plant.taxon or plant.kind
    )
    for each in below:
        bundle = wood.get(each.bundle_id)
        kind = (bundle.cultivar or bundle.taxon if bundle is not None else None) or "kind not known"
        own = " (this one)" if each.id == graft.id else ", between" if each is not below[-1] else ""
        yield StoryRow(
            "the stack, from the roots up", each.made_on, each.code, f"{kind}{own}, union by {each.method}", each.who
        )


def _age(line: Any) -> str | None:
    if line.cut_on is None:
        return None
    days = (line.Graft.made_on - line.cut_on).days
    return f"{days} day{'' if days == 1 else 's'} from the tree when it was used"


def look_words(look: Look, unit: str) -> str:
    """What a look says beside its state, in a few words."""
    union = {"yes": "the union to blame", "no": "not the union", "unsure": "unsure whether the union"}
    parts = (
        f"shoot {show_length(look.shoot_mm, unit)}" if look.shoot_mm is not None else None, look.cause,
        union.get(look.union_fault or ""), f"stock {look.stock_fate}" if look.stock_fate is not None else None,
        look.note, f"photo {look.photo}" if look.photo is not None else None,
    )  # fmt: skip
    return "; ".join(part for part in parts if part)


def _care_words(care: Care, line: Any) -> str:
    whole = f"to {line.host} as a whole" if care.plant_id is not None else ""
    return "; ".join(part for part in (whole, care.note) if part)


def _attempts(session: Session, graft: Graft, line: Any) -> Iterator[StoryRow]:
    if graft.host_plant_id is not None:
        here = graft_queries.made_on_plant(session, graft.host_plant_id)
    else:
        here = graft_queries.on_grafts(session, [graft.host_graft_id]).get(graft.host_graft_id, [])
    wood = find.by_id(session, Bundle, [each.bundle_id for each in here])
    looks = graft_queries.last_looks(session, [each.id for each in here], date.max)
    for each in here:
        bundle, look = wood.get(each.bundle_id), looks.get(each.id)
        kind = "" if bundle is None else f"'{bundle.cultivar}' " if bundle.cultivar else f"{bundle.code} "
        seen = ending(each, look, None) or (f"{look.state} on {look.on.isoformat()}" if look else "not looked at")
        where = f", {each.position or each.limb}" if each.position or each.limb else ""
        own = " (this one)" if each.id == graft.id else ""
        yield StoryRow(
            f"attempts on {line.host}", each.made_on, each.code, f"{kind}{each.method}{where}: {seen}{own}", each.who
        )
