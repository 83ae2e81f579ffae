"""tags: print them, and the media they can be printed on."""

from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli.grouping import Printing
from graftbook.cli.options import Csv, Json
from graftbook.cli.shared import desk, progress, show_plain, tell

HELP = """Print tags for any codes on any medium, true to size.

Example:

    graftbook tags P1-P60 --medium letter-30up -o tags.pdf

    graftbook tags media
"""


def add_to(app: typer.Typer) -> None:
    """Hang tags on the app."""
    verbs = typer.Typer(cls=Printing, rich_markup_mode=None, no_args_is_help=True, help=HELP)
    verbs.command("print")(tags)
    verbs.command("media")(media)
    app.add_typer(verbs, name="tags")


def tags(
    ctx: typer.Context,
    codes: Annotated[str, typer.Argument(metavar="CODES", help="What to tag, such as P1-P60 or G7,G9.")],
    medium: Annotated[str, typer.Option("--medium", metavar="NAME", help="What to print on; see: tags media.")],
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="Where to write the PDF.")],
    start: Annotated[int, typer.Option(min=1, help="First cell to use on a part-used sheet.")] = 1,
    copies: Annotated[int, typer.Option(min=1, max=1000, help="How many of each.")] = 1,
    shift_right: Annotated[
        float, typer.Option("--shift-right", metavar="MM", help="Move the print to the right.")
    ] = 0.0,
    shift_down: Annotated[float, typer.Option("--shift-down", metavar="MM", help="Move the print down.")] = 0.0,
    dpi: Annotated[int | None, typer.Option(min=72, max=4800, help="Printer dots an inch, if known.")] = None,
    as_json: Json = False,
) -> None:
    """Print tags; the word print may be left out.

    Example:

        graftbook tags P1-P60 --medium letter-30up -o tags.pdf
    """
    from graftbook.actions import tags as action

    sheet = action.Sheet(medium, start, copies, shift_right, shift_down, dpi)
    with desk(ctx) as at, progress("Setting tags") as bar:
        recorded = action.tags(at, codes, sheet, output, bar)
    tell(recorded, as_json)


def media(ctx: typer.Context, as_json: Json = False, as_csv: Csv = False) -> None:
    """List the media there are, by their dimensions.

    Example:

        graftbook tags media
    """
    from graftbook.actions import tags as action

    show_plain(action.media(), as_json, as_csv)
