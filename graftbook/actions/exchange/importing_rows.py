"""Imported rows into the book, in an order in which each finds what it points to.

Wood may be cut from a graft and a graft is made from wood, so bundles and grafts go in by turns: first what stands on
the book alone, then what stands on that, and so on. Rows that stand on themselves in a circle are objected to before.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from contextlib import suppress
from datetime import date
from graphlib import CycleError, TopologicalSorter
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.exchange import csv_shapes as shapes
from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import Shape
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.exchange.importing_names import takes_after
from graftbook.actions.exchange.importing_wood import came_in
from graftbook.actions.plants import stage_notes
from graftbook.book import asking, find
from graftbook.book._base import Row
from graftbook.book.asking import CHUNK
from graftbook.book.plans import Plan, Want
from graftbook.book.plants import Plant
from graftbook.book.sheets_kept import SheetRead
from graftbook.book.unit import Unit
from graftbook.book.weather import WeatherStation
from graftbook.book.wood import Movement, Prune
from graftbook.codes import LARGEST_NUMBER
from graftbook.errors import Refused

Values = dict[str, Any]

Progress = Callable[[int], None] | None

_OTHERS: dict[str, tuple[type[Row], str, str]] = {
    "prune_uid": (Prune, "uid", "prune_id"), "station": (WeatherStation, "name", "station_id"),
    "plan": (Plan, "number", "plan_id"), "want": (Want, "number", "want_id"),
    "sheet_number": (SheetRead, "number", "sheet_read_id"),
}  # fmt: skip
"""Fields by which rows speak of what has no code: the table meant, the column there, and the key here."""


def give_codes(batch: Batch, unit: Unit) -> None:
    """Give every plant, bundle and graft without a code the next free one, after those the files bring."""
    ahead = [int(values["code"][1:]) for values in batch.values(shapes.RESERVED)]
    if ahead:
        unit.number_used("G", max(ahead))
    for shape in (shapes.PLANTS, shapes.WOOD, shapes.GRAFTS):
        rows = batch.values(shape)
        brought = [int(values["code"][1:]) for values in rows if "code" in values]
        if brought:
            unit.number_used(shape.letter, max(brought))
        bare = [values for values in rows if "code" not in values]
        if not bare:
            continue
        first = unit.next_number(shape.letter, len(bare))
        if first + len(bare) > LARGEST_NUMBER:
            given = f"{shape.letter}{first - 1} is given already, which leaves no room for {len(bare):,} more codes"
            raise Refused(given, "", "Give lower codes")
        for number, values in enumerate(bare, start=first):
            values["code"] = f"{shape.letter}{number}"
            batch.known[shape.letter][values["code"]] = values


def in_turns(batch: Batch) -> list[tuple[Shape, list[Values]]]:
    """Bundles and grafts in turns, each turn standing only on the book and on earlier turns. What is left over stands on
    itself and is objected to."""
    nodes = {row[2]["code"]: (shape, *row) for shape in (shapes.WOOD, shapes.GRAFTS) for row in batch.of(shape)}
    sorter = TopologicalSorter(dict.fromkeys(nodes, ()))
    for code, (_shape, _sheet, _line, values) in nodes.items():
        sorter.add(code, *(other for other in _stands_on(values) if other in nodes))
    with suppress(CycleError):
        sorter.prepare()
    turns = []
    left = dict(nodes)
    while ready := sorter.get_ready():
        sorter.done(*ready)
        for shape in (shapes.GRAFTS, shapes.WOOD):
            rows = [left.pop(code)[3] for code in ready if nodes[code][0] is shape]
            turns += [(shape, rows)] if rows else []
    _circles(left.values())
    return turns


def _stands_on(values: Values) -> Iterator[str]:
    for header in ("source", "wood", "host"):
        if header in values:
            yield values[header]


def _circles(rows: Iterable[tuple[Shape, CsvSheet, int, Values]]) -> None:
    for shape, sheet, line, values in rows:
        header = next((h for h in ("host", "wood", "source") if h in values), "code")
        sheet.object_to(line, header, values[header], f"a {shape.one} that does not stand on itself: {values['code']} is part "
                        "of a circle, or stands on one")  # fmt: skip


def add_all(batch: Batch, unit: Unit, turns: list[tuple[Shape, list[Values]]], today: date, progress: Progress) -> None:
    """Add every row of the batch but those of the trade's tables, which went in before; the caller has checked them."""
    for shape in (shapes.PLANTS, shapes.STAGES, shapes.PRUNES):
        add(batch, unit, shape, progress)
    _stages_of_hosts(batch, unit)
    _learn_others(batch, unit.session, shapes.WOOD)
    for shape, rows in turns:
        for values in rows:
            takes_after(batch, shape, values)
        _add_rows(batch, unit, shape, rows, progress)
    came = [{**values, "bundle_id": batch.ids["W"][code]} for code, values in came_in(batch, today)]
    unit.add_many(Movement, came, None)
    done = (shapes.OWN_ROWS, shapes.PLANTS, shapes.STAGES, shapes.PRUNES, shapes.WOOD, shapes.GRAFTS)
    for shape in shapes.SHAPES:
        if shape.table is not None and shape not in done:
            _learn_others(batch, unit.session, shape)
            add(batch, unit, shape, progress)


