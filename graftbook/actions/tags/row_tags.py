"""tags rows: a tag for the end of each row or bed, saying what stands in it and how many. It carries no code."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import sorting
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, count
from graftbook.actions.outcome import alive
from graftbook.actions.tags import tag_fields, tags
from graftbook.book import find
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.errors import NotFound

MOST_NAMED = 8
MOST_SAID = 20


@dataclass(frozen=True)
class RowTag:
    """What one row-end or bed tag says: place, row (None: the place has none, or the thing stands in none), how many
    grafts and ungrafted plants live there, and the lines of the tag."""

    place: str | None
    row: str | None
    standing: int
    lines: tuple[str, ...]
    shown: ClassVar = ("place", "row", "standing")


def row_tags(desk: Desk, sheet: tags.Sheet, output: Path, place: str | None = None, row: str | None = None) -> Report:
    """Write tags for the ends of rows and beds as a PDF. `place` and `row` as typed narrow to these; None: all.

    Raises NotFound where nothing lives there, or for an unknown medium or printer; TagDoesNotFit; CannotWrite.
    """
    with desk.book.read() as session:
        found = _asked(list(_rows(session, desk)), place, row)
        pressed, medium = tags.press_run(session, [_tag(each) for each in found], sheet, desk.settings.name)
    write_file(output, pressed.pdf)
    said = f"{count(len(found), 'row tag')} on {count(pressed.pages, 'page')} of {medium.name}, in {output}"
    notes = (*tags.how_to(pressed, medium), "They carry no code, so no run is kept.")
    return Report(RowTag, tuple(found), notes, {"as_of": desk.today, "file": str(output)}, said)


def _asked(every: list[RowTag], place: str | None, row: str | None) -> list[RowTag]:
    """Those of a place and a row as typed. Raises NotFound, with the places or rows there are, where none is."""
    found = every if place is None else sorting.at_place(every, place)[0]
    if not found:
        at = f" at {place!r}" if place is not None else ""
        known = [name for name in dict.fromkeys(each.place for each in every) if name][:MOST_SAID]
        raise NotFound(f"nothing that lives{at}", "", f"Something lives at: {', '.join(known)}" if known else "")
    kept = [each for each in found if row is None or each.row == row.strip()]
    if not kept:
        known = [name for name in dict.fromkeys(each.row for each in found) if name][:MOST_SAID]
        raise NotFound(
            f"no row {row!r} in which anything lives", "", f"There are rows: {', '.join(known)}" if known else ""
        )
    return kept


def _rows(session: Session, desk: Desk) -> Iterator[RowTag]:
    """Every row in which something lives, in walking order."""
    here: dict[tuple[str | None, str | None], Counter[str]] = {}
    living = list(_living(session, desk))
    words = tag_fields.Words(session, living)
    for thing in living:
        place, row, _ = words.stands(thing)
        if place is not None:
            here.setdefault((place, row), Counter())[words.kind(thing)] += 1
    for (place, row), counted in sorted(here.items(), key=lambda item: sorting.walked(item[0][0], item[0][1], None)):
        most = sorted(counted.items(), key=lambda item: (-item[1], item[0]))
        lines = [f"{number} × {what}" for what, number in most[:MOST_NAMED]]
        left = sum(number for _, number in most[MOST_NAMED:])
        yield RowTag(place, row, counted.total(), (*lines, *((f"{left} of other kinds",) if left else ())))


def _living(session: Session, desk: Desk) -> Iterator[Any]:
    """Grafts that live and are here, and plants that do and carry none."""
    held = alive.alive_at(session, desk.today)
    carrying = set()
    for number, graft in find.by_id(session, Graft, held.grafts).items():
        if held.end(number) is None:
            carrying.add(held.foot(number))
            yield graft
    rest = [number for number in held.plants if number not in carrying and held.plant_end(number) is None]
    yield from find.by_id(session, Plant, rest).values()


def _tag(each: RowTag) -> Any:
    """A tag with the row at its head; the one thing that stands in it, where it is but one, beside it in large type."""
    from labels.layout import Line, Tag

    row = f"Row {each.row}" if each.row is not None else each.place or ""
    where = (each.place or "") if each.row is not None else ""
    if len(each.lines) == 1:
        return Tag("", where, (), (f"{row}: {each.lines[0]}",))
    return Tag("", where, tuple(Line((line,), optional=True) for line in each.lines), row)
