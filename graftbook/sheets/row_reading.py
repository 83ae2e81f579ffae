"""Rows of a table read by a reading: plain facts, in the words of the book's own files, and what is not clear.

Nothing is made up: a cell that can mean two things, or nothing known, makes the row unclear; words that are no number stay
words, in the note.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from graftbook import units
from graftbook.sheets.cell_counts import Outcome, read_count, read_result
from graftbook.sheets.cell_days import read_day
from graftbook.sheets.cell_sizes import SizeWord, read_size
from graftbook.sheets.doubt import Doubt, says_nothing
from graftbook.sheets.grid import Cells, CellValue, tidy, written
from graftbook.sheets.layout import SheetTable
from graftbook.sheets.proposal import DAYS, used
from graftbook.sheets.reading import LEFT, Reading, fold
from graftbook.trade import clones, taxa
from graftbook.trade.words import plain, squeezed


@dataclass
class SheetRowRead:
    """One row as read. `cells` are its texts by heading, as typed; `facts` what they mean, by field; `days` the days among
    them; `sizes` the smaller and larger size in mm; `remarks` words that are no value of their own; `doubts` what is not
    clear, by heading ('' for the row as a whole)."""

    line: int
    cells: dict[str, str]
    facts: dict[str, str] = field(default_factory=dict)
    days: dict[str, date] = field(default_factory=dict)
    sizes: dict[str, tuple[float, float]] = field(default_factory=dict)
    count: int | None = None
    outcome: Outcome | None = None
    remarks: list[str] = field(default_factory=list)
    doubts: list[tuple[str, Doubt]] = field(default_factory=list)

    @property
    def why(self) -> str:
        """Everything that is not clear, in sentences; '' where all is."""
        return ". ".join(doubt.sentence(heading or "this row") for heading, doubt in self.doubts)

    @property
    def offers(self) -> dict[str, str]:
        """What may be meant, by heading, where every doubt has something to offer; nothing otherwise."""
        offered = {heading: doubt.offer for heading, doubt in self.doubts if heading and doubt.offer}
        return offered if len(offered) == len(self.doubts) else {}


def mark(cells: Mapping[str, str]) -> str:
    """A fingerprint of what a row says, whatever the order of its columns: rows of one mark say the same."""
    said = sorted((squeezed(heading), text) for heading, text in cells.items() if text)
    return hashlib.sha256(json.dumps(said).encode("utf-8", "replace")).hexdigest()[:16]


def read_rows(table: SheetTable, reading: Reading, today: date) -> Iterator[SheetRowRead]:
    """Every row of a table, read."""
    for line, cells in table.rows:
        yield read_row(line, table.headings, cells, reading, today)


def read_typed(line: int, cells: Mapping[str, str], reading: Reading, today: date) -> SheetRowRead:
    """A row of which only the texts are there, as the book keeps it."""
    return read_row(line, tuple(cells), tuple(map(_kept, cells.values())), reading, today)


def _kept(text: str) -> CellValue:
    """A cell out of its text as kept: days are kept as ISO, whatever they were."""
    try:
        return date.fromisoformat(text) if len(text) == 10 else tidy(text)
    except ValueError:
        return tidy(text)


def read_row(line: int, headings: tuple[str, ...], cells: Cells, reading: Reading, today: date) -> SheetRowRead:
    """One row, read."""
    named = [
        (text or f"column {place}", cell)
        for place, (text, cell) in enumerate(zip(headings, cells, strict=True), start=1)
    ]
    row = SheetRowRead(line, {heading: written(cell) for heading, cell in named if cell is not None})
    values: dict[str, tuple[str, CellValue]] = {name: ("", text) for name, text in reading.given.items()}
    for heading, cell in named:
        name = reading.columns.get(heading, LEFT)
        if name == LEFT or cell is None:
            continue
        if name == "note":
            row.remarks.append(written(cell))
        else:
            values[name] = (heading, cell)
    _plain_facts(row, values, reading, today)
    _counts(row, values, reading)
    _missing(row, reading)
    return row


_LIMITS: Mapping[str, units.Limit] = {
    "scion": units.SCION_DIAMETER, "stock": units.STOCK_DIAMETER, "shoot": units.SHOOT_LENGTH, "length": units.STICK_LENGTH,
    "height": units.HEIGHT,
}  # fmt: skip
_COUNTED = ("count", "result", "took", "failed")


def _plain_facts(row: SheetRowRead, values: Mapping[str, tuple[str, CellValue]], reading: Reading, today: date) -> None:
    for name, (heading, cell) in values.items():
        text = written(cell)
        if name in _COUNTED or name not in used(reading.thing):
            continue
        if isinstance(cell, str) and says_nothing(cell) and name != "cultivar":
            continue
        if name in DAYS:
            day = read_day(cell, reading.dates, reading.epoch, today)
            _put(row.days, row, name, heading, day)
        elif name in _LIMITS or name == "diameter":
            _size(row, name, heading, cell, reading)
        else:
            _word(row, name, heading, text, reading)


def _put(into: dict, row: SheetRowRead, name: str, heading: str, value: object) -> None:
    if isinstance(value, Doubt):
        row.doubts.append((heading, value))
    else:
        into[name] = value


def _size(row: SheetRowRead, name: str, heading: str, cell: CellValue, reading: Reading) -> None:
    limit = _LIMITS.get(name) or _diameter_limit(reading.thing)
    size = read_size(cell, reading.units.get(heading, reading.unit), limit, ranges=reading.thing == "wood")
    if isinstance(size, SizeWord):
        row.remarks.append(f"{heading or name}: {size}")
    else:
        _put(row.sizes, row, name, heading, size)


def _diameter_limit(thing: str) -> units.Limit:
    return {"wood": units.SCION_DIAMETER, "grafts": units.STOCK_DIAMETER}.get(thing, units.PLANT_DIAMETER)


def _word(row: SheetRowRead, name: str, heading: str, text: str, reading: Reading) -> None:
    meant = reading.word(text) if name in ("method", "rootstock", "species", "cause", "kind") else text
    if name == "rootstock" and fold(text) not in reading.words:
        _rootstock(row, heading, text)
    elif name == "species" and len(kinds := taxa.sharing(meant, row.facts.get("cultivar"))) > 1:
        row.doubts.append((heading, Doubt(text, " or ".join(kind.common for kind in kinds))))
    elif name == "cultivar":
        row.facts[name] = _cultivar(row, heading, text, reading)
    else:
        row.facts[name] = meant


_NO_CLONE = frozenset({"seedling", "seedlings", "own roots", "own root", "wild", "pippin"})


def _rootstock(row: SheetRowRead, heading: str, text: str) -> None:
    """A rootstock by any of its names; a name that is none is asked about, for a slip of the pen makes another stock."""
    if clones.find(text) is not None:
        row.facts["rootstock"] = text
    elif plain(text) in _NO_CLONE:
        row.facts["rootstock"] = "seedling"
    else:
        near = clones.suggest(text)
        accepted = "a rootstock of the tables" + (f", such as {', '.join(near)}" if near else "")
        row.doubts.append((heading, Doubt(text, f"{accepted}; or --word '{text}={text}' where that is its name")))


def _cultivar(row: SheetRowRead, heading: str, text: str, reading: Reading) -> str:
    if says_nothing(text):
        row.remarks.append(f"{heading or 'cultivar'}: {text}")
        return ""
    return reading.names.get(text, text)


def _counts(row: SheetRowRead, values: Mapping[str, tuple[str, CellValue]], reading: Reading) -> None:
    if "count" in values and "count" in used(reading.thing):
        heading, cell = values["count"]
        if not (isinstance(cell, str) and says_nothing(cell)):
            count = read_count(cell)
            if isinstance(count, Doubt):
                row.doubts.append((heading, count))
                return
            row.count = count[0]
            if count[1]:
                row.remarks.append(f"{heading}: {written(cell)}")
    if "result" in used(reading.thing):
        row.outcome = _outcome(row, values, reading)


def _outcome(row: SheetRowRead, values: Mapping[str, tuple[str, CellValue]], reading: Reading) -> Outcome | None:
    """What became of the grafts, by the result, or by how many took and failed."""
    found = None
    for name in ("result", "took", "failed"):
        heading, cell = values.get(name, ("", None))
        if cell is None:
            continue
        read = read_result(
            f"{written(cell)} failed" if name == "failed" and not isinstance(cell, str) else cell, row.count, reading
        )
        if isinstance(read, Doubt):
            row.doubts.append((heading, read))
            return None
        if read.made is not None:
            row.count = read.made
        if read.remark:
            row.remarks.append(f"{heading}: {written(cell)}")
        if found is None or found.took is None:
            found = read
        elif read.failed and (found.took or 0) + read.failed > (row.count or 1):
            row.doubts.append(
                (heading, Doubt(written(cell), f"no more than the {row.count or 1} of the row, took and failed"))
            )
        elif read.failed and read.took is not None:
            found = Outcome(found.took, read.failed)
    return found


_NEEDED: Mapping[str, tuple[tuple[str, str], ...]] = {
    "grafts": (("date", "the day it was grafted"), ("method", "the method")), "looks": (("graft", "the code of a graft"),),
    "stocks": (("rootstock", "the rootstock"),), "wood": (), "trees": (),
}  # fmt: skip


def needed(thing: str) -> tuple[tuple[str, str], ...]:
    """The fields that every row of a thing must have, and what each is in words."""
    return _NEEDED[thing]


def _missing(row: SheetRowRead, reading: Reading) -> None:
    doubted = {reading.columns.get(heading, "") for heading, _doubt in row.doubts}
    for name, words in _NEEDED[reading.thing]:
        if name not in row.facts and name not in row.days and name not in doubted:
            row.doubts.append((reading.heading_of(name) or "", Doubt("", words)))
    nameless = not {"cultivar", "wood"} & row.facts.keys() and not (
        reading.thing == "trees" and "rootstock" in row.facts
    )
    if reading.thing in ("grafts", "trees", "wood") and nameless:
        row.doubts.append((reading.heading_of("cultivar") or "", Doubt("", "a cultivar, or unknown")))
    unseen = row.outcome is None or (row.outcome.took is None and row.outcome.state is None)
    if reading.thing == "looks" and unseen and "result" not in doubted:
        row.doubts.append((reading.heading_of("result") or "", Doubt("", "what was seen, such as growing or dead")))