def _learn_others(batch: Batch, session: Session, shape: Shape) -> None:
    """Learn the ids of what rows of one thing point to that has no code, once it is in."""
    for field, (table, name, _key) in _OTHERS.items():
        if field in shape.headers and batch.values(shape):
            ids = asking.ids_by(session, table, name)
            batch.others[field] = {_plain(value): number for value, number in ids.items()}


def _plain(value: Any) -> Any:
    """What a row says of another as it is compared: names whatever their spelling."""
    return naming.key(value) if isinstance(value, str) else value


def _stages_of_hosts(batch: Batch, unit: Unit) -> None:
    """Give each new graft on a plant the stage of that plant on its day, as a graft made on the command line has it. Rows out
    of a book, which have a uid, stay as that book had them."""
    by_day: dict[date, list[Values]] = {}
    for values in batch.values(shapes.GRAFTS):
        if "uid" not in values and "stage" not in values and values["host"][0] == "P":
            by_day.setdefault(values["made_on"], []).append(values)
    plants = find.by_id(unit.session, Plant, [batch.ids["P"][v["host"]] for rows in by_day.values() for v in rows])
    for day, rows in by_day.items():
        hosts = {values["host"]: plants[batch.ids["P"][values["host"]]] for values in rows}
        noted = stage_notes.on_day(unit.session, hosts.values(), day)
        for values in rows:
            stage = noted[hosts[values["host"]].id].stage
            if stage is not None:
                values["stage"] = stage


def add(batch: Batch, unit: Unit, shape: Shape, progress: Progress = None) -> None:
    """Add the rows of one thing, sheet by sheet; the caller has checked them."""
    for sheet in batch.sheets:
        if sheet.shape is shape:
            _add_rows(batch, unit, shape, [values for _line, values in sheet.rows], progress)


def _add_rows(batch: Batch, unit: Unit, shape: Shape, rows: list[Values], progress: Progress) -> None:
    if shape.table is None:
        raise ValueError(f"{shape.name} are kept in no table")
    pointers, fields = {column.field for column in shape.references}, frozenset(shape.table.model_fields)
    for start in range(0, len(rows), CHUNK):
        part = rows[start : start + CHUNK]
        unit.add_many(shape.table, [_kept(batch, fields, pointers, values) for values in part], progress)
        if shape.letter:
            codes = [values["code"] for values in part]
            batch.ids[shape.letter].update(asking.ids_by(unit.session, shape.table, "code", codes))


def _kept(batch: Batch, fields: Collection[str], pointers: Collection[str], values: Values) -> Values:
    """A row as its table holds it: codes of others become keys."""
    row: Values = {}
    for name, value in values.items():
        if name in pointers:
            row[shapes.POINTERS[name][value[0]]] = batch.ids[value[0]][value]
        elif name in _OTHERS:
            row[_OTHERS[name][2]] = batch.others[name][_plain(value)]
        elif name in fields:
            row[name] = value
    if "number" in fields and "code" in values:
        row["number"] = int(values["code"][1:])
    return row
