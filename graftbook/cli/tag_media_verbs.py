"""tags media, tags printer, tags calibrate: what tags are printed on, and how true."""

from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli.grouping import Listing, group
from graftbook.cli.options import Csv, Json, Who, argument, option, out
from graftbook.cli.shared import cells, desk, show
from graftbook.cli.tag_verbs import verbs
from graftbook.cli.verb import Desk, Recorded, Report, verb
from graftbook.errors import NotABook, UsageProblem

media = group(
    "media",
    """List the media there are, by their dimensions, or add one of your own.

    Example:

        graftbook tags media

        graftbook tags media add pot-60x20 label_w_mm=60 label_h_mm=20 page_w_mm=60 page_h_mm=20
    """,
    under=verbs,
    cls=Listing,
    no_args_is_help=False,
)


@media.command("list")
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
        show(tag_media.list_media(None), None, as_json, as_csv)


@verb(media, name="add", csv=False)
def media_add(
    at: Desk,
    name: Annotated[str, argument(None, "A name by its dimensions, such as pot-60x20.")],
    texts: Annotated[list[str], argument("FIELD=VALUE...", "In mm: page_w_mm page_h_mm cols rows "
                     "label_w_mm label_h_mm left_mm top_mm pitch_x_mm pitch_y_mm; kind, hand_cut, life_years.")],
    who: Who = None,
) -> Recorded:  # fmt: skip
    """Keep a medium of your own; the grid is checked: inside the page, nothing overlapping.

    Example:

        graftbook tags media add a4-3x8 page_w_mm=210 page_h_mm=297 cols=3 rows=8 label_w_mm=64 label_h_mm=34 \\
            left_mm=7 top_mm=12 pitch_x_mm=66 pitch_y_mm=34
    """
    from graftbook.actions.tags import tag_media

    given = cells(texts, "FIELD=VALUE, such as label_w_mm=60")
    return tag_media.add_medium(at, {**given, "name": name}, who)


@verb(verbs)
def printer(
    at: Desk,
    name: Annotated[str | None, argument(None, "What you call it (default: list them).")] = None,
    medium: Annotated[str | None, option("--medium", "On what.", "NAME")] = None,
    shift_right: Annotated[float | None, option("--shift-right", "Move prints right.", "MM")] = None,
    shift_down: Annotated[float | None, option("--shift-down", "Move prints down.", "MM")] = None,
    measured: Annotated[str | None, option("--measured", "What the 100 mm line measures.", "LENGTH")] = None,
    dpi: Annotated[int | None, option("--dpi", "Its dots an inch.", min=100, max=4800)] = None,
    who: Who = None,
) -> Recorded | Report:
    """Keep what a printer does to a medium, or list what is kept.

    Example:

        graftbook tags printer office --medium letter-30up --shift-right 0.6 --shift-down -0.3 --measured 99.8mm
    """
    from graftbook.actions.tags import tag_media

    if name is None:
        return tag_media.list_printers(at)
    if medium is None:
        raise UsageProblem("--medium with a printer", "none", "List the media with: graftbook tags media")
    return tag_media.set_printer(at, name, medium, shift_right, shift_down, measured, dpi, who)


@verb(verbs, csv=False)
def calibrate(
    at: Desk,
    medium: Annotated[str, option("--medium", "For which medium.", "NAME")],
    output: Annotated[Path, out("Where to write the PDF.")],
    printer: Annotated[str | None, option("--printer", "With this printer's setting.", "NAME")] = None,
) -> Recorded:
    """Print rules, label corners and a ladder of code sizes, to lay over the stock and measure.

    Example:

        graftbook tags calibrate --medium letter-30up -o calibrate.pdf
    """
    from graftbook.actions.tags import tag_media

    return tag_media.calibrate(at, medium, printer, output)
