"""The day: what is due place by place, several things looked at at once, the wood in store, and what fits what."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from starlette.responses import Response
from starlette.routing import Route

from graftbook import codes as code_words
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.grafts import match
from graftbook.actions.outcome import states
from graftbook.actions.rounds import rounds, today
from graftbook.actions.tags import tag_photos
from graftbook.actions.wood import wood_lists
from graftbook.errors import UsageProblem
from graftbook.web import shown
from graftbook.web.visit import Visit, page

MOST_CODES = 300
"""Things ticked on one page."""


@dataclass(frozen=True)
class Job:
    """What several grafts at one place want: `care` is the word that records it as done, None where that takes a look."""

    what: str
    codes: tuple[str, ...]
    since: str
    why: str
    care: str | None
    counted: str


@page()
async def home(visit: Visit) -> Response:
    """What is due today."""
    return await visit.read(lambda at: _today(visit, at))


def _today(visit: Visit, at: Desk) -> Response:
    """The page of today. Wood to use first stands apart, since it is for the bench and no place to walk to."""
    held = today.today(at)
    due = rounds.due(at, brief=True, place=visit.asked("place"))
    places: dict[str, list[Job]] = {}
    wood: list[Any] = []
    for row in due.rows:
        if row.codes.startswith("W"):
            wood.append(row)
        else:
            places.setdefault(row.place or "place not recorded", []).append(_job(row))
    return visit.show(
        "today.html", title=held.title, places=places, wood=wood, notes=shown.sentences(held.notes), facts=held.facts,
        total=due.facts["due"], words=shown.word,
    )  # fmt: skip


def _job(row: Any) -> Job:
    codes = tuple(code.strip() for code in row.codes.split(","))
    since = row.since.isoformat() if row.since is not None else ""
    try:
        care = states.care(row.what)
    except UsageProblem:
        care = None
    return Job(row.wanted, codes, since, f"{row.why} ({row.basis})", care, count(row.grafts, "graft"))


@page()
async def many(visit: Visit) -> Response:
    """Several things at once, each with a box to untick, to record one look or one care of all of them."""
    text = visit.asked("codes") or ""
    named = code_words.read_many(text)
    if len(named) > MOST_CODES:
        raise UsageProblem(f"at most {MOST_CODES} things on one page", f"{len(named):,}", "Take them in parts")
    rows = await visit.read(lambda at: tag_photos.named(at, named))
    return visit.show("many.html", rows=rows, notes=(), seen=SEEN, cares=states.CARE_WORDS)


SEEN = {"scions": states.SCION_STATES, "buds": states.BUD_STATES}
"""What can be seen of several things at once."""


@page()
async def in_store(visit: Visit) -> Response:
    """The wood in store, what goes first first."""
    return await visit.read(lambda at: _table(visit, at, "Wood in store", wood_lists.list_wood(at, limit=200)))


@page()
async def fits(visit: Visit) -> Response:
    """What fits one stock or one bundle, or what fits what."""
    wood, stock, barred = visit.asked("wood"), visit.asked("stock"), visit.asked("barred") is not None

    def asked(at: Desk) -> Response:
        report = match.match(at, wood, stock, None, None, barred, 60)
        heading = f"What fits {wood or stock or 'what'}"
        return visit.show(
            "match.html", heading=heading, blocks=shown.blocks(report, at), notes=shown.notes(report), empty=report.empty,
            wood=wood or "", stock=stock or "", barred=barred, pairs=report.rows,
        )  # fmt: skip

    return await visit.read(asked)


@page()
async def more(visit: Visit) -> Response:
    """Where everything else is."""
    return visit.show("more.html", links=LINKS)


LINKS = (
    ("/store", "Wood in store", ""), ("/match", "What fits what", ""), ("/plans", "Grafting day", ""), ("/tags", "Tags", ""),
    ("/took", "What took", ""), ("/new/prune", "Prune, save wood", "record"), ("/new/graft", "A graft", "record"),
    ("/new/tree", "A new tree", "record"), ("/new/stock", "New stocks", "record"), ("/new/wood", "Wood that came", "record"),
    ("/who", "Who has joined", "owner"),
)  # fmt: skip
"""The pages that are not on the bar: address, name, and the role they need ('' for look)."""


def _table(visit: Visit, at: Desk, heading: str, report: Report) -> Response:
    return visit.show(
        "table.html", heading=heading, blocks=shown.blocks(report, at), notes=shown.notes(report), empty=report.empty
    )


ROUTES = (
    Route("/", home),
    Route("/many", many),
    Route("/store", in_store),
    Route("/match", fits),
    Route("/more", more),
)
