"""CSV files into the book: everything or nothing, in one entry.

Files are read and every cell is turned into a value before the book is opened for writing. Then, inside one transaction,
the rows are held against each other and against the book; every problem of every file is raised together, and only where
there is none are the rows added. Whatever stops it, from a bad row to Ctrl-C, leaves the book as it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from graftbook.actions.desk.copied_before import copied_if_many
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.exchange import (
    importing_checks,
    importing_lineage,
    importing_names,
    importing_plans,
    importing_repeats,
    importing_rows,
    importing_weather,
    importing_wood,
)
from graftbook.actions.exchange.csv_cells import Reader
from graftbook.actions.exchange.csv_files import check_encoding, read_sheet
from graftbook.actions.exchange.csv_shapes import CODES, GRAFTS, OWN_ROWS, PLANTS, SETTINGS, SHAPES, WOOD, Shape, named
from graftbook.actions.exchange.importing_batch import Batch, fetch, wide_scions
from graftbook.book import bulk
from graftbook.book import settings as book_settings
from graftbook.book.unit import Unit
from graftbook.dates import ORDERS
from graftbook.errors import BadData, NotFound, UsageProblem


def import_files(
    desk: Desk,
    paths: Sequence[Path],
    *,
    dates: str | None = None,
    kind: str | None = None,
    encoding: str = "utf-8",
    on: str | None = None,
    dry_run: bool = False,
    who: str | None = None,
    note: str | None = None,
    progress: Any = None,
) -> Recorded:
    """Take files, or the CSV files of folders, into the book as one entry.

    `dates` is the order of day and month in these files (None: as the book is set); `kind` is the thing every file holds
    (None: told from its headers or its name); `on` is the day of rows that give none. With `dry_run` everything is done
    and taken back. `progress` is called with each count of rows added.

    Raises BadData with every problem of every file, NotFound for a file that is not there, UsageProblem for a word that
    is not understood.
    """
    shape = _kind(kind)
    encoding = check_encoding(encoding)
    reader = Reader(desk.today, _order(dates, desk), None if on is None else desk.day(on))
    sheets = [read_sheet(path, reader, shape, encoding) for path in _files(paths)]
    batch = Batch(sheets, broken={code for sheet in sheets for code in sheet.broken})
    with desk.book.write("import", desk.person(who)) as unit:
        what = take_in(desk, batch, unit, progress)
        if what is None:
            return Recorded("There was nothing to import: no rows, and settings as they are.")
        if dry_run:
            line = f"Nothing was recorded (--dry-run). It would have imported {what}."
            return Recorded(line, None, (), _notes(batch))
        kept = copied_if_many(desk.book.location, "import", desk.now(), sum(len(sheet.rows) for sheet in sheets))
        entry = unit.commit(_entry_line(batch, what, note))
    return Recorded(f"Imported {what}.", entry.id, _codes(batch), (*kept, *_notes(batch)))


def take_in(desk: Desk, batch: Batch, unit: Unit, progress: Any) -> str | None:
    """Check the batch and add it; what was added, in words, or None where that is nothing. Raises BadData."""
    methods = _check(batch, unit)
    importing_rows.give_codes(batch, unit)
    importing_plans.complete(batch, unit.session, desk.today)
    turns = importing_rows.in_turns(batch)
    importing_wood.draw_all(batch, unit.session, methods)
    _raise(batch)
    importing_rows.add_all(batch, unit, turns, desk.today, progress)
    changed = _settings(batch, unit, desk)
    counted = _counters(batch, unit)
    return _summary(batch, changed) or ("counts of codes" if counted else None)


def _kind(kind: str | None) -> Shape | None:
    if kind is None:
        return None
    shape = named(kind)
    if shape is None:
        raise UsageProblem(f"a kind of file: {', '.join(shape.name for shape in SHAPES)}", repr(kind))
    return shape


def _order(dates: str | None, desk: Desk) -> str | None:
    if dates is not None and dates not in ORDERS:
        raise UsageProblem(f"--dates {' or '.join(ORDERS)}", repr(dates))
    return dates if dates is not None else desk.settings.date_order


def _files(paths: Sequence[Path]) -> list[Path]:
    found: list[Path] = []
    for path in paths:
        if path.is_dir():
            inside = sorted(file for file in path.iterdir() if file.suffix.lower() == ".csv" and file.is_file())
            if not inside:
                raise NotFound(f"no CSV file in the folder {path}")
            found += inside
        elif not path.exists():
            raise NotFound(f"no file {path}")
        else:
            found.append(path)
    twice = [str(path) for number, path in enumerate(found) if path.resolve() in {p.resolve() for p in found[:number]}]
    if twice:
        raise UsageProblem("each file once", f"{', '.join(twice)} again")
    return found


def _check(batch: Batch, unit: Unit) -> Any:
    """Everything that can be said before codes are given out; the methods of grafting by their keys."""
    session = unit.session
    held = importing_repeats.claim_codes(batch, session)
    importing_repeats.uids_once(batch, session)
    importing_repeats.files_once(batch, session)
    importing_checks.own_rows(batch, session)
    if not batch.problems():
        importing_rows.add(batch, unit, OWN_ROWS)
    fetch(batch, session)
    methods = importing_names.settle(batch, session)
    importing_repeats.codes_held(batch, held)
    importing_checks.point_somewhere(batch)
    importing_checks.days_in_order(batch)
    importing_repeats.no_repeats(batch, session)
    importing_checks.tags(batch, session)
    importing_weather.check(batch, session)
    importing_lineage.check(batch, session)
    importing_plans.check(batch, session)
    importing_checks.sheets(batch, session)
    importing_checks.settings(batch)
    return methods


def _raise(batch: Batch) -> None:
    problems = batch.problems()
    if problems:
        files = len({problem.file for problem in problems})
        raise BadData(problems, problems[0].file if files == 1 else count(files, "file"))


def _settings(batch: Batch, unit: Unit, desk: Desk) -> dict[str, str]:
    """Take over the settings that differ, and say so."""
    changed = {v["key"]: v.get("value", "") for v in batch.values(SETTINGS)}
    changed = {key: value for key, value in changed.items() if value != getattr(desk.settings, key)}
    if changed:
        book_settings.save(unit, changed)
    for key, value in changed.items():
        before = getattr(desk.settings, key) or "nothing"
        batch.note(f"Set {key.replace('_', ' ')} to {value or 'nothing'}, before {before}.")
    return changed


def _counters(batch: Batch, unit: Unit) -> bool:
    """Never give out again what the files' own book gave out; whether that changed anything."""
    before = bulk.counters(unit.session)
    for values in batch.values(CODES):
        unit.number_used(values["letter"], values["last"])
    return bulk.counters(unit.session) != before


