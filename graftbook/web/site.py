"""The site: which address is which page, and how an error becomes one.

An error of an action is said in the action's own words with a number that browsers know; what is a bug of ours is said as one,
and what it was stays in the terminal.
"""

from __future__ import annotations

from datetime import UTC, datetime
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from graftbook import errors
from graftbook.visible import visible
from graftbook.web import (
    coming_in,
    day,
    first_book,
    grafting_day,
    new_things,
    one_thing,
    printing,
    scanning,
    shown,
    what_took,
)
from graftbook.web.bench import Bench, no_book
from graftbook.web.guard import MOST_PHOTO, Guard, TooLong
from graftbook.web.templating import Templates
from graftbook.web.visit import MayNot, NotIn, OldForm, Visit, cookie_name, go

STATUS: tuple[tuple[type[Exception], int], ...] = (
    (MayNot, 403), (OldForm, 403), (errors.NotFound, 404), (errors.UsageProblem, 422), (errors.BadData, 422),
    (errors.Refused, 409), (errors.NoPlan, 409), (errors.TagDoesNotFit, 409), (errors.GraftbookError, 503),
)  # fmt: skip
"""What a browser is told beside the words of an error, the first that fits."""

PHOTOS = frozenset({"/scan"})


def make_site(bench: Bench) -> Guard:
    """The whole site of a bench, behind its guard."""
    app = Starlette(
        routes=[
            Route("/keeper.js", _keeper),
            Route("/now", _now),
            Mount("/static", StaticFiles(packages=[("graftbook.web", "static")]), name="static"),
            *coming_in.ROUTES,
            *one_thing.ROUTES,
            *day.ROUTES,
            *first_book.ROUTES,
            *new_things.ROUTES,
            *grafting_day.ROUTES,
            *printing.ROUTES,
            *scanning.ROUTES,
            *what_took.ROUTES,
        ],
        exception_handlers={
            NotIn: _not_in, errors.GraftbookError: _said, OSError: _disk, TooLong: _too_long, HTTPException: _no_page,
            Exception: _bug,
        },
    )  # fmt: skip
    app.state.bench, app.state.pages, app.state.status_of = bench, Templates(), status_of
    return Guard(app, bench.address.names, PHOTOS)


def _keeper(_request: Request) -> Response:
    """The script that keeps pages in a browser for when the server does not answer; from the top, so that it may keep all."""
    script = (files("graftbook.web") / "static" / "keeper.js").read_bytes()
    return Response(script, media_type="text/javascript")


def _now(_request: Request) -> Response:
    """The moment here, by which a phone sees how its own clock goes."""
    return JSONResponse({"now": datetime.now(UTC).isoformat(timespec="seconds")})


def status_of(error: errors.GraftbookError) -> int:
    """What a browser is told of an error beside its words."""
    return next(number for kind, number in STATUS if isinstance(error, kind))


def _visit(request: Request) -> Visit:
    """The visit that went wrong; a new one where it went wrong before any page was reached."""
    if (known := getattr(request.state, "visit", None)) is not None:
        return known
    bench: Bench = request.app.state.bench
    return Visit(request, bench.doors.bearer(request.cookies.get(cookie_name(bench))), FormData())


async def _said(request: Request, error: Exception) -> Response:
    assert isinstance(error, errors.GraftbookError)
    visit = _visit(request)
    if no_book(error) and visit.member is not None and visit.member.may("owner"):
        return go("/first")
    status = status_of(error)
    text = shown.refusal(error)
    if visit.member is None or not visit.member.may("owner"):
        text = text.replace(visit.bench.location, "the book")
    problems = [each.sentence() for each in error.problems[:50]] if isinstance(error, errors.BadData) else []
    return _error(visit, status, text, problems)


async def _disk(request: Request, error: Exception) -> Response:
    why = error.strerror if isinstance(error, OSError) and error.strerror else "no reason given"
    return _error(_visit(request), 503, f"The disk would not do that: {why}. Nothing was recorded.")


async def _too_long(request: Request, _error_: Exception) -> Response:
    most = MOST_PHOTO // 1024 // 1024
    text = f"That is too much at once; a picture may have {most} MB. Nothing of it was kept. Send a smaller one."
    return PlainTextResponse(f"{text}\n", 413, {"Connection": "close"})


async def _no_page(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    words = {
        404: "There is no such page. Type a code, or a part of a name, under Find.",
        405: "That address is not for that. Go back and try again.",
    }
    return _error(_visit(request), error.status_code, words.get(error.status_code, "The request could not be read."))


async def _not_in(request: Request, _error_: Exception) -> Response:
    text = "You have not joined, or it was too long ago. Join again; what waits in this phone is kept."
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse({"refused": text, "join": True}, 401)
    if request.method in ("GET", "HEAD"):
        back = request.url.path
        return go(f"/join?to={back}" if back not in ("/", "/join") else "/join")
    return _error(_visit(request), 401, text)


async def _bug(request: Request, _error_: Exception) -> Response:
    text = "This is a bug of ours. The book is as it was. What went wrong stands in the terminal where the bench was started."
    return _error(_visit(request), 500, text)


def _error(visit: Visit, status: int, text: str, problems: Any = ()) -> Response:
    if visit.for_program:
        return JSONResponse({"refused": visible(text), "problems": list(problems)}, status)
    return visit.show("error.html", status, text=text, problems=problems, sent=visit.request.method == "POST")
