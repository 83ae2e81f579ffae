"""The notes under the rows of take: the rule, what is not decided, what was lost to what, and what may mislead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from graftbook.actions.desk.results import Usual, count, first_of
from graftbook.actions.outcome.endpoints import COUNTED_AS_KNOWN, RULES
from graftbook.actions.takes.early import so_far
from graftbook.actions.takes.judging import Judged
from graftbook.actions.takes.question import FIRST_ONLY, TakeQuestion
from graftbook.actions.takes.take_rows import ExtraColumns, cause_words, waits_of
from graftbook.book.sources import Import

MOST = 6
SMALL = 10
"""A row with fewer decided is cautioned about: a rule of this book."""


def notes(
    judged: Judged, names: tuple[str, ...], rows: Sequence[Any], asked: TakeQuestion, interval: str, extra: ExtraColumns
) -> Iterator[str]:
    """The sentences under the rows, in the order people need them."""
    yield Usual(RULES[asked.endpoint][1])
    if any(row.rate is not None for row in rows):
        yield Usual(f"The range is a {rows[0].level * 100:.4g} % {interval} interval.")
    if asked.of == "headed-back":
        yield ("Counted are those whose stock was headed back above them, by care done or seen forced: what is not decided or not "
               "known of them has not got there yet, and may.")  # fmt: skip
    if asked.of == "made":
        yield ("The rate is of all made: what is not decided or not known has not got there yet, and may. --of decided counts "
               "those decided alone.")  # fmt: skip
    yield from _early(judged, rows, asked)
    yield from _undecided(judged, asked, extra, not _early_rows(rows))
    if not asked.by_host:
        yield from _story(judged, rows, asked)
    if any(0 < row.n < SMALL and row.rate is not None for row in rows):
        yield f"Some rows rest on fewer than {SMALL} decided: read the range, not the percentage."
    if "species" not in names and len(judged.species) > 1:
        kinds = ", ".join(f"{name} {number}" for name, number in judged.species.most_common(6))
        yield f"This pools kinds that take differently ({kinds}): add species to --by before comparing."
    if asked.attempt == "first":
        yield FIRST_ONLY
    yield from judged.notes


def _early_rows(rows: Sequence[Any]) -> list[Any]:
    return [row for row in rows if row.n and row.rate is None]


def _early(judged: Judged, rows: Sequence[Any], asked: TakeQuestion) -> Iterator[str]:
    """How the rows stand that have no rate yet."""
    early = _early_rows(rows)
    texts = [f"{row.kind}: {so_far(row.k, row.n, waits_of(judged.cells[row.key]), asked.endpoint)}" for row in early]
    if texts and asked.of == "decided":
        yield f"Too early for a rate: {first_of(texts, MOST, '. ')}. Failures show before takes; --of made counts of all made."


def _undecided(judged: Judged, asked: TakeQuestion, extra: ExtraColumns, warn: bool) -> Iterator[str]:
    if asked.of != "decided":
        return
    waiting, unknown = judged.total(outcome="waiting"), judged.total(outcome="unknown")
    if waiting:
        low = " Failures often show before takes, so while many wait a percentage may read low." if warn else ""
        said = (f"{count(waiting, 'is', 'are')} not decided by {asked.as_of.isoformat()} and counted neither way: rates are of "
                f"those decided.{low}")  # fmt: skip
        yield said if warn else Usual(said)
    if unknown:
        more = "" if extra.bounds else "; --bounds shows how far that could move the rate"
        yield Usual(f"{count(unknown, 'is', 'are')} not known (not found, or gone home) and counted neither way{more}.")


def _story(judged: Judged, rows: Sequence[Any], asked: TakeQuestion) -> Iterator[str]:
    unsure = judged.total(outcome="failed", said_unsure=True)
    if unsure:
        yield Usual(f"In {count(unsure, 'loss', 'losses')} the cause was unsure; those count as failed.")
    if any(row.lost_otherwise for row in rows):
        known = asked.endpoint in COUNTED_AS_KNOWN
        yield Usual(f"Lost: {'no longer alive' if known else 'gone before it could be judged'}, for a cause that was not the "
                    f"union{', and counted as not ' + asked.endpoint if known else ''}.")  # fmt: skip
    causes = [f"{row.kind} {cause_words(judged.causes[row.key])}" for row in rows if row.key in judged.causes]
    if causes:
        yield f"Causes of losses as last said: {first_of(causes, MOST)}."
    early, late = judged.total(false_take=True), judged.total(late_take=True)
    if early:
        yield Usual(f"False takes: {early:,} moved, on stored sap, and then died without having taken.")
    if late:
        were = "was" if late == 1 else "were"
        yield Usual(f"Late takes: {late:,} showed nothing at the first look, or {were} called dead, and took.")


def import_notes(imports: Sequence[Import]) -> Iterator[str]:
    """The imports that brought some of the grafts."""
    if imports:
        each = [f"{one.grafts:,} by entry {one.entry} of {one.on.isoformat()}{f' ({one.files})' if one.files else ''}"
                for one in imports]  # fmt: skip
        yield Usual(f"Grafts that came by import are counted with the rest: {'; '.join(each)}.")
