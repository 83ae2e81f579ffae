"""tree sheet: what stands on one tree, limb by limb, as a page for the shed wall."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, count
from graftbook.actions.desk.sorting import natural
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import ShownNames
from graftbook.actions.outcome import subjects
from graftbook.actions.outcome.subjects import GraftWithEnd
from graftbook.actions.tags import tag_fields
from graftbook.book import living_queries, tag_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.lineage import positions
from graftbook.paper.tree_sheet import TreeGraft, TreeSheet, draw
from graftbook.paper.tree_views import GraftMark
from graftbook.trade.taxa import common_name
from graftbook.units import show_length

_LAST = 10**9


@dataclass(frozen=True)
class SheetRow:
    """One graft of a tree's sheet by its number there. `limb` is that of the graft below where it has none of its own;
    `bearing` the nearest of the sixteen points; height in mm; `state` is that of the last look; `tag` says what is
    wrong with its tag, None where nothing is known to be."""

    number: int
    code: str
    cultivar: str | None
    host: str
    limb: str | None
    bearing_deg: int | None
    bearing: str | None
    height_mm: float | None
    made_on: date
    state: str | None
    tag: str | None
    shown: ClassVar = ("number", "code", "cultivar", "limb", "bearing", "height_mm", "made_on", "state", "tag")
    headings: ClassVar = {"number": "no.", "height_mm": "height", "made_on": "made"}


def write_sheet(desk: Desk, text: str, output: Path, paper: str = "a4") -> Report:
    """Write the sheet of one tree as PDF. Raises UsageProblem for several plants or another paper, CannotWrite."""
    with desk.book.read() as session:
        plant = subjects.one_plant(session, text)
        stood = subjects.standing(session, [plant], desk.today).get(plant.id, [])
        made = {each.graft.id: each.graft for each in stood}
        grafts = sorted(
            (each.graft for each in stood if each.ended is None), key=lambda graft: _limb_by_limb(graft, made)
        )
        names = shown_names.of(session, [plant, *grafts])
        rows = _rows(session, plant, grafts, stood, names, desk.today)
        sheet = _sheet(desk, plant, names.of(plant).cultivar, grafts, rows, len(stood) - len(grafts))
    write_file(output, draw(sheet, paper))
    notes: tuple[str, ...] = (
        f"Wrote {output}. Print it at actual size, not fitted to the page, so that the codes scan.",
    )
    missing = [row.code for row in rows if row.bearing_deg is None and row.height_mm is None]
    if missing:
        height = "54in" if desk.settings.units == "in" else "1.4m"
        notes += (f"{count(len(missing), 'graft')} without bearing or height: graftbook graft amend {missing[0]} --bearing NW "
                  f"--height {height}.",)  # fmt: skip
    notes += tuple(_look_again(rows, stood, plant))
    facts = {"as_of": desk.today, "code": plant.code, "file": str(output), "paper": paper.strip().lower()}
    return Report(SheetRow, tuple(rows), notes, facts, f"{plant.code}: {count(len(rows), 'living graft')}")


def _look_again(rows: Sequence[SheetRow], stood: Sequence[GraftWithEnd], plant: Plant) -> Iterator[str]:
    """Sentences on grafts that stand on a dead one, seen alive since or not."""
    lost = {each.graft.code: each.ended for each in stood if each.ended is not None}
    for row in rows:
        if row.host in lost:
            yield f"{row.code} stands on {row.host}, {lost[row.host]}: look at {row.code} again."
    for each in stood:
        code, end = each.graft.code, each.end
        if end is not None and end.dead and end.under not in (None, plant.code):
            died = f"{end.under}, {end.how} on {end.on.isoformat()}"
            yield f"{code} stands on {died}, and counts as dead with it: look at {code} again."


def _limb_by_limb(graft: Graft, made: Mapping[int, Graft]) -> tuple[Any, ...]:
    """A graft on a graft follows the one it stands on, on whose limb it is unless it has one of its own."""
    limb = _limb(graft, made)
    below = _below(graft, made)
    height = _height(graft, made)
    name = () if limb is None else natural(" ".join(limb.split()))
    return limb is None, name, height, below.number if below is not None else graft.number, graft.number


def _below(graft: Graft, made: Mapping[int, Graft]) -> Graft | None:
    """The graft it was made on; None where that is the plant itself."""
    return made.get(graft.host_graft_id) if graft.host_graft_id is not None else None


def _limb(graft: Graft, made: Mapping[int, Graft]) -> str | None:
    """The limb a graft is on: its own, else that of the graft it stands on."""
    return next((each.limb for each in _down(graft, made) if each.limb is not None), None)


def _height(graft: Graft, made: Mapping[int, Graft]) -> float:
    return next((each.height_mm for each in _down(graft, made) if each.height_mm is not None), _LAST)


def _down(graft: Graft | None, made: Mapping[int, Graft]) -> Iterator[Graft]:
    """A graft and those under it, down to the plant."""
    while graft is not None:
        yield graft
        graft = _below(graft, made)


def _rows(
    session: Session, plant: Plant, grafts: Sequence[Graft], stood: Sequence[GraftWithEnd], names: ShownNames, day: date
) -> list[SheetRow]:
    made = {each.graft.id: each.graft for each in stood}
    looks = living_queries.last_looks(session, day, [graft.id for graft in grafts])
    marks = tag_queries.tag_marks(session, day)
    found = []
    for number, graft in enumerate(grafts, 1):
        look, kind = looks.get(graft.id), names.of(graft).name
        host = made[graft.host_graft_id].code if graft.host_graft_id is not None else plant.code
        bearing = positions.point(graft.bearing_deg) if graft.bearing_deg is not None else None
        last = marks.get(f"G{graft.id}", [])[-1:]
        wrong = last[0].what.removeprefix("tag-") if last and last[0].what != "lasting-tag" else None
        found.append(SheetRow(number, graft.code, kind, host, _limb(graft, made), graft.bearing_deg, bearing, graft.height_mm,
                              graft.made_on,
                              look.state if look is not None else None, wrong))  # fmt: skip
    return found


def _sheet(
    desk: Desk, plant: Plant, called: str | None, grafts: Sequence[Graft], rows: Sequence[SheetRow], ended: int
) -> TreeSheet:
    unit, site = desk.settings.units, desk.settings.site
    tag = tag_fields.tag(plant.code, site=site)
    drawn = tuple(_drawn(row, graft, unit, site) for row, graft in zip(rows, grafts, strict=True))
    stands = ", ".join(part for part in (plant.site, tag_fields.where(plant.place, plant.row, plant.order)) if part)
    kind = common_name(plant.taxon)
    name = called or ", ".join(part for part in (kind, plant.clone) if part) or plant.kind
    notes = (f"As of {desk.today.isoformat()}: {count(len(rows), 'living graft')}"
             + (f", {ended} ended and not shown" if ended else "") + ".",
             "Scan a code, or: graftbook graft show CODE.")  # fmt: skip
    return TreeSheet(tag.head, tag.payload, name, stands, desk.today.isoformat(), drawn, notes)


def _drawn(row: SheetRow, graft: Graft, unit: str, site: str) -> TreeGraft:
    tag = tag_fields.tag(row.code, site=site)
    height = show_length(row.height_mm, unit) if row.height_mm is not None else ""
    point = positions.point(row.bearing_deg) if row.bearing_deg is not None else None
    parts = (point, height, f"on {row.host}" if graft.host_graft_id is not None else None, graft.position)
    limb = row.limb or ""
    return TreeGraft(
        GraftMark(row.number, row.bearing_deg, row.height_mm, height), tag.head, tag.payload, row.cultivar or "kind not known",
        limb if not limb or "limb" in limb.casefold() else f"limb {limb}", ", ".join(part for part in parts if part),
        row.made_on.year, graft.method, row.state or "not looked at", row.tag or "",
    )  # fmt: skip
