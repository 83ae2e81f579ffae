"""The whole book as a PDF that someone without this program can carry on from: what stands where and on what, wood in store, what
is wanted and by whom, and the people, without how to reach them unless that is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk, Progress
from graftbook.actions.desk.file_out import may_go, write_file
from graftbook.actions.desk.results import Report, count, first_of
from graftbook.actions.exchange.standing_lines import Standing, said, standing
from graftbook.actions.names import lineages
from graftbook.actions.people import people, requests
from graftbook.actions.plan import planning, wants
from graftbook.actions.rounds import rounds
from graftbook.actions.wood import wood_lists
from graftbook.paper.book_pages import BookLine, BookSection, draw

_EVERY = 10_000_000


@dataclass(frozen=True)
class SectionRow:
    """One section of the printed book, and how many lines it has."""

    section: str
    lines: int
    shown: ClassVar = ("section", "lines")


def print_book(
    desk: Desk, output: Path, paper: str = "a4", contacts: bool = False, progress: Progress | None = None
) -> Report:
    """Write the whole book as a PDF; `paper` is a4 or letter, `contacts` prints how to reach people as well.

    Raises UsageProblem for another paper, CannotWrite.
    """
    may_go(output)
    with lineages.all_staying(), desk.book.read() as session:
        here, gone = standing(session, desk)
    sections = [section for section in _sections(desk, here, gone, contacts) if section.lines]
    title = f"{desk.settings.name}, as the book stood on {desk.today.isoformat()}"
    write_file(output, draw(title, sections, paper, progress))
    rows = tuple(SectionRow(section.heading, len(section.lines)) for section in sections)
    notes = () if contacts else ("How to reach people is left out; --contacts prints it too.",)
    return Report(SectionRow, rows, notes, {"as_of": desk.today, "file": str(output)}, f"Printed the book to {output}")


def _sections(desk: Desk, here: list[Standing], gone: list[BookLine], contacts: bool) -> Iterator[BookSection]:
    yield BookSection("How to read this", tuple(BookLine("", words) for words in _HOW))
    yield BookSection("What is wanted now", tuple(_due(desk)))
    for place, things in groupby(here, key=lambda each: each.place):
        yield BookSection(place or "Place not recorded", tuple(line for each in things for line in each.lines))
    yield BookSection("Wood in store", tuple(_wood(desk)))
    yield BookSection("Trees wanted", tuple(_wants(desk)))
    yield BookSection("Plans not done", tuple(_plans(desk)))
    yield BookSection("Wood that people asked for", tuple(_requests(desk)))
    yield BookSection("People", tuple(_people(desk, contacts)))
    yield BookSection("No longer here", tuple(gone))


_HOW = (
    "Every thing has a code that stands on its tag: P is a plant (a tree or a stock), G a graft, W a bundle of scion wood. A tag "
    "has a letter or figure more, after a hyphen, that shows a code misread.",
    "Plants are listed by place and row, as one walks. Under each stands what was grafted on it, and under that what was grafted "
    "on the graft; with each graft how and when it was made, and what was last seen of it.",
    "Not looked at means that nobody wrote down a look; it does not mean dead.",
)


def _due(desk: Desk) -> Iterator[BookLine]:
    for row in rounds.due(desk, brief=True).rows:
        until = f", by {row.until.isoformat()}" if row.until is not None else ""
        yield BookLine(
            "",
            f"{row.place or 'Place not recorded'}: {row.wanted}{until}: {first_of(row.codes.split(', '), 12, ', ')}.",
        )


def _wood(desk: Desk) -> Iterator[BookLine]:
    for row in wood_lists.list_wood(desk, limit=_EVERY).rows:
        in_hand = f" and {count(row.buds_in_hand, 'bud')} on one in hand" if row.buds_in_hand else ""
        from_ = row.source or row.donor
        yield BookLine(row.code, said(
            row.cultivar or row.taxon, f"{count(row.sticks_left, 'stick')}{in_hand} left", row.size,
            f"cut {row.cut_on.isoformat()}" if row.cut_on else None, f"from {from_}" if from_ else None, row.store,
            row.keeping_words,
        ))  # fmt: skip


def _wants(desk: Desk) -> Iterator[BookLine]:
    for row in wants.list_wants(desk).rows:
        yield BookLine(str(row.want), said(
            row.cultivar, f"{count(row.trees, 'tree')} wanted", f"{row.living} must live" if row.living else None,
            f"on {row.stock}" if row.stock else None, f"for {row.for_}" if row.for_ else None,
            f"{row.alive} alive, {row.waiting} not yet known", row.note,
        ))  # fmt: skip


def _plans(desk: Desk) -> Iterator[BookLine]:
    for row in planning.list_plans(desk, _EVERY).rows:
        if row.done_on is None and row.dropped_on is None:
            yield BookLine(str(row.plan), said(
                f"for {row.day.isoformat()}", count(row.lines, "line"), row.codes, row.note
            ))  # fmt: skip


def _requests(desk: Desk) -> Iterator[BookLine]:
    for row in requests.list_requests(desk).rows:
        yield BookLine(str(row.number), said(
            row.for_, row.cultivar, f"{count(row.asked, 'stick')} asked on {row.on.isoformat()}", f"{row.sent} sent", row.rights,
            row.note,
        ))  # fmt: skip


def _people(desk: Desk, contacts: bool) -> Iterator[BookLine]:
    for row in people.list_people(desk, contacts).rows:
        came = f"{count(row.bundles_from, 'bundle')} came from them" if row.bundles_from else None
        went = f"{count(row.sticks_to, 'stick')} went to them" if row.sticks_to else None
        yield BookLine("", said(row.name, row.initials, row.contact, came, went, row.note))
