"""What every command does around its one action: sit down at the book, and print what came of it.

Results go to stdout; progress, cautions and everything else to stderr, except that notes belong to a report.
"""

import shutil
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, redirect_stdout
from typing import TYPE_CHECKING, Any

import typer

from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report


@contextmanager
def desk(ctx: typer.Context) -> "Iterator[Desk]":
    """The desk for one command, and the book closed after it."""
    from graftbook.actions.desk.desk import sit_down

    sitting = sit_down(ctx.obj)
    try:
        yield sitting
    finally:
        sitting.book.close()


def width() -> int:
    """Characters across: the terminal's own between 60 and 140, and 80 when the output goes elsewhere."""
    return min(max(shutil.get_terminal_size((80, 24)).columns, 60), 140) if sys.stdout.isatty() else 80


def show(report: "Report", sitting: "Desk", as_json: bool, as_csv: bool, picture: str = "") -> None:
    """Print a report once, in the form asked for. `picture` stands under the table when a person is looking."""
    show_plain(report, as_json, as_csv, picture, sitting.settings.units, sitting.settings.temperature)


def show_plain(
    report: "Report", as_json: bool, as_csv: bool, picture: str = "", units: str = "mm", temperature: str = "C"
) -> None:
    """Print a report that needs no book, once, in the form asked for."""
    from graftbook.output import plain_rows, table

    _one_form(as_json, as_csv)
    if as_json:
        write(plain_rows.json_text(report))
    elif as_csv:
        write(plain_rows.csv_text(report))
    else:
        write(table.table_text(report, table.View(units, temperature, width())) + picture)


def tell(recorded: "Recorded", as_json: bool = False, as_csv: bool = False) -> None:
    """Print what was recorded in one line, then notes and cautions."""
    from graftbook.output import plain_rows, table

    _one_form(as_json, as_csv)
    if as_json:
        write(plain_rows.recorded_json(recorded))
    elif as_csv:
        write(plain_rows.recorded_csv(recorded))
    else:
        sentences = (*recorded.notes, *recorded.cautions)
        if sys.stdout.isatty():
            sentences = tuple(table.wrapped(sentence, width()) for sentence in sentences)
        write("\n".join((recorded.line, *sentences)) + "\n")


def write(text: str) -> None:
    """Put text on stdout as it is."""
    sys.stdout.write(text)
    sys.stdout.flush()


def _one_form(as_json: bool, as_csv: bool) -> None:
    if as_json and as_csv:
        raise UsageProblem("one of --json and --csv", "both")


@contextmanager
def progress(what: str, total: int | None = None) -> Iterator[Any]:
    """A progress bar on stderr while a person watches it; hands out a function to call with each count done."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=total)
        yield lambda count: bar.update(task, advance=count)


def agreed(question: str) -> bool:
    """Whether the person said yes; nobody there to ask is no. The question is no result, so nothing of it is on stdout."""
    try:
        with redirect_stdout(sys.stderr):
            return typer.confirm(question, err=True)
    except typer.Abort:
        return False


def write_sentences(sentences: Iterable[str]) -> None:
    """Put sentences on stderr, a line each, folded where a person is looking."""
    from graftbook.output import table

    for sentence in sentences:
        sys.stderr.write((table.wrapped(sentence, width()) if sys.stderr.isatty() else sentence) + "\n")
