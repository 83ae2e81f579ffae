"""take review: what a season comes to, in plain sentences first and then in pictures, each with its counts and its day.

Nothing in it ranks people, and nothing says whether a rate is as it should be: beside a rate stands this book's own past.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from graftbook.actions.compare import comparison
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report
from graftbook.actions.review import course, curve, review_figures, review_text
from graftbook.actions.review.review_text import ReviewFindings
from graftbook.actions.takes import question, take_table
from graftbook.actions.takes.early import Waits
from graftbook.errors import NotFound, UsageProblem
from graftbook.season import turn

KINDS = ("pdf", "html")

METHODS_COMPARED = 2


@dataclass(frozen=True)
class SentenceRow:
    """One sentence of the review under its heading."""

    section: str
    sentence: str
    shown: ClassVar = ("sentence",)
    headings: ClassVar = {"sentence": ""}


def take_review(
    desk: Desk, season: str | None = None, as_of: str | None = None, outputs: Sequence[Path] = (), level: float = 0.95
) -> Report:
    """The review of a season (None: the one of the as-of day, or the last before it with any graft) as sentences; written as
    PDF or HTML to each of `outputs`.

    Raises UsageProblem for what cannot be asked, NotFound when no graft was made in the season, CannotWrite; then files
    named after the one that failed are not written.
    """
    for output in outputs:
        if output.suffix.lower().lstrip(".") not in KINDS:
            raise UsageProblem("a name that ends in .pdf or .html", repr(output.name))
    found = findings(desk, season, as_of, level)
    sections = review_text.sections(found)
    if outputs:
        _write(desk, found, outputs)
    rows = tuple(SentenceRow(section.heading, sentence) for section in sections for sentence in section.sentences)
    asked = found.asked
    facts = {"as_of": asked.as_of, "season": asked.season, "level": level}
    instead = f" (nothing was grafted in {found.instead_of} yet)" if found.instead_of is not None else ""
    title = f"Review of {asked.season}, as of {asked.as_of.isoformat()}{instead}"
    return Report(SentenceRow, rows, (), facts, title=title, group="section")


def findings(desk: Desk, season: str | None, as_of: str | None, level: float) -> ReviewFindings:
    """Everything the review is written from. Raises UsageProblem, NotFound."""
    day = desk.day(as_of, future=True)
    until, own = day.isoformat(), turn.season_of(day, desk.settings.hemisphere)
    every = take_table.take(desk, ("season", "species"), as_of=until, level=level).rows
    last = max((row.season for row in every if row.season is not None), default=own)
    wanted = season if season is not None else last
    asked = question.ask(desk, "took", as_of, wanted)
    season = asked.season or ""
    report = take_table.take(desk, ("species",), as_of=until, season=season, level=level)
    kinds = report.rows
    if not kinds:
        see = "See the seasons there are with: graftbook take --by season"
        raise NotFound(f"no graft made in the season {season} by {until}", "", see)
    methods = take_table.take(desk, ("species", "method"), as_of=until, season=season, level=level).rows
    earlier = tuple(row for row in every if row.season is not None and row.season < season)
    compared, pair = _compared(desk, methods, until, season, level)
    whole, by_kind = (course.courses(desk, asked, by, level) for by in ((), ("species",)))
    by_date, by_age = (curve.curves(desk, asked, x, level=level) for x in ("date", "wood-age"))
    return ReviewFindings(
        desk.settings.name, asked, level, kinds, methods, earlier, whole, by_kind, by_date, by_age, compared, pair,
        _waits(report), own if wanted is last and last != own else None,
    )  # fmt: skip


def _waits(report: Report) -> dict[tuple[str | None, str], Waits]:
    """What waits by kind and unit, as take says it."""
    held: dict[tuple[str | None, str], Waits] = defaultdict(Counter)
    for one in report.facts["waits"]:
        held[one["species"], one["unit"]][one["last_seen"]] += one["waiting"]
    return held


def _compared(
    desk: Desk, methods: Sequence[Any], until: str, season: str, level: float
) -> tuple[str | None, tuple[str, ...]]:
    """What comparing the two methods with the most decided grafts says; None where there are no two."""
    decided: dict[str, int] = {}
    for row in methods:
        if row.unit == "graft" and row.method is not None and row.n:
            decided[row.method] = decided.get(row.method, 0) + row.n
    pair = tuple(sorted(decided, key=lambda method: (-decided[method], method))[:METHODS_COMPARED])
    if len(pair) < METHODS_COMPARED:
        return None, ()
    return comparison.compare(desk, f"method={','.join(pair)}", "took", until, season, level).title, pair


def _write(desk: Desk, found: ReviewFindings, outputs: Sequence[Path]) -> None:
    from graftbook.paper import review as sheets

    review = sheets.Review(
        f"Winter review {found.asked.season}, {found.name}", found.dated, review_text.sections(found),
        review_figures.every(found), (review_figures.table(found),),
    )  # fmt: skip
    paper = "letter" if desk.settings.units == "in" else "a4"
    contents = [
        (output, sheets.pdf(review, paper) if output.suffix.lower() == ".pdf" else sheets.html(review)) for output in outputs
    ]  # fmt: skip
    for output, content in contents:
        write_file(output, content)
