"""trace: follow wood up to its source, and down to every living graft."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import AsOf
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Report


def add_to(app: typer.Typer) -> None:
    """Hang trace on the app."""
    group = typer.Typer(rich_markup_mode=None, no_args_is_help=True, help="Follow wood by its threads: up, down.")
    for name, command in (("up", up), ("down", down)):
        group.command(name)(command)
    app.add_typer(group, name="trace")


@verb
def up(
    at: "Desk",
    code: Annotated[str, typer.Argument(metavar="CODE", help="A plant, bundle, stick or graft.")],
) -> "Report":
    """Show where something came from: every thread up to its source, and what it stood on.

    Example:

        graftbook trace up G5
    """
    from graftbook.actions.names import tracing

    return tracing.trace_up(at, code)


@verb
def down(
    at: "Desk",
    of: Annotated[str, typer.Argument(metavar="CODE-or-DONOR", help="A code, or who the wood came from.")],
    since: Annotated[
        str | None, typer.Option("--since", metavar="DATE", help="Only what was cut, made or shared from this day on.")
    ] = None,
    plants: Annotated[
        int | None,
        typer.Option(
            "--plants", metavar="N", min=1, max=1000, help="Follow exposure over so many plants (default: all)."
        ),
    ] = None,
    as_of: AsOf = None,
) -> "Report":
    """Show all that came from something: what descends from it, what was exposed by sharing a plant, who was given sticks.

    The lists go by threads of wood, never by name, and are never merged.

    Example:

        graftbook trace down P3 --since 2027-02-01

        graftbook trace down "Ilo M."
    """
    from graftbook.actions.names import tracing

    return tracing.trace_down(at, of, since, plants, as_of)
