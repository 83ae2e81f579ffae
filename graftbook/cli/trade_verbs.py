"""trade: what the trade knows, and rows of one's own."""

from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperGroup

from graftbook.cli.options import Limit, Note, Who
from graftbook.cli.plant_verbs import Page
from graftbook.cli.verb import verb
from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report


class Tables(TyperGroup):
    """A group whose first word may be the name of a table: `trade pairs apple` is `trade show pairs apple`."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with `show` put before them where it was left out."""
        if not args or (args[0] not in self.commands and args[0] not in ("-h", "--help")):
            args = ["show", *args]
        return super().parse_args(ctx, args)


def add_to(app: typer.Typer) -> None:
    """Hang trade on the app."""
    group = typer.Typer(
        rich_markup_mode=None, cls=Tables,
        help="The tables of the trade: graftbook trade lists them, graftbook trade pairs apple pear searches one.",
    )  # fmt: skip
    group.command("show")(show_)
    group.command("add")(add)
    app.add_typer(group, name="trade")


@verb
def show_(
    at: "Desk",
    table: Annotated[
        str | None,
        typer.Argument(
            metavar="TABLE",
            help="methods, pairs, clones, keeping, callus, bark, takes, stages, cautions, sources, aftercare, taxa, grades, "
            "method-limits.",
        ),
    ] = None,
    words: Annotated[
        list[str] | None, typer.Argument(metavar="WORDS", help="Only rows that hold all of these.")
    ] = None,
    limit: Limit = 200,
    page: Page = 1,
) -> "Report":
    """Print a table of the trade, your own rows first; without a name, list the tables.

    Example:

        graftbook trade pairs apple pear
    """
    from graftbook.actions.trade import trade_tables

    if table is None:
        report = trade_tables.list_tables(at)
    else:
        report = trade_tables.show_table(at, table, words or [], limit, page)
    return report


@verb
def add(
    at: "Desk",
    table: Annotated[
        str, typer.Argument(metavar="TABLE", help="pairs, methods, keeping, bark, takes, aftercare or cautions.")
    ],
    cells: Annotated[list[str], typer.Argument(metavar="COLUMN=TEXT", help="The cells of the row.")],
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Add a row of your own, with your own source. It is heard before the trade's.

    Example:

        graftbook trade add pairs scion=pear stock=quince verdict=good source="my own trees since 2019"
    """
    from graftbook.actions.trade import trade_tables

    return trade_tables.add_row(at, table, dict(_cell(text) for text in cells), who, note)


def _cell(text: str) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found or not name.strip():
        raise UsageProblem("COLUMN=TEXT, such as verdict=good", repr(text))
    return name.strip().lower().replace("-", "_"), value.strip()
