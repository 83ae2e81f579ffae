"""One thing: a plant, a bundle or a graft; looks, care and what becomes of wood by a tap; finding it without its tag."""

from __future__ import annotations

from collections import Counter
from typing import Any

from starlette.convertors import Convertor, register_url_convertor
from starlette.responses import Response
from starlette.routing import Route

from graftbook import codes
from graftbook.actions.desk import journal
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report
from graftbook.actions.grafts import graft_lists
from graftbook.actions.outcome import states
from graftbook.actions.plants import finding, plant_lists
from graftbook.actions.rounds import caring, looking, rounds
from graftbook.actions.wood import stick_moves, wood, wood_lists
from graftbook.errors import UsageProblem
from graftbook.web import shown
from graftbook.web.coming_in import local
from graftbook.web.visit import Visit, go, page, refused_undo

SHOWS = {"P": plant_lists.show_plant, "W": wood_lists.show_wood, "G": graft_lists.show_graft}
ASKED_WHY = ("dead", "not-set")
"""States after which the page asks for the cause before it records."""


class CodeInAddress(Convertor[str]):
    """What may be a code in an address, as typed or as it stands on a tag; whether it is one is asked of the codes."""

    regex = "[PWGpwg][0-9][0-9A-Za-z]{0,20}(?:-[0-9A-Za-z])?"

    def convert(self, value: str) -> str:
        """As it stands."""
        return value

    def to_string(self, value: str) -> str:
        """As it stands."""
        return value


register_url_convertor("code", CodeInAddress())


@page()
async def thing(visit: Visit) -> Response:
    """Everything about one thing, and what can be recorded of it."""
    code = codes.read_one(visit.request.path_params["code"]).base
    return await visit.read(lambda at: _thing(visit, at, code))


def _thing(visit: Visit, at: Desk, code: str) -> Response:
    report = SHOWS[code[0]](at, code)
    due = rounds.due_of(at, code) if code[0] in "GW" else ()
    sections: dict[str, list[Any]] = {}
    for row in report.rows:
        sections.setdefault(row.section, []).append(row)
    bud = report.facts.get("unit") == "bud"
    seen = (*states.BUD_STATES, *states.SCION_STATES) if bud else states.SCION_STATES
    return visit.show(
        "thing.html", code=code, kind=codes.KINDS[code[0]], tag=codes.with_check(code), report=report, due=due,
        facts=sections.pop("facts", []), sections=sections, notes=shown.notes(report), states=seen, cares=states.CARE_WORDS,
        conditions=wood.CONDITIONS, why=ASKED_WHY, today=at.today,
    )  # fmt: skip


@page("record")
async def cause(visit: Visit) -> Response:
    """Ask what killed a graft before it is recorded."""
    code = codes.read_one(visit.request.path_params["code"]).base
    state = states.state(visit.asked("state") or "dead")
    causes = await visit.read(lambda at: _causes(at))
    return visit.show(
        "cause.html", code=code, state=state, blame=states.UNION_BLAME, fates=looking.STOCK_FATES, causes=causes
    )


def _causes(at: Desk) -> list[str]:
    """The causes of loss in this book's own words, the most frequent first."""
    rows = (row for state in looking.LOSSES for row in looking.list_looks(at, state=state, limit=300).rows)
    return [cause for cause, _ in Counter(row.cause for row in rows if row.cause).most_common(8)]


@page("record")
async def look(visit: Visit) -> Response:
    """Record one look at every code ticked."""
    words = looking.LookWords(**visit.words("shoot", "cause", "union", "stock_fate", "note"))
    text, state = _codes(visit), visit.typed("state") or ""
    return await visit.record(lambda at: looking.look(at, text, state, words, on=visit.typed("on")), _back(visit))


@page("record")
async def care(visit: Visit) -> Response:
    """Record one kind of care of every code ticked."""
    text, done = _codes(visit), visit.typed("care") or ""
    words = {name: visit.typed(name) for name in ("place", "on", "note")}
    return await visit.record(lambda at: caring.care(at, text, done, **words), _back(visit))


