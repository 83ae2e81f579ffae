"""The book as a whole: only, mcpd, export, backup, restore, merge, doubles, doctor."""

from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli.grouping import app
from graftbook.cli.options import AsOf, Csv, Json, Note, Paper, Who, argument, option, out
from graftbook.cli.shared import desk, one_form, progress, show
from graftbook.cli.verb import Desk, Report, verb
from graftbook.cli.words_used import meaning
from graftbook.errors import EXIT_PROBLEMS, UsageProblem


@verb(app)
def only(at: Desk, as_of: AsOf = None) -> Report:
    """List cultivars alive on one tree, in one place, or only as grafts not yet judged: cut wood from these first.

    Example:

        graftbook only
    """
    from graftbook.actions.names import at_risk

    return at_risk.only(at, as_of)


@verb(app)
def mcpd(
    at: Desk,
    output: Annotated[Path, out("The CSV file to write.")],
    force: Annotated[bool, option("--force", "Write over an earlier file.")] = False,
) -> Report:
    """Write the living cultivars as multi-crop passport descriptors (FAO/Bioversity MCPD v2.1), identity only.

    What is in doubt stays out; no donor, place or contact goes along.

    Example:

        graftbook mcpd -o living.csv
    """
    from graftbook.actions.exchange import mcpd

    return mcpd.mcpd(at, output, force)


@verb(app)
def export(
    at: Desk,
    folder: Annotated[Path | None, argument("DIR", "The folder for CSV files; it is made if need be.")] = None,
    xlsx: Annotated[Path | None, option("--xlsx", "One workbook instead, a sheet a thing.", "FILE")] = None,
    jsonl: Annotated[Path | None, option("--jsonl", "JSON Lines instead, an object a row.", "FILE")] = None,
    force: Annotated[bool, option("--force", "Write over the files of an earlier export.")] = False,
    contacts: Annotated[bool, option("--contacts", "How to reach people as well.")] = False,
) -> Report:
    """Write the whole book as CSV files, one a thing: UTF-8, commas, line feeds, sorted by code and day.

    Imported into an empty book they make the same book again; the journal of entries stays behind,
    and how to reach people goes along only with --contacts. A workbook or JSON Lines hold the same rows in one file.

    Examples:

        graftbook export orchard-2027

        graftbook export --xlsx orchard-2027.xlsx
    """
    from graftbook.actions.exchange import exporting, json_lines, workbook

    forms = ((folder, exporting.export), (xlsx, workbook.export_workbook), (jsonl, json_lines.export_lines))
    wanted = [(place, action) for place, action in forms if place is not None]
    if len(wanted) != 1:
        found = f"{len(wanted)} of them" if wanted else "nothing"
        raise UsageProblem("a folder, --xlsx FILE or --jsonl FILE", found, "Such as: graftbook export orchard-2027")
    place, action = wanted[0]
    with progress("Exporting") as step:
        return action(at, place, force, step, contacts)


@verb(app, name="print")
def print_(
    at: Desk,
    output: Annotated[Path, out("The PDF to write.")],
    paper: Paper = "a4",
    contacts: Annotated[bool, option("--contacts", "How to reach people as well.")] = False,
) -> Report:
    """Print the whole book as a PDF that someone without this program can carry on from.

    What stands where and on what, with what was last seen of it; what is wanted now; wood in store; wants, requests and
    people. Keep one in a folder each winter.

    Example:

        graftbook print -o orchard-2027.pdf
    """
    from graftbook.actions.exchange.book_paper import print_book

    with progress("Printing") as step:
        return print_book(at, output, paper, contacts, step)


@verb(app)
def backup(
    at: Desk,
    file: Annotated[Path, argument("FILE", "The file to write; with --keep a folder.")],
    keep: Annotated[
        int | None, option("--keep", "Write a dated file into a folder, and keep so many of this book.", "N", min=1)
    ] = None,
) -> Report:
    """Write the whole book into one file, from which it can be restored, whichever database it is in.

    It is the book as one moment had it, whoever else writes meanwhile, read back before it gets its name. An earlier
    backup of this book is written over, anything else never. With --keep only the oldest dated backups of this
    very book are taken out of the folder.

    Examples:

        graftbook backup orchard-backup.sqlite

        graftbook backup backups --keep 10
    """
    from graftbook.actions.exchange import backing_up

    return backing_up.backup(at, file, keep)


