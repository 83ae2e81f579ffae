"""Wants and plans in imported files: told apart by their numbers, lines of plans by the plan they belong to."""

from __future__ import annotations

from datetime import date
from typing import Any

from graftbook.actions.desk import naming
from graftbook.actions.exchange.csv_shapes import PLAN_ROWS, PLANS, WANTS, Shape
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.plan.wants import USUAL, wrong_with
from graftbook.book import asking, bulk
from graftbook.book import plan_queries as queries
from graftbook.book.plans import Plan, Want

_NUMBERED = ((WANTS, Want), (PLANS, Plan))


def settle(batch: Batch, cultivars: naming.Cultivars) -> None:
    """Names of wants as the book spells them; rows that bring a uid keep theirs."""
    for _sheet, _line, values in batch.of(WANTS):
        if "uid" in values:
            continue
        for field, read in (("cultivar", cultivars.name), ("clone", naming.clone)):
            if field in values:
                name = read(values[field])
                values[field] = name.kept
                if name.typed is not None:
                    values.setdefault(f"{field}_typed", name.typed)
                if name.note is not None:
                    batch.note(name.note)


def check(batch: Batch, session: Any) -> None:
    """Numbers that are free, wants that can be met, lines that belong to a plan; problems are noted on the sheets."""
    for shape, table in _NUMBERED:
        _numbers_once(batch, shape, set(asking.held_in(session, table.number)))
    for sheet, line, values in batch.of(WANTS):
        for header, accepted in wrong_with(values):
            sheet.object_to(line, header, str(values[header]), accepted)
    _lines(batch, session)


def _numbers_once(batch: Batch, shape: Shape, taken: set[int]) -> None:
    for sheet, line, values in batch.of(shape):
        if "number" not in values:
            continue
        if values["number"] in taken and id(values) not in batch.repeated:
            sheet.object_to(line, "number", str(values["number"]), f"each {shape.one} once; this one is there already")
        taken.add(values["number"])


def _lines(batch: Batch, session: Any) -> None:
    known = {"plan": set(asking.held_in(session, Plan.number)), "want": set(asking.held_in(session, Want.number))}
    known["plan"] |= {values["number"] for _s, _l, values in batch.of(PLANS)}
    known["want"] |= {values["number"] for _s, _l, values in batch.of(WANTS) if "number" in values}
    there = queries.lines(session, {values["plan"] for _s, _l, values in batch.of(PLAN_ROWS)})
    for sheet, line, values in batch.of(PLAN_ROWS):
        for header, numbers in known.items():
            if header in values and values[header] not in numbers:
                sheet.object_to(
                    line, header, str(values[header]), f"the number of a {header} in the book or in these files"
                )
        key = values["plan"], values["line"]
        if key in there and id(values) not in batch.repeated:
            sheet.object_to(line, "line", str(values["line"]), "each line of a plan once; this one is there already")
        there.add(key)


def complete(batch: Batch, session: Any, today: date) -> None:
    """Give wants what their rows leave out: a number, the day, how many sites, how dear."""
    taken = set(asking.held_in(session, Want.number)) | {values.get("number", 0) for _s, _l, values in batch.of(WANTS)}
    number = max(taken, default=0)
    for _sheet, _line, values in batch.of(WANTS):
        values.setdefault("on", today)
        for name, usual in USUAL.items():
            values.setdefault(name, usual)
        if "number" not in values:
            number += 1
            values["number"] = number


def keys(batch: Batch, session: Any) -> dict[str, dict[int, int]]:
    """Ids of the plans and wants that lines of plans speak of, by number."""
    asked: dict[str, tuple[type[Want] | type[Plan], set[int]]] = {
        "plan": (Plan, {values["plan"] for _s, _l, values in batch.of(PLAN_ROWS)}),
        "want": (Want, {values["want"] for _s, _l, values in batch.of(PLAN_ROWS) if "want" in values}),
    }
    return {name: bulk.ids_by_number(session, table, sorted(numbers)) for name, (table, numbers) in asked.items()}


def lines_as_kept(batch: Batch, session: Any) -> None:
    """Lines of plans with keys for numbers, once plans and wants are in."""
    found = keys(batch, session)
    for _sheet, _line, values in batch.of(PLAN_ROWS):
        for name, ids in found.items():
            if name in values:
                values[f"{name}_id"] = ids[values.pop(name)]
