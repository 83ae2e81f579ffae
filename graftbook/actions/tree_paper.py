"""tree sheet: what stands on one tree, limb by limb, as a page for the shed wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions import leaving, subjects, tag_words
from graftbook.actions.desk import Desk
from graftbook.actions.file_out import write_file
from graftbook.actions.results import Report, count
from graftbook.actions.round_sheet import natural
from graftbook.book import find, graft_queries, tag_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.lineage import positions
from graftbook.paper.tree_sheet import TreeGraft, TreeSheet, draw
from graftbook.paper.tree_views import Mark
from graftbook.units import show_length

_LAST = 10**9


@dataclass(frozen=True)
class SheetRow:
    """One graft of a tree's sheet by its number there. Height in mm; `state` is that of the last look; `tag` says what is
    wrong with its tag, None where nothing is known to be."""

    number: int
    code: str
    cultivar: str | None
    host: str
    limb: str | None
    bearing_deg: int | None
    height_mm: float | None
    made_on: date
    state: str | None
    tag: str | None
    shown: ClassVar = ("number", "code", "cultivar", "limb", "bearing_deg", "height_mm", "made_on", "state", "tag")
    headings: ClassVar = {"number": "no.", "bearing_deg": "bearing", "height_mm": "height", "made_on": "made"}


def write_sheet(desk: Desk, text: str, output: Path, paper: str = "a4") -> Report:
    """Write the sheet of one tree as PDF. Raises UsageProblem for several plants or another paper, CannotWrite."""
    with desk.book.read() as session:
        plant = leaving.one_plant(session, text)
        stood = subjects.standing(session, [plant], desk.today).get(plant.id, [])
        grafts = sorted((each.graft for each in stood if each.ended is None), key=_limb_by_limb)
        rows = _rows(session, plant, grafts, desk.today)
        sheet = _sheet(desk, plant, grafts, rows, len(stood) - len(grafts))
    write_file(output, draw(sheet, paper))
    notes = (f"Wrote {output}. Print it at actual size, not fitted to the page, so that the codes scan.",)
    missing = [row.code for row in rows if row.bearing_deg is None and row.height_mm is None]
    if missing:
        notes += (f"{count(len(missing), 'graft')} without bearing or height: graftbook graft amend {missing[0]} --bearing NW "
                  "--height 1.4m.",)  # fmt: skip
    facts = {"as_of": desk.today, "code": plant.code, "file": str(output), "paper": paper.strip().lower()}
    return Report(SheetRow, tuple(rows), notes, facts, f"{plant.code}: {count(len(rows), 'living graft')}")


def _limb_by_limb(graft: Graft) -> tuple[Any, ...]:
    height = graft.height_mm if graft.height_mm is not None else _LAST
    return graft.limb is None, natural(graft.limb or ""), height, graft.number


def _rows(session: Session, plant: Plant, grafts: Sequence[Graft], day: date) -> list[SheetRow]:
    wood = find.by_id(session, Bundle, [graft.bundle_id for graft in grafts])
    looks = graft_queries.last_looks(session, [graft.id for graft in grafts], day)
    hosts = {graft.id: graft.code for graft in grafts}
    marks = tag_queries.tag_marks(session, day)
    found = []
    for number, graft in enumerate(grafts, 1):
        bundle, look = wood.get(graft.bundle_id), looks.get(graft.id)
        kind = bundle.cultivar or bundle.taxon if bundle is not None else None
        host = hosts.get(graft.host_graft_id, plant.code) if graft.host_graft_id is not None else plant.code
        last = marks.get(f"G{graft.id}", [])[-1:]
        wrong = last[0].what.removeprefix("tag-") if last and last[0].what != "lasting-tag" else None
        found.append(SheetRow(number, graft.code, kind, host, graft.limb, graft.bearing_deg, graft.height_mm, graft.made_on,
                              look.state if look is not None else None, wrong))  # fmt: skip
    return found


def _sheet(desk: Desk, plant: Plant, grafts: Sequence[Graft], rows: Sequence[SheetRow], ended: int) -> TreeSheet:
    unit, site = desk.settings.units, desk.settings.site
    tag = tag_words.tag(plant.code, site=site)
    drawn = tuple(_drawn(row, graft, unit, site) for row, graft in zip(rows, grafts, strict=True))
    stands = ", ".join(part for part in (plant.site, tag_words.where(plant.place, plant.row, plant.order)) if part)
    name = plant.cultivar or plant.clone or plant.taxon or plant.kind
    notes = (f"As of {desk.today.isoformat()}: {count(len(rows), 'living graft')}"
             + (f", {ended} ended and not shown" if ended else "") + ".",
             "Scan a code, or: graftbook graft show CODE.")  # fmt: skip
    return TreeSheet(tag.head, tag.payload, name, stands, desk.today.isoformat(), drawn, notes)


def _drawn(row: SheetRow, graft: Graft, unit: str, site: str) -> TreeGraft:
    tag = tag_words.tag(row.code, site=site)
    height = show_length(row.height_mm, unit) if row.height_mm is not None else ""
    point = positions.point(row.bearing_deg) if row.bearing_deg is not None else None
    parts = (f"limb {row.limb}" if row.limb else None, point, height, graft.position,
             f"on {row.host}" if graft.host_graft_id is not None else None)  # fmt: skip
    about = f"{row.made_on.year}, {graft.method}: {row.state or 'not looked at'}"
    mark = Mark(row.number, row.bearing_deg, row.height_mm, height)
    return TreeGraft(mark, tag.head, tag.payload, row.cultivar or "kind not known",
                     ", ".join(part for part in parts if part), about, row.tag or "")  # fmt: skip
