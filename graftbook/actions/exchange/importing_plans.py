"""Wants and plans in imported files: told apart by their numbers, lines of plans by the plan they belong to."""

from __future__ import annotations

from datetime import date
from typing import Any

from graftbook.actions.exchange.csv_shapes import PLAN_ROWS, PLANS, WANTS
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.plan.wants import USUAL, wrong_with
from graftbook.book import asking, plan_queries
from graftbook.book.plans import Plan, Want


def check(batch: Batch, session: Any) -> None:
    """Numbers that are free, wants that can be met, lines that belong to a plan; problems are noted on the sheets."""
    known = {
        header: batch.once(shape, "number", asking.held_in(session, table.number), lambda values: values.get("number"))
        for header, shape, table in (("want", WANTS, Want), ("plan", PLANS, Plan))
    }
    for sheet, line, values in batch.of(WANTS):
        for header, accepted in wrong_with(values):
            sheet.object_to(line, header, values[header], accepted)
    for sheet, line, values in batch.of(PLAN_ROWS):
        for header, numbers in known.items():
            if header in values and values[header] not in numbers:
                sheet.object_to(line, header, values[header], f"the number of a {header} in the book or in these files")
    there = plan_queries.lines(session, {values["plan"] for values in batch.values(PLAN_ROWS)})
    batch.once(PLAN_ROWS, "line", there, lambda values: (values["plan"], values["line"]))


def complete(batch: Batch, session: Any, today: date) -> None:
    """Give wants what their rows leave out: a number, the day, how many sites, of what priority."""
    number = max((*asking.held_in(session, Want.number), *(v.get("number", 0) for v in batch.values(WANTS))), default=0)
    for values in batch.values(WANTS):
        values.setdefault("on", today)
        for name, usual in USUAL.items():
            values.setdefault(name, usual)
        if "number" not in values:
            number += 1
            values["number"] = number
