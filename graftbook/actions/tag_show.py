"""tags show: one tag on the screen, or as a picture."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from graftbook.actions import tag_words
from graftbook.actions.desk import Desk
from graftbook.actions.file_out import write_file
from graftbook.actions.results import Recorded, Report
from graftbook.actions.tag_media import medium_named, ours
from graftbook.book import find
from graftbook.codes import read_one, with_check

USUAL_MEDIUM = "letter-30up"


@dataclass(frozen=True)
class TagRow:
    """What stands on one tag: the code as printed, what the code reads as, and the lines."""

    code: str
    printed: str
    payload: str
    lines: tuple[str, ...]
    shown: ClassVar = ("printed", "payload", "lines")


def show(desk: Desk, code: str) -> tuple[Report, str]:
    """What stands on a tag, and the tag as text for a terminal."""
    from labels import picture

    with desk.book.read() as session:
        row = find.one(session, read_one(code))
        tag = tag_words.Words(session, [row], desk.settings.site).tag(row)
    lines = tuple(line.forms[0] for line in tag.settled)
    report = Report(TagRow, (TagRow(row.code, with_check(row.code), tag.payload, lines),), (), {"as_of": desk.today})
    return report, ours(lambda: picture.text(tag)) + "\n"


def save_png(desk: Desk, code: str, medium: str, dpi: int, output: Path) -> Recorded:
    """One tag as a picture in a PNG file, as it would be printed on a medium."""
    from labels import picture

    with desk.book.read() as session:
        row = find.one(session, read_one(code))
        tag = tag_words.Words(session, [row], desk.settings.site).tag(row)
        wanted = medium_named(session, medium)
    write_file(output, ours(lambda: picture.png(tag, wanted, dpi)))
    return Recorded(f"Drew the tag of {row.code} as on {wanted.name} to {output}.", None, (row.code,))
