"""import: files into the book, its own all or nothing, and growers' own sheets once the way they are read is accepted."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from graftbook.cli.grouping import app
from graftbook.cli.options import Note, Who, Yes, argument, option
from graftbook.cli.shared import agreed, cells, progress, show
from graftbook.cli.verb import Desk, verb
from graftbook.errors import Refused


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


@dataclass(frozen=True)
class SheetOptions:
    """The options that say how sheets of a grower's own are read."""

    map: Annotated[
        list[str] | None, option("--map", "What a column is: 'Cal=stock'; nothing for one to leave.", "HEADING=FIELD")
    ] = None
    word: Annotated[list[str] | None, option("--word", "What a word means: 'x=dead', 'W/T=whip'.", "WORD=MEANING")] = (
        None
    )
    given: Annotated[
        list[str] | None,
        option("--given", "What holds for every row: 'method=cleft', 'looked=2026-06-15'.", "FIELD=VALUE"),
    ] = None
    spelling: Annotated[
        list[str] | None,
        option("--spelling", "A cultivar misspelled: 'Bueaty=Beauty', or all that are suggested.", "A=B"),
    ] = None
    reading: Annotated[Path | None, option("--reading", "How sheets are read, kept earlier.", "FILE")] = None
    save_reading: Annotated[Path | None, option("--save-reading", "Keep how they are read.", "FILE")] = None
    all_or_nothing: Annotated[
        bool, option("--all-or-nothing", "Hold no row: take all, or name every row that is not clear.")
    ] = False
    yes: Yes = False


@verb(app)
def import_(
    at: Desk,
    files: Annotated[list[Path], argument("FILE-or-DIR...", "CSV, XLSX or ODS files, or folders of them.")],
    facts: ImportOptions = ImportOptions(),
    sheets: SheetOptions = SheetOptions(),
    who: Who = None,
    note: Note = None,
    for_programs: bool = False,
) -> Any:
    """Take files into the book, as one entry: the book's own CSV files all or nothing, or sheets of your own.

    Which thing a file holds is seen from its headers. Lengths and dates may be in any form the command line takes. Every
    row that cannot be taken is named at once, with file, line, column, what was found and what would do.

    Of a sheet with headings of your own it is shown first how it would be read; with your yes, or --yes, the rows that are
    clear go in and the others are held (graftbook held). The same sheet again adds only what is new in it.

    Examples:

        graftbook import plants.csv wood.csv grafts.csv looks.csv --dates day-first

        graftbook import "club log.xlsx" --map "Cal=stock" --given method=whip-and-tongue --yes
    """
    from graftbook.actions.exchange.importing import import_files
    from graftbook.actions.exchange.sheets_seen import own_or_strange

    strange, found = own_or_strange(files, facts.kind)
    if strange:
        return _sheets(at, found, facts, sheets, who, note, for_programs)
    with progress("Importing") as step:
        return import_files(at, files, **vars(facts), who=who, note=note, progress=step)


def _sheets(
    at: Desk,
    files: list[Path],
    facts: ImportOptions,
    options: SheetOptions,
    who: str | None,
    note: str | None,
    quiet: bool,
) -> Any:
    """Show how sheets would be read, and take them once that is accepted."""
    from graftbook.actions.exchange import sheets_importing, sheets_seen

    example = "two words with = between them, such as 'Cal=stock'"
    names = [text for text in options.spelling or () if text.strip().casefold() != "all"]
    said = sheets_seen.SheetWords(
        facts.kind, facts.dates, None if facts.encoding == "utf-8" else facts.encoding,
        cells(options.map or (), example, plain=True), cells(options.word or (), example, plain=True),
        cells(names, example, plain=True), len(names) < len(options.spelling or ()),
        {**({"date": facts.on} if facts.on else {}), **cells(options.given or (), example)}, options.reading,
    )  # fmt: skip
    tables = sheets_seen.see(at, files, said)
    if options.save_reading is not None:
        sheets_seen.save(tables, options.save_reading)
    if not (options.yes or facts.dry_run):
        report = sheets_importing.preview(at, tables)
        asked = sheets_seen.questions(tables)
        if asked or quiet or not sys.stdin.isatty():
            step = " ".join(asked) or "If this reading is right, say --yes; if not, mend it with --map, --word, --given"
            return report, "", Refused("nothing was recorded", "", step)
        show(report, at, False, False)
        if not agreed("Is this reading right? Take what is clear, and hold the rest?"):
            raise Refused("nobody said yes", "", "Nothing was recorded; mend the reading with --map, --word, --given")
    with progress("Importing") as step:
        return sheets_importing.import_sheets(
            at, tables, all_or_nothing=options.all_or_nothing, dry_run=facts.dry_run, who=who, note=note, progress=step
        )
