"""Sheets of growers' own seen: which files are such, their tables, and how each would be read, for the person to accept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, count, first_of
from graftbook.actions.exchange.csv_files import shape_of
from graftbook.actions.exchange.csv_shapes import named
from graftbook.errors import GraftbookError, NotFound, UsageProblem
from graftbook.sheets import cell_days, layout, proposal, reading, row_reading, spellings, text_grid, workbook
from graftbook.sheets.grid import SheetGrid, written
from graftbook.sheets.headings import FIELDS, LENGTHS, understood
from graftbook.sheets.layout import SheetTable
from graftbook.sheets.reading import Reading
from graftbook.sheets.row_reading import SheetRowRead

_THINGS = {"plants": None, "trees": "trees", "stocks": "stocks", "grafts": "grafts", "wood": "wood", "looks": "looks"}
_MOST_EXAMPLES, _MOST_NOTES = 3, 8


@dataclass(frozen=True)
class SheetWords:
    """What a person says of how sheets are read, as typed: `columns`, `words`, `names` and `given` by name; `names` may be
    `all`. None or nothing: as proposed."""

    thing: str | None = None
    dates: str | None = None
    encoding: str | None = None
    columns: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    all_names: bool = False
    given: Mapping[str, str] = field(default_factory=dict)
    kept: Path | None = None


@dataclass
class TableRead:
    """One table of a file with its reading and its rows as read."""

    path: Path
    table: SheetTable
    reading: Reading
    order: cell_days.OrderSeen
    rows: list[SheetRowRead]
    encoding: str = ""
    spelled: tuple[spellings.Spelling, ...] = ()

    @property
    def sheet(self) -> str:
        """The name of the sheet, and of a second table on it also its line; '' for the one table of a text file."""
        return self.table.sheet

    @property
    def label(self) -> str:
        """What the table is called to a person and in problems."""
        return f"{self.path.name} [{self.sheet}]" if self.sheet else self.path.name


@dataclass(frozen=True)
class ColumnRow:
    """One column of a table as it would be read: `read_as` is empty where it is left."""

    file: str
    sheet: str
    column: str
    read_as: str
    filled: int
    examples: str
    shown: ClassVar = ("column", "read_as", "filled", "examples")
    headings: ClassVar = {"read_as": "read as"}


def own_or_strange(paths: Sequence[Path], kind: str | None) -> tuple[bool, list[Path]]:
    """Whether these are sheets of a grower's own, and every file of them, folders opened; the book's own files are left to the
    import of those. Raises UsageProblem for both at once, NotFound for what is not there."""
    files: list[Path] = []
    for path in paths:
        if path.is_dir():
            endings = (".csv", ".tsv", *workbook.ENDINGS)
            files += sorted(
                each for each in path.iterdir() if each.suffix.lower() in endings and not each.name.startswith("~$")
            )
        elif not path.exists():
            raise NotFound(f"no file {path}")
        else:
            files.append(path)
    strange = [path for path in files if _strange(path, kind)]
    if strange and len(strange) < len(files):
        own = next(path for path in files if path not in strange)
        raise UsageProblem(
            "the book's own files or sheets of your own, not both at once", f"{own.name} and {strange[0].name}"
        )
    return bool(strange), files


def _strange(path: Path, kind: str | None) -> bool:
    if path.suffix.lower() in workbook.ENDINGS:
        return True
    try:
        grid = text_grid.read_text(path.read_bytes())
    except (GraftbookError, OSError):
        return False
    if not grid.lines:
        return False
    names = [re.sub(r"[\s-]+", "_", str(cell).casefold()) for cell in grid.lines[0][1] if cell is not None]
    shape = (None if kind is None else named(kind)) or shape_of(names, path.stem)
    if shape is not None and 2 * len(set(names) & set(shape.headers)) >= len(names):
        return False
    found = layout.tables(grid)
    known = {each.field for table in found for text in table.headings if (each := understood(text)) is not None}
    return len(known) >= (3 if shape is not None else 2)


def see(desk: Desk, paths: Sequence[Path], said: SheetWords) -> list[TableRead]:
    """Every table of these files, read as proposed and as the person says. Raises UsageProblem where nothing can be read."""
    kept = reading.from_toml(_text(said.kept)) if said.kept is not None else {}
    if said.dates is not None and said.dates not in reading.ORDERS:
        raise UsageProblem("--dates day-first or month-first", repr(said.dates))
    found: list[TableRead] = []
    for path in paths:
        for grid in _grids(path, said.encoding):
            found += [_read(desk, path, table, said, kept, grid.encoding) for table in _apart(layout.tables(grid))]
    found = [each for each in found if each.rows and any(each.reading.columns.values())]
    if not found:
        names = ", ".join(path.name for path in paths)
        raise UsageProblem(
            "a table with headings such as variety, rootstock, date, method", f"none in {names}",
            "The headings may stand in one line or two, with the rows under them",
        )  # fmt: skip
    return found


def _text(path: Path) -> str:
    if not path.exists():
        raise NotFound(f"no reading {path}")
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise UsageProblem("a reading as --save-reading writes it", "a file that is no UTF-8 text") from error


def _grids(path: Path, encoding: str | None) -> tuple[SheetGrid, ...]:
    data = path.read_bytes()
    if path.suffix.lower() in workbook.ENDINGS:
        return workbook.read_workbook(data)
    return (text_grid.read_text(data, encoding),)


def _apart(tables: tuple[SheetTable, ...]) -> list[SheetTable]:
    """Tables of one sheet, those after the first named by the line of their headings besides."""
    return [replace(t, sheet=f"{t.sheet} line {t.top}".strip()) if at else t for at, t in enumerate(tables)]


def _read(
    desk: Desk, path: Path, table: SheetTable, said: SheetWords, kept: Mapping[str, Reading], encoding: str
) -> TableRead:
    thing = _thing(said.thing)
    found = proposal.propose(table, thing=thing, dates=desk.settings.date_order, unit=desk.settings.units)
    how = kept.get(table.sheet, next(iter(kept.values())) if len(kept) == 1 else found.reading)
    if kept and how is not found.reading:
        how = _fitting(how, found.reading)
    if said.dates is not None:
        how = replace(how, dates=said.dates)
    how = reading.with_words(
        how, columns=_there(said.columns, how), words=said.words, names=said.names, given=said.given
    )
    names = [name for place, text in enumerate(table.headings) if how.columns.get(text) == "cultivar"
             for _line, cell in table.column(place) if (name := str(cell)) not in how.names]  # fmt: skip
    spelled = spellings.suggestions(names)
    if said.all_names and spelled:
        how = reading.with_words(how, names={each.name: each.perhaps for each in spelled})
        spelled = ()
    rows = list(row_reading.read_rows(table, how, desk.today))
    return TableRead(path, table, how, found.order, rows, encoding, spelled)


def _there(columns: Mapping[str, str], how: Reading) -> Mapping[str, str]:
    """The columns a person speaks of; of a book of several sheets each need only stand in one of them."""
    have = {reading.fold(text) for text in how.columns}
    there = {typed: meant for typed, meant in columns.items() if reading.fold(typed) in have}
    return there if there else columns


def _fitting(kept: Reading, found: Reading) -> Reading:
    """A reading kept from another year on this table: its word on every heading it knows, as proposed for others."""
    columns = {text: kept.columns.get(text, meant) for text, meant in found.columns.items()}
    return replace(kept, columns=columns, epoch=found.epoch, units={**found.units, **kept.units})


def _thing(kind: str | None) -> str | None:
    if kind is None:
        return None
    if kind.casefold() not in _THINGS:
        raise UsageProblem(f"for --kind of a sheet of your own: {', '.join(reading.THINGS)}", repr(kind))
    return _THINGS[kind.casefold()]


def questions(tables: Sequence[TableRead]) -> tuple[str, ...]:
    """What must be answered for a table as a whole before anything of it can be taken."""
    asked: dict[str, None] = {}
    for each in tables:
        how = each.reading
        if how.dates is None and each.order.either:
            asked[_order_question(each)] = None
        for name, words in row_reading.needed(how.thing):
            if not how.has(name) and not (name == "date" and how.thing == "wood"):
                asked[
                    f"{each.label}: no column says {words}: --map 'HEADING={name}', or --given '{name}=…' for every row."
                ] = None
    return tuple(asked)


def _order_question(each: TableRead) -> str:
    order = each.order
    proofs = [
        f"{words} by {_lines(lines)}"
        for words, lines in (("day first", order.day_first), ("month first", order.month_first))
        if lines
    ]
    proven = f"; {' and '.join(proofs)}" if proofs else ""
    return (
        f"{each.label}: {_lines(order.either)} can mean two days{proven}: say --dates day-first or --dates month-first."
    )


def _lines(lines: Sequence[int]) -> str:
    return f"line{'s' if len(lines) > 1 else ''} {first_of([str(line) for line in lines], 6, ', ')}"


def report(desk: Desk, tables: Sequence[TableRead]) -> Report:
    """How these tables would be read, column by column, with what would be held and why."""
    rows = tuple(row for each in tables for row in _column_rows(each))
    notes = [note for each in tables for note in _notes(each)]
    title = "; ".join(
        f"{each.label}: {count(len(each.rows), 'row')} of {each.reading.thing}, headings on line {each.table.top}"
        for each in tables
    )
    facts = {"as_of": desk.today, "rows_in": sum(each.table.lines for each in tables)}
    group = "sheet" if len({each.sheet for each in tables}) > 1 else "file" if len(tables) > 1 else None
    return Report(ColumnRow, rows, tuple(notes), facts, title=title, group=group)


def _column_rows(each: TableRead) -> list[ColumnRow]:
    found = []
    for place, text in enumerate(each.table.headings):
        cells = each.table.column(place)
        if not text and not cells:
            continue
        meant = each.reading.columns.get(text, "")
        seen = list(dict.fromkeys(written(cell) for _line, cell in cells))  # type: ignore[arg-type]
        unit = each.reading.units.get(text, each.reading.unit) if meant in LENGTHS else ""
        words = f"{FIELDS[meant]}{f', {unit}' if unit else ''}" if meant else ""
        examples = first_of([one if len(one) < 24 else f"{one[:22]}…" for one in seen], _MOST_EXAMPLES, ", ")
        found.append(ColumnRow(each.path.name, each.sheet, text, words, len(cells), examples))
    return found


def _notes(each: TableRead) -> list[str]:
    held = [row for row in each.rows if row.doubts]
    says = [f"{each.label}: {count(len(each.rows) - len(held), 'row')} clear, {len(held):,} would be held."]
    left = [text for text, meant in each.reading.columns.items() if text and not meant]
    if each.reading.dates is not None and (each.order.day_first or each.order.month_first):
        proof = each.order.day_first if each.reading.dates == "day-first" else each.order.month_first
        says.append(f"Dates are {each.reading.dates}" + (f", as {_lines(proof)} can only be." if proof else "."))
    if left:
        says.append(f"Not read, kept with the rows: {first_of(left, 8, ', ')}.")
    reasons: dict[str, list[SheetRowRead]] = {}
    for row in held:
        reasons.setdefault(row.doubts[0][0], []).append(row)
    for heading, rows in list(reasons.items())[:_MOST_NOTES]:
        says.append(
            f"{count(len(rows), 'row')} held for {heading or 'what is missing'}, first line {rows[0].line}: {rows[0].why}."
        )
    for one in each.spelled[:_MOST_NOTES]:
        way = f"--spelling '{one.name}={one.perhaps}', or --spelling all"
        says.append(f"{one.name!r} ({one.rows}) may be {one.perhaps!r} ({one.perhaps_rows}): {way}.")
    undated = sum(
        row.outcome is not None and row.outcome.took is not None and "looked" not in row.days for row in each.rows
    )
    if undated and each.reading.thing == "grafts":
        says.append(
            f"{count(undated, 'result')} without a day stay in the note; --given looked=DATE makes looks of them."
        )
    said = [f"line {line}: {text[:60]}" for line, text in each.table.notes]
    if said:
        says.append(f"Left out as no rows: {first_of(said, 3)}.")
    if each.table.totals:
        says.append(f"Left out as sums: {_lines(each.table.totals)}.")
    return says


def save(tables: Sequence[TableRead], path: Path) -> None:
    """Keep the readings of these tables in a file for another year. Raises CannotWrite where something else stands there."""
    text = reading.toml_text({each.sheet: each.reading for each in tables})
    write_file(path, text.encode("utf-8"), over=(reading.HEAD.encode("utf-8"),))
