"""Rows of growers' sheets as rows of the book's own files: one line may be stocks, a bundle, grafts and what was seen on them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from graftbook.actions.desk.results import code_runs
from graftbook.actions.exchange.csv_cells import Bad, Reader
from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import GRAFTS, LOOKS, PLANTS, WOOD, Shape
from graftbook.actions.exchange.sheets_seen import TableRead
from graftbook.book.limits import LONG
from graftbook.codes import read_many
from graftbook.errors import GraftbookError
from graftbook.sheets.doubt import Doubt
from graftbook.sheets.row_reading import SheetRowRead
from graftbook.trade.words import squeezed

Values = dict[str, Any]
_HEADERS = {
    "cultivar": "cultivar", "species": "taxon", "rootstock": "clone", "site": "site", "place": "place", "row": "row",
    "order": "order", "stage": "stage", "method": "method", "buds": "buds", "tie": "tie", "seal": "seal", "who": "who",
    "limb": "limb", "wood": "wood", "graft": "graft", "cause": "cause", "store": "store", "temperature": "temperature_c",
    "sticks": "sticks", "kind": "kind",
}  # fmt: skip
"""Fields whose words go under a header of the book's own files as they are."""


class Unclear(Exception):
    """A row that cannot be said in the book's own words: the field, and the doubt."""

    def __init__(self, field: str, doubt: Doubt) -> None:
        super().__init__(doubt.accepted)
        self.field, self.doubt = field, doubt


class Making:
    """What rows of sheets make, with codes counted on from those the book gave last, and `bundles` that earlier rows of the same
    sheets made. `made` are the codes of each row, by its identity; `source` the row behind every line of the sheets made, by
    file and line. `later` are the grafts of rows that now
    say what became of them: such a row makes looks alone."""

    def __init__(
        self, counters: dict[str, int], reader: Reader, bundles: Mapping[tuple[str, ...], str], later: Mapping[int, list[str]]
    ) -> None:  # fmt: skip
        self._later = later
        self._last = dict(counters)
        self._reader = reader
        self._bundles = dict(bundles)
        self._new: dict[tuple[str, ...], str] = {}
        self.sheets: dict[tuple[str, str], CsvSheet] = {}
        self.made: dict[int, list[str]] = {}
        self.source: dict[tuple[str, int], tuple[TableRead, SheetRowRead]] = {}

    def take(self, each: TableRead, row: SheetRowRead) -> None:
        """Everything that one row makes. Raises Unclear for what the book's own words do not hold; then it makes nothing."""
        kept = dict(self._last)
        self._new = {}
        rows: list[tuple[Shape, Values]] = []
        try:
            if id(row) in self._later:
                _seen_later(row, self._later[id(row)], rows)
            else:
                _MAKERS[each.reading.thing](self, each, row, rows)
        except Unclear:
            self._last = kept
            raise
        self.source[self._file(each), row.line] = each, row
        for shape, values in rows:
            sheet = self.sheets.setdefault((self._file(each), shape.name), CsvSheet(self._file(each), shape))
            sheet.rows.append((row.line, values))
        codes = [values["code"] for shape, values in rows if "code" in values]
        codes += [values["graft"] for _shape, values in rows if "state" in values and values["graft"] not in codes]
        self.made[id(row)] = codes
        self._bundles.update(self._new)

    def _file(self, each: TableRead) -> str:
        return f"{each.path.parent.name}/{each.label}"

    def code(self, letter: str) -> str:
        """The next code of a kind."""
        self._last[letter] = self._last.get(letter, 0) + 1
        return f"{letter}{self._last[letter]}"

    def cell(self, shape: Shape, field: str, text: str) -> Any:
        """A word as the book's own file reads it. Raises Unclear."""
        return self.read(shape, _HEADERS[field], field, text)

    def read(self, shape: Shape, header: str, field: str, text: str) -> Any:
        """A text as the book's own file reads it under a header. Raises Unclear, which names the field."""
        column = next(column for column in shape.columns if column.header == header)
        value = self._reader.remembered(column)(text)
        if isinstance(value, Bad):
            raise Unclear(field, Doubt(text, value.accepted))
        return value

    def words(self, shape: Shape, row: SheetRowRead, *fields: str) -> Values:
        """The words of some fields by the book's own names."""
        columns = {column.header: column.field for column in shape.columns}
        return {
            columns[_HEADERS[field]]: value
            for field in fields
            if row.facts.get(field) and (value := self.cell(shape, field, row.facts[field])) is not None
        }

    def bundle(self, row: SheetRowRead, rows: list[tuple[Shape, Values]]) -> str:
        """The wood of a graft: one bundle for all rows of one cultivar, giver and year, made by the first of them."""
        day, key = row.days.get("cut"), bundle_key(row)
        if key in self._bundles:
            return self._bundles[key]
        code = self.code("W")
        values: Values = {"code": code, **self.words(WOOD, row, "cultivar", "species")}
        if row.facts.get("from"):
            values["donor"] = row.facts["from"][:200]
        if day is not None:
            values["cut_on"] = day
        if not row.facts.get("cultivar"):
            values["note"] = _note(row)
        rows.append((WOOD, values))
        self._new = {key: code}
        return code


