"""tags: print them, print them again, give out blank ones, read them back."""

from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli import completing
from graftbook.cli.grouping import Printing, group
from graftbook.cli.options import (
    AsOf,
    Json,
    LeftOut,
    Limit,
    LongLimit,
    Note,
    On,
    Place,
    Who,
    argument,
    option,
    out,
    rows_shown,
)
from graftbook.cli.shared import desk, progress, show, write
from graftbook.cli.verb import Desk, Recorded, Report, verb
from graftbook.visible import visible

Medium = Annotated[str, option("--medium", "What to print on; see: tags media.", "NAME")]
Output = Annotated[Path, out("Where to write.")]
Start = Annotated[int, option("--start", "First cell to use on a part-used sheet.", min=1)]
Copies = Annotated[int, option("--copies", "How many of each.", min=1, max=1000)]
PrinterName = Annotated[str | None, option("--printer", "As set with tags printer.", "NAME")]
Right = Annotated[float | None, option("--shift-right", "Move the print to the right.", "MM")]
Down = Annotated[float | None, option("--shift-down", "Move the print down.", "MM")]
Dpi = Annotated[int | None, option("--dpi", "Printer dots an inch, if known.", min=100, max=4800)]
Purpose = Annotated[str | None, option("--for", "What the run is for; stands in the margin.", "TEXT")]
Lines = Annotated[bool, option("--lines", "Blank tags with ruled lines to write on.")]

verbs = group(
    "tags",
    """Print tags for any codes on any medium, true to size.

    Example:

        graftbook tags P1-P60 --medium letter-30up -o tags.pdf

        graftbook tags media
    """,
    cls=Printing,
)