@app.command()
def restore(
    ctx: typer.Context,
    file: Annotated[Path, argument("FILE", "A backup, or any file that holds a book.")],
    yes: Annotated[bool, option("--yes", "Restore over the book that is there; it is kept aside.")] = False,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Make a backup the book again: in a new place, over the book that is there, or in an empty database.

    The file is checked first and not changed. One of an older version is brought up to date on the way. A book that is
    there is kept aside under a dated name.

    Example:

        graftbook --book again.sqlite restore orchard-backup.sqlite
    """
    from graftbook.actions.exchange import restore_book

    one_form(as_json, as_csv)
    show(restore_book.restore(ctx.obj, file, yes), None, as_json, as_csv)


@app.command()
def merge(
    ctx: typer.Context,
    other: Annotated[str, argument("OTHER", "Another book: a file, a URL, a backup, or a folder of exported files.")],
    keep: Annotated[str | None, option("--keep", "What stands as this book says it: P12,G3 or all.", "THINGS")] = None,
    take: Annotated[str | None, option("--take", "What stands as the other book says it.", "THINGS")] = None,
    newest: Annotated[str | None, option("--newest", "What stands as it was written last.", "THINGS")] = None,
    dry_run: Annotated[bool, option("--dry-run", "Say what would come, record nothing.")] = False,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Put another book into this one: two that began as one, or two that met late.

    What is the same is known by its uid, and comes once however often you merge. A code that both books gave to different
    things stays with the one here; the other gets a new one, and its tag is to be reprinted. What was changed in both books
    is shown with both values, and nothing is merged until you say which stands. It is one entry, which undo takes
    back; the history of what comes goes along. The exit code is 3 while there is something to say.

    Examples:

        graftbook merge shed.sqlite --dry-run

        graftbook merge shed.sqlite --newest all
    """
    from graftbook.actions.together import merging

    one_form(as_json, as_csv)
    with desk(ctx) as at:
        with progress("Merging") as step:
            report = merging.merge(
                at, other, keep=keep, take=take, newest=newest, dry_run=dry_run, who=who, note=note, progress=step
            )
        show(report, at, as_json, as_csv)
    if report.facts["asks"]:
        raise typer.Exit(EXIT_PROBLEMS)


@verb(app)
def doubles(
    at: Desk,
    join: Annotated[
        list[str] | None,
        option("--join", "Two that are one, the one that stays first: P3=P7, or all of those listed.", "KEEP=OTHER"),
    ] = None,
    who: Who = None,
) -> Report:
    """List what may stand in the book twice, with the reason: plants, grafts, people and cultivar names.

    Nothing is joined unless you say so. Of two plants or grafts the first keeps its code and takes over what only the
    other says; looks and care of both are kept, and the other's code still finds it. A person goes by one name everywhere;
    one cultivar name becomes a synonym of the other. Each pair is an entry of its own, which undo takes back.

    Examples:

        graftbook doubles

        graftbook doubles --join all
    """
    from graftbook.actions.together import doubles as action

    return action.doubles(at, tuple(join or ()), who)


@app.command()
def doctor(ctx: typer.Context, as_json: Json = False, as_csv: Csv = False) -> None:
    """Check that the record is sound; nothing is changed.

    A breach means that the record itself is broken: sticks below nothing, a row changed past the program, a graft older
    than its wood. A contradiction means that the grower's own words disagree: a graft growing on a tree that died. Each is
    shown with what was expected, what was found and what to do next. The exit code is 0 when there is nothing to show
    and 3 when there is, of either kind.

    Example:

        graftbook doctor
    """
    from graftbook.actions.soundness.doctor import TOTAL
    from graftbook.actions.soundness.doctor import doctor as action

    with desk(ctx) as at:
        with progress("Checking", TOTAL) as step:
            report = action(at, step)
        show(report, at, as_json, as_csv)
    if report.rows:
        raise typer.Exit(EXIT_PROBLEMS)


@app.command()
def guide(
    name: Annotated[
        list[str] | None, argument("NAME", "Which one: garden, club, took …; or what you look for.")
    ] = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Print a guide; without a name, list them. They need no book and no network.

    Any other words are looked for in them.

    Example:

        graftbook guide garden

        graftbook guide greenhouse
    """
    from graftbook.actions.desk import guides
    from graftbook.actions.desk.results import Report

    words = " ".join(name or ())
    one, notes = guides.is_one(words), ("Print one: graftbook guide garden",)
    if one and not (as_json or as_csv):
        typer.echo(guides.text(words), nl=False)
        return
    rows = (guides.GuideRow(words, guides.text(words)),) if one else guides.rows()
    if words and not one:
        said = meaning(words.split())
        rows, notes = guides.naming(words, needed=said is None), (said,) if said is not None else notes
    show(Report(guides.GuideRow, rows, notes, empty="No guide speaks of it."), None, as_json, as_csv)
