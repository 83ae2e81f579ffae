"""tags: sheets printed and printed again, and blank ones with codes given out ahead. Every printing is a run in the book."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import typed
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file, written
from graftbook.actions.desk.results import Recorded, Report, code_list, count, filled, first_of
from graftbook.actions.desk.tag_site import ours
from graftbook.actions.tags import tag_fields
from graftbook.actions.tags.tag_media import medium_named, printer_for, stated
from graftbook.book import asking, find, tag_queries
from graftbook.book.tags import ORDERS, ReservedCode, TagRun
from graftbook.codes import Code, read_many, read_one
from graftbook.errors import NotFound, UsageProblem

MOST_BLANKS = 5_000
TO_WRITE = ("cultivar", "on", "by, date")
"""What is written on the lines of a blank tag; as many of them as the medium has room for, the first ones first."""

Progress = Callable[[int], None] | None


@dataclass(frozen=True)
class Sheet:
    """How to print: medium by name, first cell, copies of each, order of the codes, printer by name, shifts in mm (None: as
    the printer is set), dots an inch, what the run is for, the day it is printed as typed (None: today), and a note."""

    medium: str
    start: int = 1
    copies: int = 1
    order: str = "asked"
    printer: str | None = None
    shift_right_mm: float | None = None
    shift_down_mm: float | None = None
    dpi: int | None = None
    purpose: str | None = None
    on: str | None = None
    note: str | None = None


@dataclass(frozen=True)
class RunRow:
    """One run of tags."""

    run: int
    on: date
    tags: int
    codes: str
    medium: str
    purpose: str | None
    who: str | None
    shown: ClassVar = ("run", "on", "tags", "codes", "medium", "purpose")
    headings: ClassVar = {"purpose": "for"}


@dataclass(frozen=True)
class BlankRow:
    """Codes given out ahead on one day for one thing, and not used yet."""

    on: date
    purpose: str | None
    unused: int
    codes: str
    headings: ClassVar = {"purpose": "for", "on": "given out"}


def tags(
    desk: Desk, codes: str, sheet: Sheet, output: Path, progress: Progress = None, who: str | None = None,
    left_out: str | None = None,
) -> Recorded:  # fmt: skip
    """Print tags for codes of any kinds, but those left out, to a PDF, and keep the run.

    Raises NotFound for codes the book lacks, an unknown medium or printer; TagDoesNotFit when a tag has no room for its
    code and name; CannotWrite when the file cannot be written; then no run is kept.
    """
    desk.day(sheet.on)
    sheet = _tidy(sheet)
    with desk.book.read() as session:
        rows, wanted = chosen(desk, session, codes, sheet.order, left_out)
        pressed, medium = press_run(session, wanted, sheet, sheet.purpose or desk.settings.name, progress)
    held = [row.code for row in rows]
    with desk.book.write("tags", desk.person(who)) as unit:
        number = _keep(unit, desk, sheet, medium.name, held, who)
        shown = code_list(held)
        line = f"Printed {count(len(held) * sheet.copies, 'tag')} ({shown}) on {count(pressed.pages, 'page')} of {medium.name}"
        with written(output, pressed.pdf):
            entry = unit.commit(f"Run {number}: {line}")
    return Recorded(f"Run {number}. {line} to {output}.", entry.id, tuple(held), how_to(pressed, medium))


def chosen(
    desk: Desk, session: Session, codes: str, order: str, left_out: str | None
) -> tuple[list[Any], list[Any]]:  # fmt: skip
    """The things that codes as typed name, but those left out, in an order; and the tag of each. Raises as `tags`."""
    if order not in ORDERS:
        raise UsageProblem(f"an order of {', '.join(ORDERS)}", repr(order))
    rows = find.many(session, _asked(codes, left_out))
    words = tag_fields.Words(session, rows, desk.settings.site)
    rows = _ordered(rows, words, order)
    return rows, [words.tag(row) for row in rows]


def _tidy(sheet: Sheet) -> Sheet:
    return replace(sheet, purpose=typed.blank(sheet.purpose), note=typed.blank(sheet.note))


def _asked(text: str, left_out: str | None) -> Sequence[Code]:
    """The codes as typed without those left out. Raises UsageProblem for an exception that is none, and where all are."""
    codes = _whole(read_many(text))
    without = {code.base for code in read_many(left_out)} if left_out is not None else set()
    strange = without - {code.base for code in codes}
    if strange:
        raise UsageProblem("exceptions that are among the codes", ", ".join(sorted(strange)))
    kept = [code for code in codes if code.base not in without]
    if not kept:
        raise UsageProblem("a code that is not excepted", f"{text} --except {left_out}")
    return kept


def _whole(codes: Sequence[Code]) -> Sequence[Code]:
    """The codes, none of them of a stick: a stick has no tag of its own. Raises UsageProblem."""
    sticks = [str(code) for code in codes if code.stick is not None]
    if sticks:
        raise UsageProblem("plants, bundles or grafts", ", ".join(sticks[:10]), "A bundle is tagged as a whole: W7")
    return codes


def _ordered(rows: list[Any], words: tag_fields.Words, order: str) -> list[Any]:
    keys = {"code": lambda row: (row.code[0], row.number), "place": words.place, "bench": words.bench}
    return rows if order == "asked" else sorted(rows, key=keys[order])


def press_run(
    session: Session, wanted: Sequence[Any], sheet: Sheet, title: str, progress: Progress = None, only: Sequence[int] | None = None
) -> tuple[Any, Any]:  # fmt: skip
    """The tags pressed as the sheet and its printer say, and the medium. Raises as `tags`."""
    from labels import press

    medium = medium_named(session, sheet.medium)
    moved = {"shift_right_mm": sheet.shift_right_mm, "shift_down_mm": sheet.shift_down_mm}
    setting = stated(printer_for(session, sheet.printer, medium.name), **moved, dpi=sheet.dpi)
    made = ours(
        lambda: press.press(
            wanted, medium, start=sheet.start, copies=sheet.copies, offset_mm=(setting.shift_right_mm, setting.shift_down_mm),
            scale=(setting.scale_across, setting.scale_down), title=title, dpi=setting.dpi, only_sheets=only,
            progress=None if progress is None else lambda done, of: progress(1),
        )
    )  # fmt: skip
    return made, medium


def _keep(unit: Any, desk: Desk, sheet: Sheet, medium: str, codes: list[str], who: str | None) -> int:
    number = asking.next_number(unit.session, TagRun)
    unit.add(
        TagRun, number=number, on=desk.day(sheet.on), medium=medium, purpose=sheet.purpose, start_cell=sheet.start,
        copies=sheet.copies, in_order=sheet.order, printer=sheet.printer, who=desk.person(who), codes=codes, note=sheet.note,
    )  # fmt: skip
    return number


def how_to(pressed: Any, medium: Any) -> tuple[str, ...]:
    """What to know before printing: warnings, lines without room, and to print true to size."""
    notes = [*pressed.warnings]
    if pressed.left_out:
        words = [f"{item.head} {item.line!r}" for item in pressed.left_out]
        notes.insert(0, f"No room for some lines, which stand in the book: {first_of(words, 5, ', ')}.")
    if medium.kind == "metal":
        return (*notes, "A metal tag takes no print: copy each code by hand, check character and all.")
    return (*notes, "Print at 100 %, not fitted to the page.")


def again(
    desk: Desk, number: int, output: Path, sheets: Sequence[int] | None = None, progress: Progress = None, *,
    printer: str | None = None, shift: tuple[float | None, float | None] = (None, None), dpi: int | None = None,
    lines: bool = False,
) -> Recorded:  # fmt: skip
    """Print a run again, whole or only some of its sheets: the same codes in the same cells, with what the book says now.

    `lines`: ruled lines on what is still blank.
    `printer` (None: the run's own), `shift` right and down in mm and `dpi` (None: as the printer is set) are as for tags.
    Raises NotFound for a run there is not, UsageProblem for a sheet it has not.
    """
    with desk.book.read() as session:
        run = tag_queries.run(session, number)
        if run is None:
            raise NotFound(f"no run {number}", "", "List them with: graftbook tags runs")
        wanted = _tags_of(session, run.codes, desk.settings.site, TO_WRITE if lines else ())
        named = printer if printer is not None else run.printer
        sheet = Sheet(run.medium, run.start_cell, run.copies, "asked", named, *shift, dpi)
        pressed, medium = press_run(session, wanted, sheet, run.purpose or desk.settings.name, progress, sheets)
    write_file(output, pressed.pdf)
    which = f"sheet {', '.join(map(str, sheets))}" if sheets else "every sheet"
    line = f"Printed run {number} again, {which} of {pressed.of}, to {output}."
    return Recorded(line, None, tuple(run.codes) if not sheets else (), how_to(pressed, medium))


def _tags_of(session: Session, codes: Sequence[str], site: str, to_write: tuple[str, ...]) -> list[Any]:
    """Tags of codes, blank ones with lines to write on for codes that nothing has."""
    wanted = [read_one(code) for code in codes]
    held = {row.code: row for row in find.known(session, wanted)}
    words = tag_fields.Words(session, list(held.values()), site)
    return [words.tag(held[code]) if code in held else tag_fields.tag(code, (), site, to_write) for code in codes]


def runs(desk: Desk, limit: int = 50) -> Report:
    """The newest runs first."""
    with desk.book.read() as session:
        rows = tuple(
            filled(RunRow, run, run=run.number, tags=len(run.codes) * run.copies, codes=code_list(run.codes))
            for run in tag_queries.runs(session, limit)
        )
    notes = ("One sheet again: graftbook tags again RUN --sheet 2 -o FILE.",) if rows else ()
    return Report(RunRow, rows, notes, {"as_of": desk.today})


def blank(
    desk: Desk, number: int, sheet: Sheet, output: Path, progress: Progress = None, who: str | None = None,
    lines: bool = False,
) -> Recorded:  # fmt: skip
    """Give out so many graft codes ahead and print them on blank tags; a later graft takes one with --tag.

    `lines`: ruled lines on them to write cultivar, stock and name on. Raises as tags; then no code is given out.
    """
    typed.between(number, 1, MOST_BLANKS, "blank tags")
    sheet = _tidy(sheet)
    with desk.book.write("tags blank", desk.person(who)) as unit:
        first = unit.next_number("G", number)
        codes = [f"G{first + step}" for step in range(number)]
        wanted = [tag_fields.tag(code, (), desk.settings.site, TO_WRITE if lines else ()) for code in codes]
        title = sheet.purpose or desk.settings.name
        pressed, medium = press_run(unit.session, wanted, sheet, title, progress)
        unit.add_many(
            ReservedCode, [{"code": code, "on": desk.day(sheet.on), "purpose": sheet.purpose} for code in codes]
        )
        run = _keep(unit, desk, replace(sheet, order="asked"), medium.name, codes, who)
        line = f"Run {run}: gave out {count(number, 'blank tag')} {code_list(codes)}"
        with written(output, pressed.pdf):
            entry = unit.commit(line + (f" for {title}" if sheet.purpose else ""))
    notes = (*how_to(pressed, medium), f"Use one with: graftbook graft W7 P12 --tag {codes[0]} --method …")
    done = f"{entry.summary}, on {count(pressed.pages, 'page')} of {medium.name} to {output}."
    return Recorded(done, entry.id, tuple(codes), notes)


def blanks(desk: Desk) -> Report:
    """Codes given out ahead that no graft has yet, a row for each day and purpose."""
    with desk.book.read() as session:
        found: dict[tuple[date, str | None], list[str]] = {}
        for code, on, purpose in tag_queries.unused(session):
            found.setdefault((on, purpose), []).append(code)
    rows = tuple(BlankRow(on, what, len(codes), code_list(codes)) for (on, what), codes in found.items())
    return Report(BlankRow, rows, (), {"as_of": desk.today, "unused": sum(row.unused for row in rows)})
