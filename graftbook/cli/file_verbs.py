"""import and export: the book out to CSV files and back in."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from graftbook.cli.grouping import app
from graftbook.cli.options import Note, Who, argument, option
from graftbook.cli.shared import progress
from graftbook.cli.verb import Desk, Recorded, Report, verb


@dataclass(frozen=True)
class ImportOptions:
    """The options that say how files are read: arguments of `import_files`, by the same names."""

    dates: Annotated[
        str | None, option("--dates", "How these files write 4/10/27: day-first or month-first (default: as the book).")
    ] = None
    kind: Annotated[
        str | None,
        option("--kind", "What the files hold: plants, wood, grafts, looks … (default: by their headers).", "KIND"),
    ] = None
    encoding: Annotated[str, option("--encoding", "utf-8, or cp1252 for files of an old Windows program.")] = "utf-8"
    on: Annotated[str | None, option("--on", "The day of rows that give none.", "DATE")] = None
    dry_run: Annotated[bool, option("--dry-run", "Check everything, record nothing.")] = False


@verb(app)
def import_(
    at: Desk,
    files: Annotated[list[Path], argument("FILE-or-DIR...", "CSV files, or folders of them.")],
    facts: ImportOptions = ImportOptions(),
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Take CSV files into the book: everything or nothing, as one entry.

    Which thing a file holds is seen from its headers. Lengths and dates may be in any form the command line takes. Every
    row that cannot be taken is named at once, with file, line, column, what was found and what would do.

    Example:

        graftbook import plants.csv wood.csv grafts.csv looks.csv --dates day-first
    """
    from graftbook.actions.exchange.importing import import_files

    with progress("Importing") as step:
        return import_files(at, files, **vars(facts), who=who, note=note, progress=step)


@verb(app)
def export(
    at: Desk,
    folder: Annotated[Path, argument("DIR", "The folder to write to; it is made if need be.")],
    force: Annotated[bool, option("--force", "Write over the files of an earlier export.")] = False,
    contacts: Annotated[bool, option("--contacts", "How to reach people as well.")] = False,
) -> Report:
    """Write the whole book as CSV files, one a thing: UTF-8, commas, line feeds, sorted by code and day.

    Imported into an empty book they make the same book again; the journal of entries stays behind,
    and how to reach people goes along only with --contacts.

    Example:

        graftbook export orchard-2027
    """
    from graftbook.actions.exchange.exporting import export as action

    with progress("Exporting") as step:
        return action(at, folder, force, step, contacts)
