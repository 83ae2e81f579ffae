"""Whether imported rows can stand beside each other and beside the book: what they point to, days, sizes, own rows.

Every check goes through all rows and notes what it finds on their sheets; none of them stops at the first.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

from graftbook.actions.desk import tag_site
from graftbook.actions.exchange import csv_shapes as shapes
from graftbook.actions.exchange.csv_shapes import Shape
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.trade import own_tables
from graftbook.book import asking, bulk
from graftbook.book import settings as book_settings
from graftbook.book.grafts import BUD_STATES
from graftbook.book.sheets_kept import SheetLine, SheetRead
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.codes import KINDS
from graftbook.errors import UsageProblem


def point_somewhere(batch: Batch) -> None:
    """Every code a row speaks of must be in the book or in these files."""
    for shape in shapes.SHAPES:
        for sheet, line, values in batch.of(shape) if shape.references else ():
            for column in shape.references:
                code = values.get(column.field)
                if code is not None and code not in batch.known[code[0]] and code not in batch.broken:
                    kinds = " or ".join(KINDS[letter] for letter in column.letters)
                    sheet.object_to(line, column.header, code, f"the code of a {kinds} in the book or in these files")


def days_in_order(batch: Batch) -> None:
    """Nothing happens before what it happened to was there, and sizes run upwards."""
    for shape, check in _DAYS:
        for sheet, line, values in batch.of(shape):
            for header, accepted in check(batch, values):
                sheet.object_to(line, header, values[header], accepted)


def _from(header: str, day: date, since: date | None, what: str) -> Iterator[tuple[str, str]]:
    if since is not None and day < since:
        yield header, f"a day from {since.isoformat()} on, {what}"


def _plant(_batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    if "died_on" in row:
        yield from _from("died_on", row["died_on"], row.get("acquired_on"), "when the plant came")
    if row.get("grade_min_mm", 0) > row.get("grade_max_mm", 1e9):
        yield "grade_min_mm", "a smallest size not above the largest, grade_max_mm"


def _on_subject(batch: Batch, row: dict[str, Any], owner: str, header: str) -> Iterator[tuple[str, str]]:
    facts = batch.fact(row.get(owner))
    if facts is not None:
        code = row[owner]
        since = facts.get("made_on") if code[0] == "G" else facts.get("acquired_on")
        yield from _from(header, row[header], since, f"when {code} {'was made' if code[0] == 'G' else 'came'}")


def _wood(batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    if "cut_on" in row:
        yield from _on_subject(batch, row, "source", "cut_on")
    source = batch.fact(row.get("source"))
    died = source.get("died_on") if source is not None else None
    if died is not None and "cut_on" in row and row["cut_on"] > died:
        yield "cut_on", f"a day up to {died.isoformat()}, when {row['source']} died"
    if row.get("diameter_min_mm", 0) > row.get("diameter_max_mm", 1e9):
        yield "diameter_min_mm", "a smallest size not above the largest, diameter_max_mm"


def _graft(batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    made = row["made_on"]
    yield from _on_subject(batch, row, "host", "made_on")
    host, wood = batch.fact(row["host"]), batch.fact(row.get("wood"))
    died = host.get("died_on") if host is not None else None
    if died is not None and made > died:
        yield "made_on", f"a day up to {died.isoformat()}, when {row['host']} died"
    if wood is not None:
        yield from _from("made_on", made, wood.get("cut_on"), f"when the wood {row['wood']} was cut")
        yield from _from("made_on", made, wood.get("received_on"), f"when the wood {row['wood']} was received")
    if row.get("unit") == "bud" and row.get("buds", 1) != 1:
        yield "buds", f"one bud for {row['method']}; two buds on one stock are two grafts"
    if "tied_on" in row:
        yield from _from("tied_on", row["tied_on"], made, "when the graft was made")


def _look(batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    yield from _on_subject(batch, row, "graft", "on")
    if row["state"] in BUD_STATES:
        facts = batch.fact(row["graft"])
        if facts is not None and facts.get("unit", "graft") == "graft":
            yield "state", f"a state of a graft; {row['state']} is said of buds, and {row['graft']} is a graft"


def _movement(_batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    kind, sticks = row["kind"], row["sticks"]
    if kind in ("saved", "received", "found") and sticks < 0:
        yield "sticks", f"a number from 0 up for sticks {kind}"
    if kind in ("given", "discarded") and sticks > 0:
        yield "sticks", f"a number from 0 down for sticks {kind}, such as -{sticks}"
    if "counted" in row and kind != "counted":
        yield "counted", "nothing, unless the kind is counted"


def _stage(batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    yield from _on_subject(batch, row, "plant", "on")
    if "stage" not in row and "bark" not in row:
        yield "on", "a growth stage or the state of the bark on the same line"
    if "bbch" in row and ("stage" not in row or not re.fullmatch(r"\d\d", row["bbch"])):
        yield "bbch", "two figures beside the stage, such as 07"


def _stay(batch: Batch, row: dict[str, Any]) -> Iterator[tuple[str, str]]:
    wood = batch.fact(row["wood"])
    if wood is not None:
        yield from _from("on", row["on"], wood.get("cut_on"), f"when the wood {row['wood']} was cut")


def _about(owner: str) -> Callable[[Batch, dict[str, Any]], Iterator[tuple[str, str]]]:
    return lambda batch, row: _on_subject(batch, row, owner, "on")


_DAYS: tuple[tuple[Shape, Callable[[Batch, dict[str, Any]], Iterator[tuple[str, str]]]], ...] = (
    (shapes.PLANTS, _plant), (shapes.PRUNES, _about("plant")), (shapes.WOOD, _wood), (shapes.GRAFTS, _graft),
    (shapes.MOVES, _movement), (shapes.STAGES, _stage), (shapes.STAYS, _stay), (shapes.LOOKS, _look),
    (shapes.CARE, _about("subject")), (shapes.NAMINGS, _about("subject")),
)  # fmt: skip


def own_rows(batch: Batch, session: Any) -> None:
    """The grower's own rows of the trade's tables, checked as those tables check them, and not twice."""
    held = bulk.own_row_contents(session)
    for sheet, line, values in batch.of(shapes.OWN_ROWS):
        if id(values) in batch.repeated:
            continue
        try:
            values["fields"] = dict(own_tables.parse(values["trade_table"], values["fields"]))
        except UsageProblem as error:
            sheet.object_to(line, "fields", error.found or "a row", error.expected)
            continue
        if (values["trade_table"], values["fields"]) in held:
            sheet.object_to(line, "fields", values["fields"], "each row once; this row is in the book already")
        held.append((values["trade_table"], values["fields"]))


def tags(batch: Batch, session: Any) -> None:
    """Runs of tags by numbers the book has not got, and codes given out once only."""
    batch.once(shapes.TAG_RUNS, "number", asking.held_in(session, TagRun.number), lambda values: values["number"])
    batch.once(shapes.RESERVED, "code", asking.held_in(session, ReservedCode.code), lambda values: values["code"])


def sheets(batch: Batch, session: Any) -> None:
    """Sheets that were read and their rows by numbers the book has not got, each row of a sheet that is there."""
    held = asking.held_in(session, SheetRead.number)
    known = batch.once(shapes.SHEETS, "number", held, lambda values: values["number"])
    batch.once(shapes.SHEET_ROWS, "number", asking.held_in(session, SheetLine.number), lambda values: values["number"])
    for sheet, line, values in batch.of(shapes.SHEET_ROWS):
        if values["sheet_number"] not in known:
            accepted = "the number of a sheet in the book or in these files"
            sheet.object_to(line, "sheet_number", values["sheet_number"], accepted)
        if values["fate"] == "held" and "why" not in values:
            sheet.object_to(line, "why", "an empty cell", "why the row is held")


def settings(batch: Batch) -> None:
    """Settings the book can have, each once, spelled as the book spells them."""
    seen: set[str] = set()
    for sheet, line, values in batch.of(shapes.SETTINGS):
        try:
            values["value"] = book_settings.check(values["key"], values.get("value", ""))
            tag_site.check_site(values["value"] if values["key"] == "site" else "")
        except UsageProblem as error:
            sheet.object_to(line, "setting", error.found, error.expected)
            continue
        if values["key"] in seen:
            sheet.object_to(line, "setting", values["key"], "each setting once")
        seen.add(values["key"])
