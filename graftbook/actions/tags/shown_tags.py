"""Tags on a screen: one in the terminal or as a picture, with how far it is read from; the first sheet of a run."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Recorded, Report, count
from graftbook.actions.desk.tag_site import ours
from graftbook.actions.tags import tag_fields, tags
from graftbook.actions.tags.tag_media import medium_named
from graftbook.book import find
from graftbook.codes import read_one, with_check


@dataclass(frozen=True)
class TagRow:
    """What stands on one tag: the code as printed, what the code reads as, and the lines; and on a medium the side of its
    code in mm, and from how far in mm a phone reads the code and a person the name (None: the medium takes no code)."""

    code: str
    printed: str
    payload: str
    lines: tuple[str, ...]
    medium: str
    code_side_mm: float | None
    code_read_from_mm: float | None
    name_read_from_mm: float
    shown: ClassVar = ("printed", "payload", "lines")


def show(desk: Desk, code: str, medium: str) -> tuple[Report, str]:
    """What stands on a tag, and the tag as text for a terminal with how far it is read from on a medium."""
    from labels import picture, seen

    with desk.book.read() as session:
        row, tag = _one(desk, session, code)
        wanted = medium_named(session, medium)
    lines = (*tag.printed_name[:1], *(line.forms[0] for line in tag.printed_lines))
    far = ours(lambda: seen.reach(picture.placed(tag, wanted)))
    shown = TagRow(row.code, with_check(row.code), tag.payload, lines, wanted.name, _tenths(far.side_mm), _tenths(far.code_mm),
                   round(far.letters_mm, 1))  # fmt: skip
    drawn = ours(lambda: picture.text(tag))
    return Report(TagRow, (shown,), (), {"as_of": desk.today}), f"{drawn}\n\n{_reach(wanted.name, far)}\n"


def _tenths(mm: float | None) -> float | None:
    return None if mm is None else round(mm, 1)


def _reach(medium: str, far: Any) -> str:
    """From how far a tag is read, in a sentence."""
    name = f"its largest words from about {_far(far.letters_mm)}"
    if far.code_mm is None:
        return f"On {medium}, read {name}."
    return f"On {medium} a phone reads the code, {far.side_mm:.0f} mm wide, from about {_far(far.code_mm)}, and you read {name}."


def _far(mm: float) -> str:
    return f"{mm / 1000:.1f} m" if mm >= 1000 else f"{mm / 10:.0f} cm"


def _one(desk: Desk, session: Session, code: str) -> tuple[Any, Any]:
    row = find.one(session, read_one(code))
    return row, tag_fields.Words(session, [row], desk.settings.site).tag(row)


def save_png(desk: Desk, code: str, medium: str, dpi: int, output: Path) -> Recorded:
    """One tag as a picture in a PNG file, as it would be printed on a medium."""
    from labels import picture

    with desk.book.read() as session:
        row, tag = _one(desk, session, code)
        wanted = medium_named(session, medium)
    write_file(output, ours(lambda: picture.png(tag, wanted, dpi)))
    return Recorded(f"Drew the tag of {row.code} as on {wanted.name} to {output}.", None, (row.code,))


def preview(desk: Desk, codes: str, sheet: tags.Sheet, output: Path, left_out: str | None = None) -> Recorded:
    """Draw the first sheet of what `tags.tags` would print as a PNG picture; nothing is recorded. Raises as that."""
    from labels import picture

    with desk.book.read() as session:
        _, wanted = tags.chosen(desk, session, codes, sheet.order, left_out)
        medium = medium_named(session, sheet.medium)
    every = [tag for tag in wanted for _ in range(sheet.copies)]
    write_file(output, ours(lambda: picture.sheet(every, medium, sheet.start)))
    line = f"Drew the first sheet of {count(len(every), 'tag')} on {medium.name} to {output}"
    return Recorded(f"{line}. Nothing was recorded: leave --preview out to print.")
