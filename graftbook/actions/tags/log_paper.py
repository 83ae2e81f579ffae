"""graft log: a day's log on paper, its codes given out ahead as on blank tags, or those of blank tags that are printed already."""

from __future__ import annotations

from pathlib import Path

from sqlmodel import Session

from graftbook.actions.desk import typed
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file, written
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.tags import tag_fields
from graftbook.actions.tags.tags import MOST_BLANKS
from graftbook.book import tag_queries
from graftbook.book.tags import ReservedCode
from graftbook.codes import read_many
from graftbook.errors import NotFound, UsageProblem
from graftbook.paper.day_log import DayLog, LoggedGraft, draw
from graftbook.trade import cautions

METHODS = ("whip-and-tongue", "cleft", "bark")
"""The methods a log offers to be ticked, those of a grafting day in spring."""


def log(
    desk: Desk, number: int | None, codes: str | None, output: Path, purpose: str | None = None, paper: str = "a4",
    who: str | None = None,
) -> Recorded:  # fmt: skip
    """Write a log with a line for each of so many grafts, whose codes are given out now, or for the codes of blank tags.

    Raises UsageProblem for both or neither, or another paper; NotFound for codes that no unused blank tag has; CannotWrite.
    Then no code is given out.
    """
    if (number is None) == (codes is None):
        raise UsageProblem("how many lines, or --codes of blank tags", "both" if codes is not None else "neither")
    title = f"{desk.settings.name}: {purpose or 'grafting day'}"
    if codes is not None:
        with desk.book.read() as session:
            of = _unused(session, codes)
        write_file(output, draw(_drawn(desk, title, of), paper))
        return Recorded(f"A log for {count(len(of), 'graft')} {code_list(of)}: {output}.", None, tuple(of), _notes(of))
    wanted = typed.between(number or 0, 1, MOST_BLANKS, "lines")
    with desk.book.write("graft log", desk.person(who)) as unit:
        first = unit.next_number("G", wanted)
        of = [f"G{first + step}" for step in range(wanted)]
        unit.add_many(ReservedCode, [{"code": code, "on": desk.today, "purpose": purpose} for code in of])
        line = f"A log for {count(wanted, 'graft')} {code_list(of)}, their codes given out"
        with written(output, draw(_drawn(desk, title, of), paper)):
            entry = unit.commit(line)
    return Recorded(f"{line}: {output}.", entry.id, tuple(of), _notes(of))


def _unused(session: Session, codes: str) -> list[str]:
    """The codes as typed, each given out on a blank tag and not yet used."""
    asked = [str(code) for code in read_many(codes)]
    free = {code for code, _, _ in tag_queries.unused(session)}
    gone = [code for code in asked if code not in free]
    if gone:
        raise NotFound(f"no unused blank tag {code_list(gone)}", "", "List them with: graftbook tags blanks")
    return asked


def _drawn(desk: Desk, title: str, codes: list[str]) -> DayLog:
    site = desk.settings.site
    tags = [tag_fields.tag(code, (), site) for code in codes]
    knife = cautions.get("knife")
    notes = (
        "Wood: its code, or cultivar and whose. On: the code of the stock, or where it stands. Tick or write how.",
        f"Enter each with: graftbook graft W7 P12 --method cleft --tag {codes[0]}. Alike ones together: --tag with as many codes.",
        *((knife.words,) if knife is not None else ()),
    )
    return DayLog(title, tuple(LoggedGraft(tag.head, tag.payload) for tag in tags), METHODS, notes)


def _notes(codes: list[str]) -> tuple[str, ...]:
    return (
        "Print at 100 %, not fitted to the page.",
        f"Enter each with: graftbook graft W7 P12 --method … --tag {codes[0]}",
    )
