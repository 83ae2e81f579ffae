"""What commands do around their one action: sit down at the book, ask, and print what came of it.

Results go to stdout; progress, cautions and everything else to stderr, except that notes belong to a report.
"""

import shutil
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import typer

from graftbook.errors import Refused, UsageProblem
from graftbook.visible import visible

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


def show(
    found: "Report | Recorded",
    sitting: "Desk | None",
    as_json: bool,
    as_csv: bool,
    picture: str = "",
    *after: str,
    notes: bool = False,
) -> None:
    """Print what a command came to once, in the form asked for, then sentences `after` on stderr; usual notes are folded
    unless `notes` are asked for.

    `picture` stands under the table where a person is looking. Without a book (`sitting` None) units are mm and C.
    """
    from graftbook.actions.desk.results import Report
    from graftbook.output import plain_rows, table

    one_form(as_json, as_csv)
    if sitting is not None and not isinstance(found, Report) and found.codes:
        from graftbook.actions.desk import old_codes

        found = replace(found, notes=(*found.notes, *old_codes.doubts(sitting, found.codes)))
    if as_json:
        write(plain_rows.json_text(found))
    elif as_csv:
        write(plain_rows.csv_text(found))
    elif isinstance(found, Report):
        kept = ("mm", "C") if sitting is None else (sitting.settings.units, sitting.settings.temperature)
        write(table.table_text(found, table.View(*kept, width(), notes)) + picture)
    else:
        sentences = (*found.notes, *found.cautions)
        if sys.stdout.isatty():
            sentences = tuple(table.wrapped(sentence, width()) for sentence in sentences)
        write(visible("\n".join((found.line, *sentences)) + "\n"))
    say(*after)


def say(*sentences: str) -> None:
    """Put sentences on stderr, a line each."""
    sys.stderr.write("".join(f"{visible(sentence)}\n" for sentence in sentences))


def one_form(as_json: bool, as_csv: bool) -> None:
    """Refuse both forms for programs at once; asked before anything is recorded."""
    if as_json and as_csv:
        raise UsageProblem("one of --json and --csv", "both")


def write(text: str) -> None:
    """Put text on stdout as it is."""
    sys.stdout.write(text)
    sys.stdout.flush()


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
            return typer.confirm(visible(question), err=True)
    except typer.Abort:
        return False


def ask_first(at: "Desk", code: str, limb: str | None, on: str | None, yes: bool) -> None:
    """Say what would be lost and ask, unless the person said yes beforehand. Raises Refused where they do not agree."""
    from graftbook.actions.plants import last_of_cultivar
    from graftbook.output import table

    lost = last_of_cultivar.ahead(at, code, limb, on)
    if not lost or yes:
        return
    for sentence in lost:
        say(table.wrapped(sentence, width()) if sys.stderr.isatty() else sentence)
    if not agreed("Record it?"):
        raise Refused("nobody said yes", "", "Nothing was recorded; say --yes if it is so")


def cells(texts: Iterable[str], example: str, plain: bool = False) -> dict[str, str]:
    """Words such as `units=in` by their names, as typed where `plain`. Raises UsageProblem, which gives the example, for words
    without an =."""
    return dict(_cell(text, example, plain) for text in texts)


def _cell(text: str, example: str, plain: bool) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found or not name.strip():
        raise UsageProblem(example, repr(text))
    return name.strip() if plain else name.strip().replace("-", "_"), value.strip()


def bars(report: "Report", rows: Iterable[tuple[Any, str, float | None]]) -> str:
    """A plot of rows of a report to look at, each with a word of its own after its factors and its rate; empty where
    nobody is looking."""
    if not sys.stdout.isatty():
        return ""
    from graftbook.output.interval_plot import Bar, plot_text

    drawn = [
        Bar(" · ".join([*(str(getattr(row, name) or "not recorded") for name in row.factors), word]), row.k_of_n, rate,
            row.low, row.high)
        for row, word, rate in rows
    ]  # fmt: skip
    unicode = (sys.stdout.encoding or "").lower().startswith("utf")
    return "\n" + plot_text(drawn, width(), unicode) if drawn else ""