@page("record")
async def of_wood(visit: Visit) -> Response:
    """Record what a bundle looked like, a count, sticks given, found or thrown away."""
    text, on, note = _codes(visit), visit.typed("on"), visit.typed("note")
    return await visit.record(lambda at: _of_wood(visit, at, text, on, note), _back(visit))


def _of_wood(visit: Visit, at: Desk, text: str, on: str | None, note: str | None) -> Recorded:
    if (condition := visit.typed("condition")) is not None:
        return wood.inspect(at, text, condition, on, None, note)
    sticks, what = visit.typed("sticks") or "", visit.typed("move")
    if what == "thrown away":
        return stick_moves.discard(at, text, sticks or "all", on, None, note)
    if not sticks.isdecimal() or len(sticks) > 6:
        raise UsageProblem("how many sticks, as a whole number", repr(sticks))
    number = int(sticks)
    if what == "given":
        return stick_moves.give(at, text, number, visit.typed("to") or "", on, None, note)
    move = stick_moves.found if what == "found" else stick_moves.count_sticks
    return move(at, text, number, on, None, note)


@page("record")
async def undo(visit: Visit) -> Response:
    """Take back one entry: one's own, or at the book itself anybody's."""
    entry = visit.typed("entry") or ""
    if not entry.isdecimal() or len(entry) > 9:
        raise UsageProblem("the number of an entry", repr(entry))
    number = int(entry)
    return await visit.record(lambda at: _undo(visit, at, number), _back(visit))


def _undo(visit: Visit, at: Desk, number: int) -> Recorded:
    if not visit.me.may("owner"):
        for row in journal.journal(at, 1, number + 1).rows:
            if row.entry == number and row.who != visit.me.name:
                raise refused_undo(row.who or "somebody else")
    return journal.undo(at, number)


@page()
async def history(visit: Visit) -> Response:
    """What was written of one thing, entry by entry, each of which can be undone."""
    code = codes.read_one(visit.request.path_params["code"]).base
    report = await visit.read(lambda at: journal.history(at, code))
    rows: dict[int, Any] = {}
    for row in report.rows:
        rows.setdefault(row.entry, []).append(row)
    return visit.show("history.html", code=code, entries=list(reversed(rows.values())))


@page()
async def find(visit: Visit) -> Response:
    """Find a thing by its code, part of a name, or where it stands."""
    query, place, mark = visit.asked("q"), visit.asked("place"), visit.asked("mark")
    if query is not None and states.starts_with_code([query]) and place is mark is None:
        try:
            return go(f"/{codes.read_one(query).base}")
        except UsageProblem as error:
            return visit.show(
                "find.html", 422, q=query, place="", mark="", blocks=(), notes=(), text=shown.refusal(error)
            )
    if query is None and place is None and mark is None:
        return visit.show("find.html", q="", place="", mark="", blocks=(), notes=(), text="")
    words = finding.FindWords(words=query, place=place, mark=mark)
    found, said = await visit.read(lambda at: _with_blocks(at, finding.find(at, words, 60)))
    return visit.show("find.html", q=query or "", place=place or "", mark=mark or "", blocks=found, notes=said, text="")


def _with_blocks(at: Desk, report: Report) -> tuple[tuple[shown.ShownTable, ...], tuple[str, ...]]:
    return shown.blocks(report, at), shown.notes(report)


def _codes(visit: Visit) -> str:
    """The codes ticked or written. Raises UsageProblem where there are none."""
    text = ",".join(visit.chosen("code"))
    if not text.strip():
        raise UsageProblem("at least one thing ticked", "none", "Go back and tick those that are meant")
    return text


def _back(visit: Visit) -> str:
    return local(visit.typed("back"))


ROUTES = (
    Route("/find", find),
    Route("/look", look, methods=["POST"]),
    Route("/care", care, methods=["POST"]),
    Route("/wood", of_wood, methods=["POST"]),
    Route("/undo", undo, methods=["POST"]),
    Route("/{code:code}", thing),
    Route("/{code:code}/cause", cause),
    Route("/{code:code}/history", history),
)
