"""due as a sheet of paper: a block a graft in walking order, its code to scan, a box for each thing wanted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, count
from graftbook.actions.rounds import round_sheet, rounds
from graftbook.actions.rounds.round_sheet import DueRow
from graftbook.actions.tags import tag_fields
from graftbook.errors import UsageProblem
from graftbook.paper.tick_sheet import TickBlock, TickPlace, TickSheet, draw

# A sheet is walked by people; more blocks than this are several sheets.
MOST_BLOCKS = 2_000


@dataclass(frozen=True)
class PlaceRow:
    """One place of the sheet: how many grafts or bundles stand on it there, and how many boxes there are to tick."""

    place: str | None
    blocks: int
    boxes: int
    file: str
    shown: ClassVar = ("place", "blocks", "boxes")
    headings: ClassVar = {"blocks": "grafts and bundles", "boxes": "boxes to tick"}


def write_sheet(
    desk: Desk, output: Path, *, on: str | None = None, weeks: int = 0, forgotten: int = rounds.FORGOTTEN_WEEKS,
    place: str | None = None, paper: str = "a4",
) -> Report:  # fmt: skip
    """Write what is due as a PDF to walk with. Takes what `due` takes; `paper` is a4 or letter.

    Raises UsageProblem for another paper, and where so much is due that it makes several sheets; CannotWrite.
    """
    found = rounds.gather(desk, on=on, weeks=weeks, forgotten=forgotten, place=place)
    places = tuple(_places(found.rows, desk.settings.site, found.day))
    blocks = sum(len(each.blocks) for each in places)
    if blocks > MOST_BLOCKS:
        raise UsageProblem(
            f"at most {MOST_BLOCKS:,} grafts and bundles on a sheet", f"{blocks:,} that want something",
            "Take one place at a time with --place; graftbook due --brief names them",
        )  # fmt: skip
    title = f"{desk.settings.name}: due on {found.day.isoformat()}"
    whys = round_sheet.whys(found.rows)
    sheet = TickSheet(title, places, ("Why:", *whys) if whys else ("Nothing is due.",))
    write_file(output, draw(sheet, paper))
    rows = tuple(
        PlaceRow(each.name, len(each.blocks), sum(len(block.wants) for block in each.blocks), str(output))
        for each in places
    )
    how = "Print it at actual size, not fitted to the page, so that the codes scan."
    facts = {"as_of": found.day, "file": str(output), "paper": paper.strip().lower()}
    return Report(PlaceRow, rows, (*found.notes, how), facts, f"{count(blocks, 'block')} to walk to, in {output}")


def _places(rows: Iterable[DueRow], site: str, day: date) -> Iterator[TickPlace]:
    for place, here in groupby(rows, key=lambda row: row.place):
        blocks = (_block(list(wants), site, day) for _, wants in groupby(here, key=lambda row: row.code))
        yield TickPlace(place if place is not None else "Place not recorded", tuple(blocks))


def _block(rows: list[DueRow], site: str, day: date) -> TickBlock:
    first = rows[0]
    tag = tag_fields.tag(first.code, site=site)
    name = first.cultivar or ""
    on = f"on {first.host}" if first.host is not None else ""
    where = tag_fields.where(None, first.row, first.order)
    wants = tuple(dict.fromkeys(_want(row, day) for row in rows))
    return TickBlock(tag.head, tag.payload, where, " ".join(part for part in (name, on) if part), wants)


def _want(row: DueRow, day: date) -> str:
    """The thing to do, with the day it falls due where that is still ahead, else the last day given for it."""
    what = "look, forgotten" if row.what == "forgotten" else row.what
    if row.since is not None and row.since > day:
        return f"{what}, from {row.since:%d %b}"
    return f"{what}, by {row.until:%d %b}" if row.until is not None else what
