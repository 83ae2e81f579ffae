"""start, settings, migrate, journal, history, undo."""

from typing import Annotated

import typer

from graftbook.cli import completing
from graftbook.cli.grouping import app
from graftbook.cli.options import Json, Limit, Note, Who, argument, option
from graftbook.cli.shared import cells, show
from graftbook.cli.verb import Desk, Recorded, Report, verb


@app.command()
def start(
    ctx: typer.Context,
    name: Annotated[str, option("--name", "What the book is called on tags and sheets.")] = "Graftbook",
    units: Annotated[str, option("--units", "Lengths: mm or in.")] = "mm",
    temperature: Annotated[str, option("--temperature", "Temperatures: C or F.")] = "C",
    dates: Annotated[
        str, option("--dates", "How dates such as 4/10/27 are read: day-first, month-first, or iso.")
    ] = "iso",
    hemisphere: Annotated[str, option("--hemisphere", "north or south: when a season begins.")] = "north",
    time_zone: Annotated[str, option("--time-zone", "Such as Europe/Dublin (default: this computer's).")] = "",
    who: Annotated[str, option("--who", "Who usually writes in it.", "NAME")] = "",
    as_json: Json = False,
) -> None:
    """Make a new book.

    Example:

        graftbook --book orchard.sqlite start --units mm --dates day-first
    """
    from graftbook.actions.desk import starting

    values = {"name": name, "units": units, "temperature": temperature, "dates": dates, "hemisphere": hemisphere,
              "time_zone": time_zone, "who": who}  # fmt: skip
    show(starting.start(ctx.obj, values), None, as_json, False)


@verb(app)
def settings(
    at: Desk,
    changes: Annotated[list[str] | None, argument("[KEY=VALUE]...", "What to change.")] = None,
    who: Who = None,
) -> Recorded | Report:
    """Show the settings of the book, or change them.

    Example:

        graftbook settings units=in dates=month-first
    """
    from graftbook.actions.desk import starting

    if changes:
        return starting.change_settings(at, cells(changes, "KEY=VALUE, such as units=in"), who)
    return starting.show_settings(at)


@app.command()
def migrate(ctx: typer.Context, as_json: Json = False) -> None:
    """Bring a book made by an older Graftbook up to date; a copy of it is kept first.

    Example:

        graftbook --book orchard.sqlite migrate
    """
    from graftbook.actions.desk import starting

    show(starting.migrate(ctx.obj), None, as_json, False)


@verb(app)
def journal(
    at: Desk,
    limit: Limit = 20,
    before: Annotated[int | None, option("--before", "Only entries older than this one.")] = None,
    verb: Annotated[str | None, option("--verb", "Only entries of this verb.")] = None,
) -> Report:
    """List every entry, newest first.

    Example:

        graftbook journal --limit 50
    """
    from graftbook.actions.desk import journal

    return journal.journal(at, limit, before, verb)


@verb(app)
def history(
    at: Desk,
    code: Annotated[str, argument(None, "A plant, bundle or graft, such as G105.", autocompletion=completing.codes)],
) -> Report:
    """Show everything that happened to the record of one thing.

    Example:

        graftbook history P12
    """
    from graftbook.actions.desk import journal

    return journal.history(at, code)


@verb(app, csv=False)
def undo(
    at: Desk,
    entry: Annotated[
        int | None, argument(None, "The number of the entry, as the journal gives it. Without one, the last is named.")
    ] = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Undo one entry, or say what stands in the way. Nothing is erased: undoing is an entry too.

    Example:

        graftbook undo 17
    """
    from graftbook.actions.desk import journal

    return journal.undo(at, entry, who, note)
