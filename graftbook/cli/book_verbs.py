"""start, settings, migrate, journal, history, undo."""

from typing import Annotated

import typer

from graftbook.cli.options import Csv, Json, Limit, Note, Who
from graftbook.cli.shared import desk, show, tell
from graftbook.errors import UsageProblem


def add_to(app: typer.Typer) -> None:
    """Hang these verbs on the app."""
    app.command()(start)
    app.command()(settings)
    app.command()(migrate)
    app.command()(journal)
    app.command()(history)
    app.command()(undo)


def start(
    ctx: typer.Context,
    name: Annotated[str, typer.Option(help="What the book is called on tags and sheets.")] = "Graftbook",
    units: Annotated[str, typer.Option(help="Lengths: mm or in.")] = "mm",
    temperature: Annotated[str, typer.Option(help="Temperatures: C or F.")] = "C",
    dates: Annotated[
        str, typer.Option(help="How dates such as 4/10/27 are read: day-first, month-first, or iso.")
    ] = "iso",
    hemisphere: Annotated[str, typer.Option(help="north or south: when a season begins.")] = "north",
    time_zone: Annotated[
        str, typer.Option("--time-zone", help="Such as Europe/Dublin (default: this computer's).")
    ] = "",
    who: Annotated[str, typer.Option("--who", metavar="NAME", help="Who usually writes in it.")] = "",
    as_json: Json = False,
) -> None:
    """Make a new book.

    Example:

        graftbook --book orchard.sqlite start --units mm --dates day-first
    """
    from graftbook.actions.desk import starting

    values = {"name": name, "units": units, "temperature": temperature, "dates": dates, "hemisphere": hemisphere,
              "time_zone": time_zone, "who": who}  # fmt: skip
    tell(starting.start(ctx.obj, values), as_json)


def settings(
    ctx: typer.Context,
    changes: Annotated[list[str] | None, typer.Argument(metavar="[KEY=VALUE]...", help="What to change.")] = None,
    who: Who = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Show what the book has been told about itself, or change it.

    Example:

        graftbook settings units=in dates=month-first
    """
    from graftbook.actions.desk import starting

    with desk(ctx) as at:
        if changes:
            tell(starting.change_settings(at, dict(_pair(text) for text in changes), who), as_json, as_csv)
        else:
            show(starting.show_settings(at), at, as_json, as_csv)


def _pair(text: str) -> tuple[str, str]:
    key, found, value = text.partition("=")
    if not found:
        raise UsageProblem("KEY=VALUE, such as units=in", repr(text))
    return key.strip().replace("-", "_"), value.strip()


def migrate(ctx: typer.Context, as_json: Json = False) -> None:
    """Bring a book made by an older Graftbook up to date; the file is copied first.

    Example:

        graftbook --book orchard.sqlite migrate
    """
    from graftbook.actions.desk import starting

    tell(starting.migrate(ctx.obj), as_json)


def journal(
    ctx: typer.Context,
    limit: Limit = 20,
    before: Annotated[int | None, typer.Option(help="Only entries older than this one.")] = None,
    verb: Annotated[str | None, typer.Option(help="Only entries of this verb.")] = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """List every entry, newest first.

    Example:

        graftbook journal --limit 50
    """
    from graftbook.actions.desk import journal

    with desk(ctx) as at:
        show(journal.journal(at, limit, before, verb), at, as_json, as_csv)


def history(
    ctx: typer.Context,
    code: Annotated[str, typer.Argument(help="A plant, bundle or graft, such as G105.")],
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Show everything that happened to the record of one thing.

    Example:

        graftbook history P12
    """
    from graftbook.actions.desk import journal

    with desk(ctx) as at:
        show(journal.history(at, code), at, as_json, as_csv)


def undo(
    ctx: typer.Context,
    entry: Annotated[int, typer.Argument(help="The number of the entry, as the journal gives it.")],
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
) -> None:
    """Undo one entry, or say what stands in the way. Nothing is erased: undoing is an entry too.

    Example:

        graftbook undo 17
    """
    from graftbook.actions.desk import journal

    with desk(ctx) as at:
        tell(journal.undo(at, entry, who, note), as_json)
