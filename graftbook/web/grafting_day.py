"""A grafting day: an open plan line by line, each made, made otherwise or not made, recorded as one entry."""

from __future__ import annotations

from starlette.responses import Response
from starlette.routing import Route

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.actions.grafts import graft_text
from graftbook.actions.plan import plan_recording, planning
from graftbook.actions.plan.plan_departures import ExceptionWords
from graftbook.web import shown
from graftbook.web.new_things import method_names
from graftbook.web.visit import Visit, page

MOST_LINES = 400


@page()
async def plans(visit: Visit) -> Response:
    """Every plan, the newest first."""

    def work(at: Desk) -> Response:
        return visit.show("plans.html", plans=planning.list_plans(at).rows)

    return await visit.read(work)


@page()
async def plan(visit: Visit) -> Response:
    """One plan to work from and to record."""
    number = visit.number()

    def work(at: Desk) -> Response:
        report = planning.show(at, number)
        open_ = report.facts["dropped_on"] is None and report.facts["done_on"] is None
        return visit.show(
            "plan.html", number=number, title=report.title, lines=report.rows[:MOST_LINES], more=len(report.rows) - MOST_LINES,
            notes=shown.notes(report), methods=method_names(at), can_record=open_, stocks=len(report.rows),
        )  # fmt: skip

    return await visit.read(work)


@page("record")
async def made(visit: Visit) -> Response:
    """Record the day: every line as planned but those that say otherwise."""
    number = visit.number()
    return await visit.record(lambda at: _made(visit, at, number), f"/plan/{number}")


def _made(visit: Visit, at: Desk, number: int) -> Recorded:
    lines = [row.line for row in planning.show(at, number).rows if not row.done]
    how = {line: visit.typed(f"how-{line}") for line in lines}
    skipped = ",".join(str(line) for line in lines if how[line] == "skip") or None
    dry = ",".join(str(line) for line in lines if how[line] == "dry") or None
    swap = [f"{line}={code}" for line in lines if (code := visit.typed(f"host-{line}")) is not None]
    other = [f"{line}={method}" for line in lines if (method := visit.typed(f"method-{line}")) is not None]
    words = graft_text.GraftWords(**visit.words("tie", "seal", "note"))
    return plan_recording.record(
        at,
        number,
        words,
        ExceptionWords(skipped, dry, swap, other),
        on=visit.typed("on"),
        yes=visit.typed("yes") is not None,
    )


ROUTES = (
    Route("/plans", plans),
    Route("/plan/{number:int}", plan),
    Route("/plan/{number:int}", made, methods=["POST"]),
)