def _summary(batch: Batch, changed: dict[str, str]) -> str:
    parts = [count(len(changed), SETTINGS.one, SETTINGS.many)] if changed else []
    for shape in SHAPES:
        rows = batch.values(shape) if shape.table is not None else []
        codes = f" ({code_list(tuple(values['code'] for values in rows))})" if shape.letter else ""
        parts += [count(len(rows), shape.one, shape.many) + codes] if rows else []
    return ", ".join(parts)


def _entry_line(batch: Batch, what: str, note: str | None) -> str:
    """The line of the journal, with the files that brought grafts; files that bring neither codes nor uids leave their mark
    in it, so that they are known if they come again."""
    marks = "".join(f" [{Path(sheet.file).name} {sheet.mark}]" for sheet in batch.sheets if sheet.bare)
    files = [
        f"{Path(sheet.file).parent.name}/{Path(sheet.file).name}" for sheet in batch.sheets if sheet.shape is GRAFTS
    ]
    whence = f" from {', '.join(file.lstrip('/') for file in files)}" if files else ""
    return f"Imported {what}{whence}{marks}" + (f": {note}" if note else "")


def _codes(batch: Batch) -> tuple[str, ...]:
    return tuple(values["code"] for values in batch.values(PLANTS, WOOD, GRAFTS))


def _notes(batch: Batch) -> tuple[str, ...]:
    wide = wide_scions(batch.of(GRAFTS))
    if wide is not None:
        batch.note(wide)
    return batch.all_notes()