def bundle_key(row: SheetRowRead) -> tuple[str, ...]:
    """What rows of one bundle share: cultivar, kind, giver, and the day the wood was cut, or else the year of the graft."""
    time = str(row.days.get("cut") or row.days["date"].year)
    named = (row.facts.get("cultivar", ""), row.facts.get("species", ""), row.facts.get("from", ""))
    return (*map(squeezed, named), time, "" if named[0] else str(row.line))


def _note(row: SheetRowRead) -> str:
    return "; ".join(dict.fromkeys(row.remarks))[:LONG]


def _noted(values: Values, row: SheetRowRead) -> Values:
    note = _note(row)
    return {**values, "note": note} if note else values


def _plants(making: Making, row: SheetRowRead, kind: str, count: int) -> list[Values]:
    values: Values = {
        "kind": kind,
        **making.words(PLANTS, row, "rootstock", "species", "site", "place", "row", "stage"),
    }
    if count == 1:
        values |= making.words(PLANTS, row, "order")
    return [{"code": making.code("P"), **values} for _each in range(count)]


def _grafts(making: Making, _each: TableRead, row: SheetRowRead, rows: list[tuple[Shape, Values]]) -> None:
    hosts, wood, own_wood = _hosts(making, row, rows), row.facts.get("wood"), "wood" not in row.facts
    code = making.bundle(row, rows) if own_wood else making.cell(GRAFTS, "wood", wood or "")
    day = row.days["date"]
    values: Values = {
        "wood": code,
        "made_on": day,
        **making.words(GRAFTS, row, "method", "buds", "tie", "seal", "who", "limb"),
    }
    if "plant" in row.facts:
        values |= making.words(GRAFTS, row, "place")
    sizes = {"scion": "scion_mm", "stock": "stock_mm", "diameter": "stock_mm", "height": "height_mm"}
    values |= {header: row.sizes[name][0] for name, header in sizes.items() if name in row.sizes}
    if own_wood:
        values["sticks_drawn"] = 0
    noted = _noted(_with_result(row, values), row)
    grafts = [{"code": making.code("G"), "host": host, **noted} for host in hosts]
    rows += [(GRAFTS, graft) for graft in grafts]
    for graft, state in zip(grafts, _states(row, len(hosts)), strict=True):
        if state is not None and "looked" in row.days:
            rows.append((LOOKS, _look(row, graft["code"], row.days["looked"], state)))


def _seen_later(row: SheetRowRead, grafts: list[str], rows: list[tuple[Shape, Values]]) -> None:
    """Looks at grafts that were made of a row before it said what became of them."""
    if "looked" not in row.days:
        raise Unclear("looked", Doubt("", "the day of the result, in a column or with --given looked=DATE"))
    if row.count is not None and row.count != len(grafts):
        raise Unclear("result", Doubt("", f"what became of the {len(grafts)} that were made"))
    for graft, state in zip(grafts, _states(row, len(grafts)), strict=True):
        if state is not None:
            rows.append((LOOKS, _look(row, graft, row.days["looked"], state)))


def _with_result(row: SheetRowRead, values: Values) -> Values:
    """A result without a day is no look: it stays in the note, as typed."""
    if row.outcome is None or "looked" in row.days or (row.outcome.took is None and row.outcome.state is None):
        return values
    said = (
        f"result: {row.outcome.took} of {row.count or 1} took"
        if row.outcome.took is not None
        else f"result: {row.outcome.state}"
    )
    if said not in row.remarks:
        row.remarks.append(said)
    return values


