"""The first book in five screens: what the book is told about itself, the first tree, wood, graft and tag.

Which screen is next is what the book lacks, so that whoever stops half-way goes on there; each can be left out.
"""

from __future__ import annotations

from collections.abc import Sequence

from starlette.responses import Response
from starlette.routing import Route

from graftbook.actions.desk import starting
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.actions.grafts import graft_text, grafting
from graftbook.actions.plants import free_stocks, plant_text, plants
from graftbook.actions.rounds import today
from graftbook.actions.tags import tags
from graftbook.actions.wood import prunes
from graftbook.errors import GraftbookError, NotABook
from graftbook.web import printing, shown
from graftbook.web.asking import Asking, FormLine, routes
from graftbook.web.bench import no_book
from graftbook.web.new_things import method_names
from graftbook.web.visit import Visit, go, page

ABOUT_IT = ("units", "temperature", "dates", "hemisphere")
LABELS = {
    "units": "Lengths",
    "temperature": "Temperatures",
    "dates": "Dates such as 4/10/27",
    "hemisphere": "Where the year begins",
}
HINTS = {
    "dates": "iso reads only 2027-01-14 and words such as yesterday.",
    "hemisphere": "A season is winter to autumn: north or south.",
}
STEPS = ("/first/book", "/first/tree", "/first/wood", "/first/graft", "/first/tag")


@page("record")
async def first(visit: Visit) -> Response:
    """The screen that comes next."""
    try:
        return go(await visit.read(_next))
    except NotABook as error:
        if not no_book(error) or not visit.me.may("owner"):
            raise
        return go(STEPS[0])


def _next(at: Desk) -> str:
    held = today.today(at).facts
    for what, step in zip(("plants", "bundles", "grafts"), STEPS[1:], strict=False):
        if not held[what]:
            return step
    return "/" if tags.runs(at, 1).rows else STEPS[4]


@page("owner")
async def about(visit: Visit) -> Response:
    """Ask what the book is to be told about itself."""
    return _about(visit, {}, 200, "")


@page("owner")
async def made(visit: Visit) -> Response:
    """Make the book."""
    values = {name: visit.typed(name) or "" for name in ("name", "who", *ABOUT_IT)}
    values = {name: value for name, value in values.items() if value or name == "who"}
    try:
        await visit.bench.alone(lambda: starting.start(visit.bench.named, values))
    except GraftbookError as error:
        return _about(visit, values, visit.request.app.state.status_of(error), shown.refusal(error))
    return go("/first")


def _about(visit: Visit, typed: dict[str, str], status: int, refused: str) -> Response:
    entries = [
        FormLine("name", "What the book is called", "It stands on tags and sheets.", value=typed.get("name", "")),
        FormLine("who", "Your name", "It stands with what you record here.", value=typed.get("who", "")),
    ]
    for name in ABOUT_IT:
        choices = starting.book_settings.CHOICES[name]
        entries.append(FormLine(name, LABELS[name], HINTS.get(name, ""), "select", [(each, each) for each in choices],
                                typed.get(name, choices[0])))  # fmt: skip
    form = Asking(
        STEPS[0],
        "1 of 5: your book",
        "Make the book",
        lambda _at: (),
        lambda _v, _at: Recorded(""),
        lambda _d: "/first",
    )
    return visit.show("form.html", status, form=form, entries=entries, refused=refused)


def _tree(_at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("cultivar", "Cultivar", "Such as Dun Reinette; nothing where it is not known."),
        FormLine("species", "Kind", "Such as apple, pear or plum.", must=True), FormLine("place", "Where it stands"),
    )  # fmt: skip


def _plant(visit: Visit, at: Desk) -> Recorded:
    return plants.add(at, "tree", plant_text.PlantWords(**visit.words("cultivar", "species", "place")))


def _wood(_at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("code", "Cut from", "The tree's code.", value="P1", must=True),
        FormLine("save", "What you saved", "Such as: 6 sticks 6-9mm 25cm 6 buds (thickness, length, buds a stick).", must=True),
        FormLine("on", "When it was cut", "Nothing for today; yesterday, -3d or a date."),
        FormLine("store", "Where it is put", "Such as fridge."), FormLine("temperature", "Temperature there", "Such as 3C or 38F."),
    )  # fmt: skip


def _saved(visit: Visit, at: Desk) -> Recorded:
    words = prunes.PruneWords(saves=(visit.typed("save") or "",), **visit.words("store", "temperature"))
    return prunes.prune(at, visit.typed("code") or "", words, visit.typed("on"))


def _graft(at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("wood", "Wood", value="W1", must=True),
        FormLine("clone", "Rootstock", "Such as MM.106 or seedling; one that is free in the book is taken first.", must=True),
        FormLine("diameter", "Its thickness", "Such as 9mm or 3/8in."),
        FormLine("species", "Its kind", "For a seedling, such as apple."),
        FormLine("method", "Method", kind="select", choices=[("", "choose"), *method_names(at)]),
        FormLine("tie", "Tied with", "Such as rubber or tape."),
        FormLine("on", "When it was made", "Nothing for today."),
    )  # fmt: skip


def _grafted(visit: Visit, at: Desk) -> Recorded:
    """A graft on a stock that is free, else on one added for it; what was added before a refusal is free and is taken next."""
    words, on = graft_text.GraftWords(tie=visit.typed("tie")), visit.typed("on")
    free = free_stocks.list_free(at, clone=visit.typed("clone"), limit=1).rows
    if free:
        host = free[0].code
    else:
        stock = plant_text.PlantWords(**visit.words("clone", "diameter", "species"), acquired=on)
        host = plants.add(at, "stock", stock, 1).codes[0]
    return grafting.graft(at, visit.typed("wood") or "", host, visit.typed("method") or "", words, on=on)


def _tag(at: Desk) -> Sequence[FormLine]:
    held = printing.FORM.entries(at)
    return [line if line.name != "codes" else FormLine("codes", line.label, "The graft, the tree and the wood.", value="G1,P1,W1")
            for line in held if not line.apart]  # fmt: skip


def _on(_done: Recorded) -> str:
    return "/first"


FORMS = (
    Asking(STEPS[1], "2 of 5: the first tree", "Add the tree", _tree, _plant, _on, "The tree you cut from.", skip=STEPS[2]),
    Asking(STEPS[2], "3 of 5: the first wood", "Keep the wood", _wood, _saved, _on, "Sticks you cut and saved.", skip=STEPS[3]),
    Asking(STEPS[3], "4 of 5: the first graft", "Record it", _graft, _grafted, _on, "One stick on one stock.", skip=STEPS[4]),
    Asking(STEPS[4], "5 of 5: the first tag", "Make the tags", _tag, printing.printed, lambda _d: "/tags",
           "Get the PDF on the next page and print it at 100 %, not fitted to the page.", skip="/"),
)  # fmt: skip
ROUTES = (
    Route("/first", first),
    Route(STEPS[0], about),
    Route(STEPS[0], made, methods=["POST"]),
    *(route for form in FORMS for route in routes(form)),
)
