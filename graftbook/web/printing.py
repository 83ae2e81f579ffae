"""Tags: chosen, set on a medium, and got as a PDF; a run that was printed can be got again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from starlette.responses import Response
from starlette.routing import Route

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.actions.tags import tag_media, tags
from graftbook.web.asking import Asking, FormLine, routes
from graftbook.web.new_things import whole
from graftbook.web.visit import Visit, page


def in_folder(name: str, work: Callable[[Path], object]) -> bytes:
    """The bytes of a file that some work writes where it is told to."""
    with TemporaryDirectory(prefix="graftbook-") as folder:
        file = Path(folder) / name
        work(file)
        return file.read_bytes()


def _sheet(at: Desk) -> Sequence[FormLine]:
    media = [(row.name, f"{row.name}: {row.title}") for row in tag_media.list_media(at).rows]
    return (
        FormLine("codes", "What to tag", "Such as P1-P60 or G7,G9. For blank tags leave it empty.", must=False),
        FormLine("medium", "What to print on", kind="select", choices=media),
        FormLine("start", "First label to use on a sheet begun before", kind="number", value="1"),
        FormLine("order", "Order", kind="select", choices=[(name, name) for name in tags.ORDERS], apart=True),
        FormLine("blanks", "Blank tags: how many", "Codes given out ahead for a grafting day.", kind="number", apart=True),
        FormLine("purpose", "What it is for", "It stands in the margin.", apart=True),
    )  # fmt: skip


def printed(visit: Visit, at: Desk) -> Recorded:
    """A run of tags, kept; its PDF is got from the run."""
    start, blanks = whole(visit.typed("start"), "the first label", 1), visit.typed("blanks")
    sheet = tags.Sheet(
        visit.typed("medium") or "", start, order=visit.typed("order") or "asked", purpose=visit.typed("purpose")
    )
    with TemporaryDirectory(prefix="graftbook-") as folder:
        file = Path(folder) / "tags.pdf"
        if blanks is not None and visit.typed("codes") is None:
            done = tags.blank(at, whole(blanks, "how many"), sheet, file)
        else:
            done = tags.tags(at, visit.typed("codes") or "", sheet, file)
        return replace(done, line=done.line.replace(f" to {file}", ""))


@page()
async def runs(visit: Visit) -> Response:
    """The runs of tags, each to be got as a PDF."""

    def work(at: Desk) -> Response:
        return visit.show("runs.html", runs=tags.runs(at, 20).rows, notes=())

    return await visit.read(work)


@page()
async def sheet(visit: Visit) -> Response:
    """The PDF of a run, with what the book says now."""
    run = visit.number()
    name = f"tags-{run}.pdf"
    made = await visit.read(lambda at: in_folder(name, lambda file: tags.again(at, run, file)))
    return Response(
        made, media_type="application/pdf", headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


FORM = Asking("/tags/new", "Print tags", "Make the sheet", _sheet, printed, lambda done: "/tags",
              "Get the PDF on the next page and print it at 100 %, not fitted to the page.")  # fmt: skip
ROUTES = (Route("/tags", runs), Route("/tags/{number:int}.pdf", sheet), *routes(FORM))
