"""Rows that say what is said already, on an earlier line or in the book: nothing is taken in twice.

Plants, wood and grafts are told by their codes, rows of a book's own export by their uids, others by whom they are about,
when, and what they say. Every repeat is noted on its sheet.
"""

from __future__ import annotations

from typing import Any

from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import GRAFTS, PLANTS, POINTERS, SHAPES, WOOD, Shape
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.book import asking, bulk
from graftbook.book.wood import Movement

_CODED = (PLANTS, WOOD, GRAFTS)


def claim_codes(batch: Batch, session: Any) -> dict[str, dict[str, Any]]:
    """Take the codes the rows bring, each once; what the book holds already under some of them, by code."""
    every: dict[str, dict[str, Any]] = {}
    for shape in _CODED:
        rows = [(sheet, line, values) for sheet, line, values in batch.of(shape) if "code" in values]
        held = bulk.held(session, shape.letter, (values["code"] for _s, _l, values in rows))
        known = batch.known[shape.letter]
        for sheet, line, values in rows:
            code = values["code"]
            if code in held:
                batch.repeated.add(id(values))
            elif code in known:
                sheet.object_to(line, "code", code, f"each {shape.one} once; this code stands on an earlier line")
            else:
                known[code] = values
        known.update(held)
        batch.ids[shape.letter].update((code, facts["id"]) for code, facts in held.items())
        every.update(held)
    return every


def codes_held(batch: Batch, held: dict[str, dict[str, Any]]) -> None:
    """Object to rows whose code the book has: the same thing again, or another under the same code."""
    for shape in _CODED:
        for sheet, line, values in batch.of(shape):
            code = values.get("code")
            if code in held:
                sheet.object_to(line, "code", code, _held_already(values, held[code], shape))


def _held_already(values: dict[str, Any], held: dict[str, Any], shape: Shape) -> str:
    names = [name for name in values if name in held and name not in ("uid", "source")]
    differs = [name.replace("_", " ") for name in names if held[name] != values[name]]
    if values.get("uid") == held["uid"] or not differs:
        return f"a {shape.one} that is not in the book; this row is in the book already"
    return (
        f"a code not in the book yet, or none for the next free one; the book's {values['code']} is another {shape.one} "
        f"(it differs in {', '.join(differs)})"
    )


def uids_once(batch: Batch, session: Any) -> None:
    """Each uid once, in the files and in the book."""
    for shape in SHAPES:
        if shape.table is not None:
            _uids(batch, session, shape, "uid", shape.table)
    _uids(batch, session, WOOD, "came_uid", Movement)


def _uids(batch: Batch, session: Any, shape: Shape, header: str, table: Any) -> None:
    held = asking.ids_by(session, table, "uid", [v[header] for v in batch.values(shape) if header in v])
    seen: set[str] = set()
    for sheet, line, values in batch.of(shape):
        uid = values.get(header)
        if uid is None:
            continue
        if uid in held and id(values) not in batch.repeated:
            accepted = f"a {shape.one} that is not in the book; this row is in the book already"
            sheet.object_to(line, header, _shown(shape, values) or uid, accepted)
            batch.repeated.add(id(values))
        elif uid in seen:
            sheet.object_to(line, header, uid, f"each {shape.one} once; this uid stands on an earlier line")
        seen.add(uid)


def no_repeats(batch: Batch, session: Any) -> None:
    """Rows without codes that say what an earlier row or the book says already."""
    for shape in SHAPES:
        if not shape.same:
            continue
        owner = shape.headers[0]
        held = _held(batch, session, shape, owner)
        seen: dict[tuple, str | None] = {}
        for sheet, line, values in batch.of(shape):
            if id(values) in batch.repeated:
                continue
            code = values[owner]
            key = (code, *[values.get(name) for name in shape.same])
            number = batch.ids[code[0]].get(code)
            if number is not None and (code[0], number, *key[1:]) in held:
                _repeat(sheet, line, shape, values, "is in the book already")
                batch.repeated.add(id(values))
            elif key in seen and (seen[key] is None or values.get("uid") is None):
                _repeat(sheet, line, shape, values, "stands on an earlier line")
            seen.setdefault(key, values.get("uid"))


def _repeat(sheet: CsvSheet, line: int, shape: Shape, values: dict[str, Any], where: str) -> None:
    sheet.object_to(line, shape.headers[0], _shown(shape, values), f"each {shape.one} once; this row {where}")


def _shown(shape: Shape, values: dict[str, Any]) -> str:
    names = (shape.headers[0], *shape.same) if shape.same else ()
    return ", ".join(str(values[name]) for name in names if name in values)


def _held(batch: Batch, session: Any, shape: Shape, owner: str) -> set[tuple]:
    """What the book holds of the owners these rows are about: letter, id, values."""
    codes = {values[owner] for values in batch.values(shape)}
    found: set[tuple] = set()
    for letter, ids in batch.ids.items():
        numbers = [ids[code] for code in codes if code in ids]
        if numbers and shape.table is not None:
            rows = bulk.kept(session, shape.table, POINTERS[owner][letter], numbers, shape.same)
            found.update((letter, *row) for row in rows)
    return found


def files_once(batch: Batch, session: Any) -> None:
    """A file whose rows have neither code nor uid can only be told by its fingerprint: not the same file twice."""
    for sheet in batch.sheets:
        if sheet.bare:
            entry = bulk.entry_saying(session, "import", f" {sheet.mark}]")
            if entry is not None:
                sheet.object_to(0, "", f"the very file that entry {entry} imported", "rows that are not in the book yet; "
                                f"to take it in again, first: graftbook undo {entry}")  # fmt: skip
