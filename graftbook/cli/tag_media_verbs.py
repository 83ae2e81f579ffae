"""tags media, tags printer, tags calibrate: what tags are printed on, and how true."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import Csv, Json, Who
from graftbook.cli.shared import desk, show, show_plain
from graftbook.cli.verb import verb, verb_without_csv
from graftbook.errors import NotABook, UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report


class Listing(Recording):
    """`tags media` alone lists; `tags media add` adds."""

    default = "list"


def add_to(verbs: typer.Typer) -> None:
    """Hang these on tags."""
    media = typer.Typer(cls=Listing, rich_markup_mode=None, invoke_without_command=True)
    media.callback(invoke_without_command=True)(media_)
    media.command("list")(media_list)
    media.command("add")(media_add)
    verbs.add_typer(media, name="media")
    verbs.command("printer")(printer)
    verbs.command("calibrate")(calibrate)


def media_(ctx: typer.Context) -> None:
    """List the media there are, by their dimensions, or add one of your own.

    Example:

        graftbook tags media

        graftbook tags media add pot-60x20 label_w_mm=60 label_h_mm=20 page_w_mm=60 page_h_mm=20
    """
    if ctx.invoked_subcommand is None:
        media_list(ctx)


def media_list(ctx: typer.Context, as_json: Json = False, as_csv: Csv = False) -> None:
    """List the media there are, your own first.

    Example:

        graftbook tags media --json
    """
    from graftbook.actions.tags import tag_media

    try:
        with desk(ctx) as at:
            show(tag_media.list_media(at), at, as_json, as_csv)
    except NotABook:
        show_plain(tag_media.list_media(None), as_json, as_csv)


@verb_without_csv
def media_add(
    at: "Desk",
    name: Annotated[str, typer.Argument(help="A name by its dimensions, such as pot-60x20.")],
    cells: Annotated[list[str], typer.Argument(metavar="FIELD=VALUE...", help="In mm: page_w_mm page_h_mm cols rows "
                     "label_w_mm label_h_mm left_mm top_mm pitch_x_mm pitch_y_mm; kind, hand_cut, life_years.")],
    who: Who = None,
) -> "Recorded":  # fmt: skip
    """Keep a medium of your own; the grid is checked: inside the page, nothing overlapping.

    Example:

        graftbook tags media add a4-3x8 page_w_mm=210 page_h_mm=297 cols=3 rows=8 label_w_mm=64 label_h_mm=34 \\
            left_mm=7 top_mm=12 pitch_x_mm=66 pitch_y_mm=34
    """
    from graftbook.actions.tags import tag_media

    given = dict(_pair(cell) for cell in cells)
    return tag_media.add_medium(at, {**given, "name": name}, who)


def _pair(text: str) -> tuple[str, str]:
    key, found, value = text.partition("=")
    if not found:
        raise UsageProblem("FIELD=VALUE, such as label_w_mm=60", repr(text))
    return key.strip().replace("-", "_"), value.strip()


@verb
def printer(
    at: "Desk",
    name: Annotated[str | None, typer.Argument(help="What you call it (default: list them).")] = None,
    medium: Annotated[str | None, typer.Option("--medium", metavar="NAME", help="On what.")] = None,
    shift_right: Annotated[float | None, typer.Option("--shift-right", metavar="MM", help="Move prints right.")] = None,
    shift_down: Annotated[float | None, typer.Option("--shift-down", metavar="MM", help="Move prints down.")] = None,
    measured: Annotated[str | None, typer.Option(metavar="LENGTH", help="What the 100 mm line measures.")] = None,
    dpi: Annotated[int | None, typer.Option(min=100, max=4800, help="Its dots an inch.")] = None,
    who: Who = None,
) -> "Recorded | Report":
    """Keep what a printer does to a medium, or list what is kept.

    Example:

        graftbook tags printer office --medium letter-30up --shift-right 0.6 --shift-down -0.3 --measured 99.8mm
    """
    from graftbook.actions.tags import tag_media

    if name is None:
        return tag_media.list_printers(at)
    if medium is None:
        raise UsageProblem("--medium with a printer", "none", "List the media with: graftbook tags media")
    done = tag_media.set_printer(at, name, medium, shift_right, shift_down, measured, dpi, who)
    return done


@verb_without_csv
def calibrate(
    at: "Desk",
    medium: Annotated[str, typer.Option("--medium", metavar="NAME", help="For which medium.")],
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="Where to write the PDF.")],
    printer: Annotated[
        str | None, typer.Option("--printer", metavar="NAME", help="With this printer's setting.")
    ] = None,
) -> "Recorded":
    """Print rules, label corners and a ladder of code sizes, to lay over the stock and measure.

    Example:

        graftbook tags calibrate --medium letter-30up -o calibrate.pdf
    """
    from graftbook.actions.tags import tag_media

    return tag_media.calibrate(at, medium, printer, output)
