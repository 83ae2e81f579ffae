"""Imported rows into the book, in an order in which each finds what it points to.

Wood may be cut from a graft and a graft is made from wood, so bundles and grafts go in by turns: first what stands on
the book alone, then what stands on that, and so on. Rows that stand on themselves in a circle are objected to before.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any

from graftbook.actions.desk import naming
from graftbook.actions.exchange import importing_plans
from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import (
    CARE,
    GRAFTS,
    INSPECTIONS,
    LOOKS,
    MOVES,
    NAMINGS,
    NOTES,
    PEOPLE,
    PLACE_WEATHER,
    PLAN_ROWS,
    PLANS,
    PLANTS,
    PRUNES,
    REQUESTS,
    RESERVED,
    STAGES,
    STATIONS,
    STAYS,
    SYNONYMS,
    TAG_RUNS,
    WANTS,
    WEATHER,
    WOOD,
    Shape,  # fmt: skip
)
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.exchange.importing_names import takes_after
from graftbook.actions.exchange.importing_wood import came_in
from graftbook.actions.plants import stage_notes
from graftbook.book import bulk, find, weather_queries
from graftbook.book.plants import Plant
from graftbook.book.unit import CHUNK, Unit, ids_by_code
from graftbook.book.wood import Movement, Prune
from graftbook.codes import LARGEST_NUMBER
from graftbook.errors import Refused

Values = dict[str, Any]

Progress = Callable[[int], None] | None

_KEYS = {"P": "plant_id", "W": "bundle_id", "G": "graft_id"}

_OF_HOST = {"P": "host_plant_id", "G": "host_graft_id"}

_OF_SOURCE = {"P": "cut_plant_id", "G": "cut_graft_id"}

_POINTERS = {
    "source": _OF_SOURCE, "host": _OF_HOST, "wood": _KEYS, "plant": _KEYS, "graft": _KEYS, "subject": _KEYS,
    "into": {"W": "into_bundle_id"},
}  # fmt: skip

_NOT_KEPT = frozenset({"prune_uid", "came_as", "came_on", "came_who", "came_note", "came_uid"})


def give_codes(batch: Batch, unit: Unit) -> None:
    """Give every plant, bundle and graft without a code the next free one, after those the files bring."""
    ahead = [int(values["code"][1:]) for _s, _l, values in batch.of(RESERVED)]
    if ahead:
        unit.number_used("G", max(ahead))
    for shape in (PLANTS, WOOD, GRAFTS):
        rows = [values for _s, _l, values in batch.of(shape)]
        brought = [int(values["code"][1:]) for values in rows if "code" in values]
        if brought:
            unit.number_used(shape.letter, max(brought))
        bare = [values for values in rows if "code" not in values]
        if not bare:
            continue
        first = unit.next_number(shape.letter, len(bare))
        if first + len(bare) > LARGEST_NUMBER:
            raise Refused(
                f"{shape.letter}{first - 1} is given already, which leaves no room for {len(bare):,} more codes",
                "",
                "Give lower codes",
            )
        for number, values in enumerate(bare, start=first):
            values["code"] = f"{shape.letter}{number}"
            batch.known[shape.letter][values["code"]] = values


def in_turns(batch: Batch) -> list[tuple[Shape, list[Values]]]:
    """Bundles and grafts in turns, each turn standing only on the book and on earlier turns. What is left over stands on
    itself and is objected to."""
    nodes = {
        values["code"]: (shape, sheet, line, values)
        for shape in (WOOD, GRAFTS)
        for sheet, line, values in batch.of(shape)
    }
    waiting: dict[str, int] = {}
    users: dict[str, list[str]] = {}
    for code, (_shape, _sheet, _line, values) in nodes.items():
        stands_on = [other for other in _stands_on(values) if other in nodes]
        waiting[code] = len(stands_on)
        for other in stands_on:
            users.setdefault(other, []).append(code)
    turn = dict.fromkeys((code for code, left in waiting.items() if not left), 0)
    ready = deque(turn)
    while ready:
        code = ready.popleft()
        for user in users.get(code, ()):
            waiting[user] -= 1
            if not waiting[user]:
                turn[user] = turn[code] + 1
                ready.append(user)
    _circles(nodes[code] for code in nodes if code not in turn)
    return _turns(nodes, turn)


def _stands_on(values: Values) -> Iterator[str]:
    for header in ("source", "wood", "host"):
        if header in values:
            yield values[header]


def _circles(rows: Iterable[tuple[Shape, CsvSheet, int, Values]]) -> None:
    for shape, sheet, line, values in rows:
        header = next((h for h in ("host", "wood", "source") if h in values), "code")
        sheet.object_to(line, header, values[header], f"a {shape.one} that does not stand on itself: {values['code']} is part "
                        "of a circle, or stands on one")  # fmt: skip


def _turns(nodes: dict[str, Any], turn: dict[str, int]) -> list[tuple[Shape, list[Values]]]:
    found: dict[tuple[int, str], list[Values]] = {}
    for code, number in turn.items():
        found.setdefault((number, nodes[code][0].letter), []).append(nodes[code][3])
    shapes = {"W": WOOD, "G": GRAFTS}
    return [(shapes[letter], rows) for (_number, letter), rows in sorted(found.items(), key=lambda item: item[0])]


def add_all(batch: Batch, unit: Unit, turns: list[tuple[Shape, list[Values]]], today: date, progress: Progress) -> None:
    """Add every row of the batch but those of the trade's tables, which went in before; the caller has checked them."""
    add(batch, unit, PLANTS, progress)
    add(batch, unit, STAGES, progress)
    _stages_of_hosts(batch, unit)
    add(batch, unit, PRUNES, progress)
    prunes = bulk.ids_by_uid(unit.session, Prune, {v["prune_uid"] for _s, _l, v in batch.of(WOOD) if "prune_uid" in v})
    for shape, rows in turns:
        for values in rows:
            takes_after(batch, shape, values)
        _add_rows(batch, unit, shape, rows, progress, prunes)
    came = [{**values, "bundle_id": batch.ids["W"][code]} for code, values in came_in(batch, today)]
    unit.add_many(Movement, came, None)
    for shape in (
        MOVES, INSPECTIONS, STAYS, LOOKS, CARE, NOTES, TAG_RUNS, RESERVED, STATIONS, NAMINGS, SYNONYMS, PEOPLE,
        REQUESTS, WANTS, PLANS,
    ):  # fmt: skip
        add(batch, unit, shape, progress)
    stations = weather_queries.stations(unit.session)
    batch.stations.update((naming.key(one.name), one.id) for one in stations if one.id is not None)
    add(batch, unit, WEATHER, progress)
    add(batch, unit, PLACE_WEATHER, progress)
    importing_plans.lines_as_kept(batch, unit.session)
    add(batch, unit, PLAN_ROWS, progress)


