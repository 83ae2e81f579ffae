"""tags: print them, print them again, give out blank ones, read them back."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli import tag_media_verbs
from graftbook.cli.grouping import Printing
from graftbook.cli.options import AsOf, Json, Limit, Note, On, Place, Who
from graftbook.cli.shared import desk, progress, show, tell, write
from graftbook.cli.verb import verb, verb_without_csv

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

MOST_LINES = 500
HELP = """Print tags for any codes on any medium, true to size.

Example:

    graftbook tags P1-P60 --medium letter-30up -o tags.pdf

    graftbook tags media
"""
Medium = Annotated[str, typer.Option("--medium", metavar="NAME", help="What to print on; see: tags media.")]
Output = Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="Where to write.")]
Start = Annotated[int, typer.Option(min=1, help="First cell to use on a part-used sheet.")]
Copies = Annotated[int, typer.Option(min=1, max=1000, help="How many of each.")]
PrinterName = Annotated[str | None, typer.Option("--printer", metavar="NAME", help="As set with tags printer.")]
Right = Annotated[float | None, typer.Option("--shift-right", metavar="MM", help="Move the print to the right.")]
Down = Annotated[float | None, typer.Option("--shift-down", metavar="MM", help="Move the print down.")]
Dpi = Annotated[int | None, typer.Option(min=100, max=4800, help="Printer dots an inch, if known.")]
Purpose = Annotated[
    str | None, typer.Option("--for", metavar="TEXT", help="What the run is for; stands in the margin.")
]


def add_to(app: typer.Typer) -> None:
    """Hang tags on the app."""
    verbs = typer.Typer(cls=Printing, rich_markup_mode=None, no_args_is_help=True, help=HELP)
    for name, command in (
        ("print", tags), ("again", again), ("runs", runs), ("blank", blank), ("blanks", blanks), ("worklist", worklist),
        ("read", read), ("show", show_),
    ):  # fmt: skip
        verbs.command(name)(command)
    tag_media_verbs.add_to(verbs)
    app.add_typer(verbs, name="tags")


@verb
def tags(
    at: "Desk",
    codes: Annotated[str, typer.Argument(metavar="CODES", help="What to tag, such as P1-P60 or G7,G9.")],
    medium: Medium,
    output: Output,
    start: Start = 1,
    copies: Copies = 1,
    order: Annotated[str, typer.Option(help="Order: asked, code, place or bench.")] = "asked",
    printer: PrinterName = None,
    shift_right: Right = None,
    shift_down: Down = None,
    dpi: Dpi = None,
    purpose: Purpose = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Print tags and keep the run; the word print may be left out.

    Example:

        graftbook tags P1-P60 --medium letter-30up -o tags.pdf
    """
    from graftbook.actions.tags import tags

    sheet = tags.Sheet(medium, start, copies, order, printer, shift_right, shift_down, dpi, purpose, on, note)
    with progress("Setting tags") as bar:
        return tags.tags(at, codes, sheet, output, bar, who)


@verb_without_csv
def again(
    at: "Desk",
    run: Annotated[int, typer.Argument(min=1, help="The run, as tags runs lists it.")],
    output: Output,
    sheet: Annotated[list[int] | None, typer.Option("--sheet", min=1, help="Only this sheet; may be repeated.")] = None,
    printer: PrinterName = None,
    shift_right: Right = None,
    shift_down: Down = None,
    dpi: Dpi = None,
) -> "Recorded":
    """Print a run again, or single sheets of it: the same codes in the same cells, with what the book says now.

    The run keeps its printer; shifts and dots an inch that were given by hand are given again.

    Example:

        graftbook tags again 3 --sheet 12 -o sheet.pdf
    """
    from graftbook.actions.tags import tags

    with progress("Setting tags") as bar:
        return tags.again(at, run, output, sheet, bar, printer=printer, shift=(shift_right, shift_down), dpi=dpi)


@verb
def runs(at: "Desk", limit: Limit = 50) -> "Report":
    """List the runs of tags, newest first.

    Example:

        graftbook tags runs
    """
    from graftbook.actions.tags import tags

    return tags.runs(at, limit)


@verb
def blank(
    at: "Desk",
    number: Annotated[int, typer.Argument(help="How many.")],
    medium: Medium,
    output: Output,
    purpose: Purpose = None,
    start: Start = 1,
    printer: PrinterName = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Give out graft codes ahead on blank tags, for a grafting day; a graft takes one with --tag.

    Example:

        graftbook tags blank 60 --for "barn day" --medium letter-30up -o blank.pdf
    """
    from graftbook.actions.tags import tags

    sheet = tags.Sheet(medium, start, printer=printer, purpose=purpose, on=on, note=note)
    with progress("Setting tags") as bar:
        return tags.blank(at, number, sheet, output, bar, who)


@verb
def blanks(at: "Desk") -> "Report":
    """List codes given out on blank tags that no graft has yet.

    Example:

        graftbook tags blanks
    """
    from graftbook.actions.tags import tags

    return tags.blanks(at)


@verb
def worklist(
    at: "Desk",
    for_programs: bool,
    as_of: AsOf = None,
    place: Place = None,
    limit: Annotated[
        int | None,
        typer.Option("--limit", min=1, help=f"At most so many rows (default: all, {MOST_LINES} on paper or screen)."),
    ] = None,
) -> "Report":
    """List tags to replace, by place in walking order.

    Those of grafts that took and are still on a short-lived tag, those past their time, and those noted as tag-missing
    or tag-illegible on a round (graftbook care G7 tag-missing). A lasting tag or a new printing answers all of them.

    Example:

        graftbook tags worklist --place "Long Row"
    """
    from graftbook.actions.tags import tag_jobs

    most = limit if limit is not None or for_programs else MOST_LINES
    return tag_jobs.worklist(at, as_of, place, most)


@verb
def read(
    at: "Desk",
    photos: Annotated[list[Path], typer.Argument(metavar="PHOTO...", help="Photos of tags.")],
    expect: Annotated[str | None, typer.Option(metavar="CODES", help="What should be there.")] = None,
) -> "Report":
    """Read every tag in photos: what each is, which are unknown, which of an expected set are missing.

    Example:

        graftbook tags read bench.jpg --expect G1-G30
    """
    from graftbook.actions.tags import tag_photos

    with progress("Reading photos", len(photos)) as bar:
        report = tag_photos.read(at, photos, expect, bar)
    return report


def show_(
    ctx: typer.Context,
    code: Annotated[str, typer.Argument(help="A plant, bundle or graft.")],
    png: Annotated[Path | None, typer.Option("--png", metavar="FILE", help="Write a picture instead.")] = None,
    medium: Annotated[str, typer.Option("--medium", metavar="NAME", help="As printed on this.")] = "letter-30up",
    dpi: Annotated[int, typer.Option(min=72, max=1200, help="Dots an inch of the picture.")] = 300,
    as_json: Json = False,
) -> None:
    """Show one tag in the terminal, or as a picture.

    Example:

        graftbook tags show G105 --png G105.png
    """
    from graftbook.actions.tags import tags

    with desk(ctx) as at:
        if png is not None:
            tell(tags.save_png(at, code, medium, dpi, png), as_json)
            return
        report, drawn = tags.show(at, code)
        if as_json:
            show(report, at, True, False)
        else:
            write(drawn)
