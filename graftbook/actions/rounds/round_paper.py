"""due as a sheet of paper: a block a graft in walking order, its code to scan, a box for each thing wanted and for each thing
that may be seen, and a line to write on; or a block for each run of grafts alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.rounds import round_jobs, round_sheet, rounds
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
    place: str | None = None, job: str | None = None, fold: bool = False, paper: str = "a4",
) -> Report:  # fmt: skip
    """Write what is due as a PDF to walk with. Takes what `due` takes; `fold` makes one block of a run of grafts of one name
    that stand in one row and want the same; `paper` is a4 or letter.

    Raises UsageProblem for another paper, and where so much is due that it makes several sheets; CannotWrite.
    """
    found = rounds.gather(desk, on=on, weeks=weeks, forgotten=forgotten, place=place, job=job)
    walk = _SheetWalk(found, desk.settings.site, f"shoot, {desk.settings.units}", fold)
    places = tuple(walk.places())
    blocks = sum(len(each.blocks) for each in places)
    if blocks > MOST_BLOCKS:
        raise UsageProblem(
            f"at most {MOST_BLOCKS:,} grafts and bundles on a sheet", f"{blocks:,} that want something",
            "Take one place at a time with --place; graftbook due --brief names them",
        )  # fmt: skip
    title = f"{desk.settings.name}: due on {found.day.isoformat()}" + (f", {job}" if job else "")
    whys = round_sheet.whys(found.rows)
    sheet = TickSheet(title, places, ("Why:", *whys) if whys else ("Nothing is due.",))
    write_file(output, draw(sheet, paper))
    rows = tuple(
        PlaceRow(each.name, len(each.blocks), sum(len(block.wants) for block in each.blocks), str(output))
        for each in places
    )
    how = ("Print it at actual size, not fitted to the page, so that the codes scan.",
           "Type it back as whole runs: graftbook look G1-G9 growing --except G4.")  # fmt: skip
    facts = {"as_of": found.day, "file": str(output), "paper": paper.strip().lower()}
    return Report(PlaceRow, rows, (*found.notes, *how), facts, f"{count(blocks, 'block')} to walk to, in {output}")


class _SheetWalk:
    """What is due as blocks of a sheet. `shoot` is the caption of the length of a shoot."""

    def __init__(self, found: rounds.Gathered, site: str, shoot: str, fold: bool) -> None:
        self._found, self._site, self._shoot, self._fold = found, site, shoot, fold

    def places(self) -> Iterator[TickPlace]:
        """Every place with its blocks, in walking order."""
        for place, here in groupby(self._found.rows, key=lambda row: row.place):
            things = [list(wants) for _, wants in groupby(here, key=lambda row: row.code)]
            runs = [list(run) for _, run in groupby(things, key=self._alike)]
            name = place if place is not None else "Place not recorded"
            yield TickPlace(name, tuple(self._run(run) if len(run) > 1 else self._block(run[0]) for run in runs))

    def _alike(self, rows: list[DueRow]) -> tuple[object, ...]:
        first = rows[0]
        if not self._fold or first.code[0] != "G":
            return (first.code,)
        return first.row, first.cultivar, self._wants(rows), first.code in self._found.buds

    def _wants(self, rows: list[DueRow]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(_want(row, self._found.day) for row in rows))

    def _seen(self, rows: list[DueRow]) -> tuple[str, ...]:
        return round_jobs.may_be_seen({row.what for row in rows}, rows[0].code in self._found.buds)

    def _block(self, rows: list[DueRow]) -> TickBlock:
        first, seen = rows[0], self._seen(rows)
        tag = tag_fields.tag(first.code, site=self._site)
        where = tag_fields.where(None, first.row, first.order)
        about = _about(first.cultivar, first.host)
        write = (self._shoot, "seen, and why") if seen else ("seen",)
        return TickBlock(tag.head, tag.payload, where, about, self._wants(rows), seen, write)

    def _run(self, things: list[list[DueRow]]) -> TickBlock:
        first, codes = things[0][0], [rows[0].code for rows in things]
        hosts = [rows[0].host for rows in things if rows[0].host is not None]
        about = f"{count(len(codes), 'graft')}: {_about(first.cultivar, code_list(hosts))}"
        where = tag_fields.where(None, first.row, None)
        write = ("not alike: which, seen, and why",)
        return TickBlock(code_list(codes), "", where, about, self._wants(things[0]), self._seen(things[0]), write)


def _about(cultivar: str | None, host: str | None) -> str:
    return " ".join(part for part in (cultivar or "", f"on {host}" if host else "") if part)


def _want(row: DueRow, day: date) -> str:
    """The thing to do, with the day it falls due where that is still ahead, else the last day given for it."""
    what = "look, forgotten" if row.what == round_jobs.FORGOTTEN else row.what
    if row.since is not None and row.since > day:
        return f"{what}, from {row.since:%d %b}"
    return f"{what}, by {row.until:%d %b}" if row.until is not None else what