@verb(verbs, name="print")
def tags(
    at: Desk,
    codes: Annotated[str, argument("CODES", "What to tag, such as P1-P60 or G7,G9.")],
    medium: Medium,
    output: Output,
    left_out: LeftOut = None,
    start: Start = 1,
    copies: Copies = 1,
    order: Annotated[str, option("--order", "Order: asked, code, place or bench.")] = "asked",
    printer: PrinterName = None,
    shift_right: Right = None,
    shift_down: Down = None,
    dpi: Dpi = None,
    purpose: Purpose = None,
    preview: Annotated[bool, option("--preview", "Only draw the first sheet, as a PNG picture.")] = False,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Print tags and keep the run; the word print may be left out.

    The name is set as large as the medium allows. `tags show` says from how far a tag is read.

    Example:

        graftbook tags P1-P60 --medium letter-30up -o tags.pdf

        graftbook tags P1-P60 --medium letter-30up --preview -o tags.png
    """
    from graftbook.actions.tags import shown_tags, tags

    sheet = tags.Sheet(medium, start, copies, order, printer, shift_right, shift_down, dpi, purpose, on, note)
    if preview:
        return shown_tags.preview(at, codes, sheet, output, left_out)
    with progress("Setting tags") as bar:
        return tags.tags(at, codes, sheet, output, bar, who, left_out)


@verb(verbs, csv=False)
def again(
    at: Desk,
    run: Annotated[int, argument(None, "The run, as tags runs lists it.", min=1)],
    output: Output,
    sheet: Annotated[list[int] | None, option("--sheet", "Only this sheet; may be repeated.", min=1)] = None,
    printer: PrinterName = None,
    shift_right: Right = None,
    shift_down: Down = None,
    dpi: Dpi = None,
    lines: Lines = False,
) -> Recorded:
    """Print a run again, or single sheets of it: the same codes in the same cells, with what the book says now.

    The run keeps its printer; shifts and dots an inch that were given by hand are given again.

    Example:

        graftbook tags again 3 --sheet 12 -o sheet.pdf
    """
    from graftbook.actions.tags import tags

    with progress("Setting tags") as bar:
        return tags.again(
            at, run, output, sheet, bar, printer=printer, shift=(shift_right, shift_down), dpi=dpi, lines=lines
        )


@verb(verbs)
def runs(at: Desk, limit: Limit = 50) -> Report:
    """List the runs of tags, newest first.

    Example:

        graftbook tags runs
    """
    from graftbook.actions.tags import tags

    return tags.runs(at, limit)


@verb(verbs)
def blank(
    at: Desk,
    number: Annotated[int, argument(None, "How many.")],
    medium: Medium,
    output: Output,
    purpose: Purpose = None,
    lines: Lines = False,
    start: Start = 1,
    printer: PrinterName = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Give out graft codes ahead on blank tags, for a grafting day; a graft takes one with --tag.

    Example:

        graftbook tags blank 60 --for "barn day" --medium letter-30up -o blank.pdf

        graftbook tags blank 20 --lines --medium letter-20up -o blank.pdf
    """
    from graftbook.actions.tags import tags

    sheet = tags.Sheet(medium, start, printer=printer, purpose=purpose, on=on, note=note)
    with progress("Setting tags") as bar:
        return tags.blank(at, number, sheet, output, bar, who, lines)


@verb(verbs, name="rows")
def row_ends(
    at: Desk,
    medium: Medium,
    output: Output,
    place: Place = None,
    row: Annotated[str | None, option("--row", "Only this row of the place.", "ROW")] = None,
    start: Start = 1,
    copies: Copies = 1,
    printer: PrinterName = None,
) -> Report:
    """Print tags for the ends of rows and beds: what lives there, and how many of each.

    Example:

        graftbook tags rows --place "Long Row" --medium letter-10up -o rows.pdf
    """
    from graftbook.actions.tags import row_tags, tags

    return row_tags.row_tags(at, tags.Sheet(medium, start, copies, printer=printer), output, place, row)


@verb(verbs)
def blanks(at: Desk) -> Report:
    """List codes given out on blank tags that no graft has yet.

    Example:

        graftbook tags blanks
    """
    from graftbook.actions.tags import tags

    return tags.blanks(at)


@verb(verbs)
def worklist(
    at: Desk,
    for_programs: bool,
    as_of: AsOf = None,
    place: Place = None,
    limit: LongLimit = None,
) -> Report:
    """List tags to replace, by place in walking order.

    Those of grafts that took and are still on a short-lived tag, those past their time, and those noted as tag-missing
    or tag-illegible on a round (graftbook care G7 tag-missing). A lasting tag or a new printing answers all of them.

    Example:

        graftbook tags worklist --place "Long Row"
    """
    from graftbook.actions.tags import tag_jobs

    return tag_jobs.worklist(at, as_of, place, rows_shown(limit, for_programs))


@verb(verbs)
def read(
    at: Desk,
    photos: Annotated[list[Path], argument("PHOTO...", "Photos of tags.")],
    expect: Annotated[str | None, option("--expect", "What should be there.", "CODES")] = None,
) -> Report:
    """Read every tag in photos: what each is, which are unknown, which of an expected set are missing.

    Example:

        graftbook tags read bench.jpg --expect G1-G30
    """
    from graftbook.actions.tags import tag_photos

    with progress("Reading photos", len(photos)) as bar:
        return tag_photos.read(at, photos, expect, bar)


@verbs.command("show")
def show_(
    ctx: typer.Context,
    code: Annotated[str, argument(None, "A plant, bundle or graft.", autocompletion=completing.codes)],
    png: Annotated[Path | None, option("--png", "Write a picture instead.", "FILE")] = None,
    medium: Annotated[str, option("--medium", "As printed on this.", "NAME")] = "letter-30up",
    dpi: Annotated[int, option("--dpi", "Dots an inch of the picture.", min=72, max=1200)] = 300,
    as_json: Json = False,
) -> None:
    """Show one tag in the terminal with how far it is read from, or as a picture.

    A phone reads a code from about ten times its side; letters are read where capitals appear 16 minutes of arc high.

    Example:

        graftbook tags show G105 --png G105.png
    """
    from graftbook.actions.tags import shown_tags

    with desk(ctx) as at:
        if png is not None:
            show(shown_tags.save_png(at, code, medium, dpi, png), at, as_json, False)
            return
        report, drawn = shown_tags.show(at, code, medium)
        if as_json:
            show(report, at, True, False)
        else:
            write(visible(drawn))