def _hosts(making: Making, row: SheetRowRead, rows: list[tuple[Shape, Values]]) -> list[str]:
    count = row.count or 1
    if "plant" in row.facts:
        try:
            hosts = [code.base for code in read_many(row.facts["plant"])]
        except GraftbookError as error:
            raise Unclear("plant", Doubt(row.facts["plant"], error.expected)) from error
        if len(hosts) == 1 and count > 1:
            return hosts * count
        if len(hosts) != count and row.count is not None:
            raise Unclear("plant", Doubt(row.facts["plant"], f"as many plants as grafts, {count}"))
        return hosts
    plants = _plants(making, row, "stock", count)
    rows += [(PLANTS, plant) for plant in plants]
    return [plant["code"] for plant in plants]


def _states(row: SheetRowRead, count: int) -> list[str | None]:
    """The state each graft of a row was seen in; None for those of which nothing is known."""
    seen = row.outcome
    if seen is None or (seen.took is None and seen.state is None):
        return [None] * count
    if seen.state is not None:
        return [seen.state] * count
    known = ["growing"] * (seen.took or 0) + ["dead"] * (seen.failed or 0)
    return [*known, *[None] * (count - len(known))]


def _look(row: SheetRowRead, graft: str, day: Any, state: str) -> Values:
    values: Values = {"graft": graft, "on": day, "state": state}
    if "shoot" in row.sizes and state != "dead":
        values["shoot_mm"] = row.sizes["shoot"][0]
    if row.facts.get("cause") and state == "dead":
        values["cause"] = row.facts["cause"][:200]
    return values


def _looks(making: Making, _each: TableRead, row: SheetRowRead, rows: list[tuple[Shape, Values]]) -> None:
    day = row.days.get("looked", row.days.get("date"))
    if day is None:
        raise Unclear("date", Doubt("", "the day of the look"))
    try:
        grafts = [code.base for code in read_many(row.facts["graft"])]
    except GraftbookError as error:
        raise Unclear("graft", Doubt(row.facts["graft"], error.expected)) from error
    states = _states(row, len(grafts))
    if len(set(states)) > 1:
        raise Unclear("result", Doubt("", "one state for the grafts of a row"))
    rows += [
        (LOOKS, _noted(_look(row, graft, day, state or ""), row)) for graft, state in zip(grafts, states, strict=True)
    ]


def _trees(making: Making, each: TableRead, row: SheetRowRead, rows: list[tuple[Shape, Values]]) -> None:
    kind = (
        making.cell(PLANTS, "kind", row.facts["kind"])
        if row.facts.get("kind")
        else each.reading.thing.removesuffix("s")
    )
    values = making.words(PLANTS, row, "cultivar")
    if "date" in row.days:
        values["acquired_on"] = row.days["date"]
    if "died" in row.days:
        values["died_on"] = row.days["died"]
    if row.facts.get("from"):
        values["source"] = row.facts["from"][:200]
    for name in ("diameter", "stock"):
        if name in row.sizes:
            values["diameter_mm"] = row.sizes[name][0]
    rows += [(PLANTS, _noted({**plant, **values}, row)) for plant in _plants(making, row, kind, row.count or 1)]


def _wood(making: Making, _each: TableRead, row: SheetRowRead, rows: list[tuple[Shape, Values]]) -> None:
    values = {
        "code": making.code("W"),
        **making.words(WOOD, row, "cultivar", "species", "sticks", "store", "temperature"),
    }
    if row.count is not None and "sticks" not in values:
        values["sticks"] = row.count
    source = row.facts.get("graft") or row.facts.get("plant")
    if source:
        values["source"] = source.upper()
    if row.facts.get("from"):
        values["donor"] = row.facts["from"][:200]
    for name, field in (
        ("cut", "cut_on"),
        ("stored", "stored_on"),
        ("date", "received_on" if "cut" in row.days else "cut_on"),
    ):
        if name in row.days:
            values[field] = row.days[name]
    if row.facts.get("buds"):
        values["buds_per_stick"] = making.read(WOOD, "buds_per_stick", "buds", row.facts["buds"])
    for name in ("diameter", "scion"):
        if name in row.sizes:
            values["diameter_min_mm"], values["diameter_max_mm"] = row.sizes[name]
    if "length" in row.sizes:
        values["length_mm"] = row.sizes["length"][0]
    rows.append((WOOD, _noted(values, row)))


_MAKERS: dict[str, Callable[[Making, TableRead, SheetRowRead, list[tuple[Shape, Values]]], None]] = {
    "grafts": _grafts, "trees": _trees, "stocks": _trees, "wood": _wood, "looks": _looks,
}  # fmt: skip


def codes_text(codes: list[str]) -> str | None:
    """The codes a row made, in few words; None for none."""
    return ", ".join(code_runs(codes)) or None
