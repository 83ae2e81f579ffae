"""A reading proposed for a table: from its headings, from what stands under them, and from what others of the file prove."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from graftbook.sheets.cell_days import OrderSeen, order_seen
from graftbook.sheets.cell_sizes import likely_unit
from graftbook.sheets.grid import CellValue, written
from graftbook.sheets.headings import LENGTHS, Heading, understood
from graftbook.sheets.layout import SheetTable
from graftbook.sheets.reading import LEFT, Reading
from graftbook.trade import clones, methods

DAYS = ("date", "cut", "looked", "died", "stored")
"""The fields that hold days."""
_CODE = re.compile(r"([PWG])\d{1,9}(?:-[0-9A-Z*])?$", re.I)
_MOST_SEEN = 400


@dataclass(frozen=True)
class Proposal:
    """A reading proposed, and what the dates of the table say of their order."""

    reading: Reading
    order: OrderSeen


def propose(table: SheetTable, *, thing: str | None = None, dates: str | None = None, unit: str = "mm") -> Proposal:
    """How a table is likely to be read. `thing` is what its rows are about (None: seen from the table); `dates` and `unit` are
    those of the book, which stand where the table proves nothing."""
    headings = {text: _heading(table, place, text) for place, text in enumerate(table.headings) if text}
    what = thing or _thing(table, headings)
    columns = _columns(headings, what)
    days = [
        cell for place, text in enumerate(table.headings) if columns.get(text) in DAYS for cell in table.column(place)
    ]
    order = order_seen(days)  # type: ignore[arg-type]
    units = _units(table, headings, columns, unit)
    common = Counter(units.values()).most_common(1)
    usual = common[0][0] if common else unit
    reading = Reading(
        what, columns, usual, order.proven or dates, table.epoch,
        units={heading: each for heading, each in units.items() if each != usual},
    )  # fmt: skip
    return Proposal(reading, order)


def _seen(table: SheetTable, place: int) -> list[CellValue]:
    return [cell for _line, cell in table.column(place)[:_MOST_SEEN]]  # type: ignore[misc]


def _heading(table: SheetTable, place: int, text: str) -> Heading | None:
    """What a heading means once the cells under it are looked at."""
    found = understood(text)
    cells = _seen(table, place)
    if found is None or not cells:
        return found if found is not None else _by_cells(cells)
    codes = Counter(match[1].upper() for cell in cells if (match := _CODE.match(written(cell))))
    coded = codes.most_common(1)[0] if codes else ("", 0)
    mostly_coded = coded[1] > 0.6 * len(cells)
    numbers = sum(isinstance(cell, int | float) and not isinstance(cell, bool) for cell in cells)
    if found.field in ("graft", "wood", "plant", "number", "count", "cultivar", "rootstock") and mostly_coded:
        return Heading({"P": "plant", "W": "wood", "G": "graft"}[coded[0]], "", 3)
    if found.field in ("graft", "wood", "plant"):
        return Heading("number", "", found.sure)
    if found.field == "count" and _runs(cells):
        return Heading("number", "", found.sure)
    if found.field in ("cultivar", "rootstock") and _sizes(cells, numbers):
        return Heading({"cultivar": "scion", "rootstock": "stock"}[found.field], found.unit, 2)
    if found.field == "method" and _mostly(cells, lambda text: methods.find(text) is None) and _sizes(cells, numbers):
        return Heading("count", "", 2)
    return found


def _runs(cells: list[CellValue]) -> bool:
    """Whether cells number the lines: 1, 2, 3 and so on."""
    numbers = [int(written(cell)) for cell in cells if re.fullmatch(r"\d{1,6}", written(cell))]
    steps = sum(after == before + 1 for before, after in pairwise(numbers))
    return len(numbers) >= 3 and len(numbers) >= 0.8 * len(cells) and steps >= 0.8 * (len(numbers) - 1)


def _sizes(cells: list[CellValue], numbers: int) -> bool:
    lengths = sum(bool(re.match(r"[\d/ .]+(mm|cm|in|\")|(\d+ )?\d+/\d+$", written(cell))) for cell in cells)
    return numbers + lengths > 0.7 * len(cells)


def _mostly(cells: list[CellValue], holds) -> bool:
    texts = [cell for cell in cells if isinstance(cell, str)]
    return bool(texts) and sum(map(holds, texts)) > 0.5 * len(texts)


def _by_cells(cells: list[CellValue]) -> Heading | None:
    """What cells say where the heading says nothing: methods, rootstocks and days speak for themselves."""
    texts = [cell for cell in cells if isinstance(cell, str)]
    if len(cells) >= 3 and sum(isinstance(cell, date) for cell in cells) > 0.8 * len(cells):
        return Heading("date", "", 1)
    for field, find in (("method", methods.find), ("rootstock", clones.find)):
        if len(texts) >= 3 and sum(find(text) is not None for text in texts) > 0.8 * len(cells):
            return Heading(field, "", 1)
    return None


def _thing(table: SheetTable, headings: Mapping[str, Heading | None]) -> str:
    """What the rows are about: looks where they name grafts by their codes and no cultivar is grafted, wood where sticks are
    counted, grafts where a method or a result stands beside a cultivar, else trees or stocks."""
    fields = {each.field for each in headings.values() if each is not None}
    words = " ".join(headings).casefold()
    if "graft" in fields and fields & {"result", "shoot", "took"} and not fields & {"method"}:
        return "looks"
    if fields & {"sticks", "cut"} and not fields & {"method", "rootstock", "result", "took"}:
        return "wood"
    grafted = fields & {"method", "result", "took", "failed"} or "graft" in words or "budded" in words
    if fields & {"cultivar", "wood"} and grafted and fields & {"date", "method", "rootstock", "plant", "count"}:
        return "grafts"
    return "stocks" if "rootstock" in fields and "cultivar" not in fields else "trees"


_USED = {
    "grafts": frozenset((
        "cultivar", "species", "rootstock", "from", "date", "cut", "looked", "method", "count", "result", "took", "failed",
        "diameter", "scion", "stock", "buds", "tie", "seal", "who", "site", "place", "row", "order", "limb", "height", "stage",
        "plant", "wood", "cause", "note", "shoot",
    )),
    "trees": frozenset((
        "cultivar", "species", "rootstock", "from", "date", "count", "diameter", "site", "place", "row", "order", "kind",
        "died", "note", "stage",
    )),
    "stocks": frozenset((
        "species", "rootstock", "from", "date", "count", "diameter", "stock", "site", "place", "row", "order", "kind", "died",
        "note", "stage",
    )),
    "wood": frozenset((
        "cultivar", "species", "from", "date", "cut", "plant", "graft", "sticks", "count", "length", "diameter", "scion",
        "buds", "store", "stored", "temperature", "note",
    )),
    "looks": frozenset(("graft", "date", "looked", "result", "shoot", "cause", "who", "note")),
}  # fmt: skip
"""The fields that a table of each thing is read by."""


def used(thing: str) -> frozenset[str]:
    """The fields that a table of this thing is read by; others are left."""
    return _USED[thing]


_SHARED = ("note",)


def _columns(headings: Mapping[str, Heading | None], thing: str) -> dict[str, str]:
    """The field of each column: of two that mean one thing the surer, and the first, has it."""
    best: dict[str, str] = {}
    for text, each in headings.items():
        if each is not None and each.field in _USED[thing]:
            held = headings.get(best.get(each.field, ""))
            if held is None or each.sure > held.sure:
                best[each.field] = text
    found = {text: LEFT for text in headings}
    found.update((text, field) for field, text in best.items())
    for text, each in headings.items():
        if each is not None and each.field in _SHARED:
            found[text] = each.field
    return found


def _units(
    table: SheetTable, headings: Mapping[str, Heading | None], columns: Mapping[str, str], unit: str
) -> dict[str, str]:
    """The unit of each column of lengths: as its heading says, else as its cells show."""
    found = {}
    for place, text in enumerate(table.headings):
        if columns.get(text) in LENGTHS:
            named = understood(text)
            said = named.unit if named is not None else ""
            found[text] = said or likely_unit(_seen(table, place)) or unit
    return found
