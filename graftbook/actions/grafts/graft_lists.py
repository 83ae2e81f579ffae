"""Grafts listed by page with what was last seen of them, and the whole story of one."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, filled, page_notes
from graftbook.actions.grafts.graft_story import GraftStory, StoryRow, wood_age
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown
from graftbook.actions.outcome import standing_place, states, subjects
from graftbook.actions.trade import own_tables
from graftbook.book import find, graft_queries
from graftbook.book.graft_queries import Wanted
from graftbook.book.plants import Plant
from graftbook.errors import UsageProblem
from graftbook.season import turn


@dataclass(frozen=True)
class GraftRow:
    """One graft of a list, with its last look. Diameters and lengths in mm; `wood_age_days` from
    the day its wood was cut to the day it was made; `state` None means it was not looked at; `cultivar` is what it is or
    might be, and `sure` how sure that is, None where nobody gave a name."""

    code: str
    wood: str | None
    stick: int | None
    cultivar: str | None
    taxon: str | None
    host: str | None
    method: str
    unit: str
    made_on: date
    scion_mm: float | None
    stock_mm: float | None
    buds: int | None
    tie: str | None
    seal: str | None
    tied_on: date | None
    who: str | None
    place: str | None
    stage: str | None
    bench: bool | None
    limb: str | None
    bearing_deg: int | None
    height_mm: float | None
    position: str | None
    trial: str | None
    block: str | None
    state: str | None
    looked_on: date | None
    shoot_mm: float | None
    wood_age_days: int | None
    note: str | None
    sure: str | None
    shown: ClassVar = ("code", "made_on", "method", "cultivar", "host", "state", "looked_on")
    headings: ClassVar = {"made_on": "made", "host": "on", "state": "last look", "looked_on": "seen"}


def list_grafts(
    desk: Desk, *, place: str | None = None, host: str | None = None, wood: str | None = None, method: str | None = None,
    season: str | None = None, state: str | None = None, limit: int = 200, page: int = 1,
) -> Report:  # fmt: skip
    """One page of grafts by number. `host` is a plant, with all that stands on it, or a graft, with what was made on it;
    `state` is that of the last look, or `not looked at`; `season` is written 2026-27."""
    bounds = turn.season_bounds(season, desk.settings.hemisphere) if season is not None else (None, None)
    seen = states.state_or_unseen(state) if state is not None else None
    with desk.book.read() as session:
        places, notes = _places(session, place)
        bundle_id, stick = _wood(session, wood)
        key = own_tables.method_named(session, method).method if method is not None else None
        unseen = state is not None and seen is None
        wanted = Wanted(places, _on(session, host), bundle_id, stick, key, bounds[0], bounds[1], seen, unseen)
        found, total = graft_queries.page(session, wanted, limit, (page - 1) * limit)
        names = shown_names.of(session, [line.Graft for line in found])
        feet = graft_queries.foot_plants(session, [line.Graft for line in found])
        rows = tuple(_row(line, names.of(line.Graft), feet[line.Graft.id]) for line in found)
    facts = {"as_of": desk.today, "total": total, "page": page}
    return Report(GraftRow, rows, (*notes, *page_notes(len(rows), total, limit, page, "graft")), facts)


def _row(line: Any, shown: Shown, foot: Plant) -> GraftRow:
    graft, look = line.Graft, line.Look
    state, seen_on, shoot = (look.state, look.on, look.shoot_mm) if look is not None else (None, None, None)
    return filled(
        GraftRow, graft, line, cultivar=shown.cultivar, sure=shown.sure, wood_age_days=wood_age(line),
        place=standing_place.of_graft(graft.place, foot).place, state=state, looked_on=seen_on, shoot_mm=shoot,
    )  # fmt: skip


def _places(session: Session, text: str | None) -> tuple[tuple[str, ...] | None, tuple[str, ...]]:
    if text is None:
        return None, ()
    held = graft_queries.places(session)
    found = tuple(place for place in held if naming.key(place) == naming.key(text))
    known = f" Places in this book: {', '.join(held[:20])}." if held else ""
    return found, () if found else (f"No graft stands at {text!r}.{known}",)


def _wood(session: Session, text: str | None) -> tuple[int | None, int | None]:
    if text is None:
        return None, None
    code = codes.read_one(text)
    if code.letter != "W":
        raise UsageProblem("wood, such as W7 or W7/3", repr(text))
    return find.one(session, code).id, code.stick


def _on(session: Session, text: str | None) -> tuple[int, ...] | None:
    if text is None:
        return None
    rows = subjects.things_meant(session, text)
    plants = [row.id for row in rows if isinstance(row, Plant)]
    others = [row.id for row in rows if not isinstance(row, Plant)]
    on_plants = graft_queries.standing_on(session, plants)
    on_grafts = graft_queries.on_grafts(session, others)
    return tuple(graft.id for here in (*on_plants.values(), *on_grafts.values()) for graft in here)


def show_graft(desk: Desk, text: str) -> Report:
    """The whole story of one graft, or of the only open one of a plant: facts, doubts, looks, care, every attempt on the
    same host in order, and what came of it. The flat facts of the graft stand beside the rows."""
    with desk.book.read() as session:
        meant = subjects.grafts_meant(session, text, desk.today)
        if len(meant) != 1:
            raise UsageProblem("one graft, such as G5", f"{len(meant)} of them")
        graft = meant[0]
        line = graft_queries.page(session, Wanted(ids=(graft.id,)), 1)[0][0]
        story = GraftStory(session, graft, line, desk.settings.units)
        rows = tuple(story.rows())
        shown = story.names.of(graft)
        facts = {"as_of": desk.today, **asdict(_row(line, shown, story.foot))}
    title = f"{graft.code}{f', {shown.with_sureness}' if shown.with_sureness else ''} on {line.host}"
    note = f"What was written, and when: graftbook history {graft.code}"
    return Report(StoryRow, rows, (note,), facts, title=title, group="section")
