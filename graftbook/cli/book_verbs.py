"""start, settings, migrate, journal, history, undo."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import Json, Limit, Note, Who
from graftbook.cli.shared import tell
from graftbook.cli.verb import verb, verb_without_csv
from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report


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


@verb
def settings(
    at: "Desk",
    changes: Annotated[list[str] | None, typer.Argument(metavar="[KEY=VALUE]...", help="What to change.")] = None,
    who: Who = None,
) -> "Recorded | Report":
    """Show what the book has been told about itself, or change it.

    Example:

        graftbook settings units=in dates=month-first
    """
    from graftbook.actions.desk import starting

    if changes:
        return starting.change_settings(at, dict(_pair(text) for text in changes), who)
    else:
        return starting.show_settings(at)


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


@verb
def journal(
    at: "Desk",
    limit: Limit = 20,
    before: Annotated[int | None, typer.Option(help="Only entries older than this one.")] = None,
    verb: Annotated[str | None, typer.Option(help="Only entries of this verb.")] = None,
) -> "Report":
    """List every entry, newest first.

    Example:

        graftbook journal --limit 50
    """
    from graftbook.actions.desk import journal

    return journal.journal(at, limit, before, verb)


@verb
def history(
    at: "Desk",
    code: Annotated[str, typer.Argument(help="A plant, bundle or graft, such as G105.")],
) -> "Report":
    """Show everything that happened to the record of one thing.

    Example:

        graftbook history P12
    """
    from graftbook.actions.desk import journal

    return journal.history(at, code)


@verb_without_csv
def undo(
    at: "Desk",
    entry: Annotated[int, typer.Argument(help="The number of the entry, as the journal gives it.")],
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Undo one entry, or say what stands in the way. Nothing is erased: undoing is an entry too.

    Example:

        graftbook undo 17
    """
    from graftbook.actions.desk import journal

    return journal.undo(at, entry, who, note)