def _stages_of_hosts(batch: Batch, unit: Unit) -> None:
    """Give each new graft on a plant the stage of that plant on its day, as a graft made on the command line has it. Rows out
    of a book, which have a uid, stay as that book had them."""
    by_day: dict[date, list[Values]] = {}
    for _sheet, _line, values in batch.of(GRAFTS):
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


def _add_rows(
    batch: Batch, unit: Unit, shape: Shape, rows: list[Values], progress: Progress, prunes: dict[str, int] | None = None
) -> None:
    table = bulk.TABLES[shape.name]
    for start in range(0, len(rows), CHUNK):
        part = rows[start : start + CHUNK]
        unit.add_many(table, [_kept(batch, shape, values, prunes or {}) for values in part], progress)
        if shape.letter:
            codes = [values["code"] for values in part]
            batch.ids[shape.letter].update(ids_by_code(unit.session, find.TABLES[shape.letter], codes))


def _kept(batch: Batch, shape: Shape, values: Values, prunes: dict[str, int]) -> Values:
    """A row as its table holds it: codes of others become keys."""
    row: Values = {}
    for name, value in values.items():
        if name in _POINTERS and not (name == "source" and shape is not WOOD):
            row[_POINTERS[name][value[0]]] = batch.ids[value[0]][value]
        elif name == "station":
            row["station_id"] = batch.stations[naming.key(value)]
        elif name not in _NOT_KEPT and not (name == "sticks" and shape is WOOD):
            row[name] = value
    if shape.letter:
        row["number"] = int(values["code"][1:])
    if "prune_uid" in values:
        row["prune_id"] = prunes[values["prune_uid"]]
    return row
