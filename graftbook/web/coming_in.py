"""Coming in: by the key that opens once, by a code to join with; who has joined, and sending one away."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response
from starlette.routing import Route

from graftbook.errors import UsageProblem
from graftbook.web.doors import in_groups
from graftbook.web.visit import MayNot, Visit, cookie_name, go, page, with_cookie


@page(None)
async def enter(visit: Visit) -> Response:
    """Let the owner in, whose browser was opened with the key."""
    member = visit.bench.doors.open(visit.asked("key") or "", "")
    if member is None:
        if visit.member is not None:
            return go("/")
        return visit.show("join.html", 403, can_join=bool(visit.bench.doors.codes), used=True, code="", to="/")
    return with_cookie(visit.bench, go("/"), member)


@page(None)
async def join(visit: Visit) -> Response:
    """Ask for the code and a name."""
    doors = visit.bench.doors
    to, code = local(visit.asked("to")), visit.asked("code") or ""
    return visit.show("join.html", can_join=bool(doors.codes), used=False, code=code[:20], to=to)


@page(None)
async def joined(visit: Visit) -> Response:
    """Let someone in who has the code."""
    doors, client = visit.bench.doors, visit.request.client
    address = client.host if client is not None else ""
    if doors.shut(address):
        raise MayNot(
            "too many wrong codes were tried", "", "Wait ten minutes, and look at the code on the laptop again"
        )
    name = visit.typed("name")
    if name is None:
        raise UsageProblem("your name, which stands with what you record", "none", "Go back and write it")
    member = doors.join(visit.typed("code") or "", name, address)
    if member is None:
        raise MayNot("that is not the code to join with", "", "Look at the laptop again: it shows the code in use now")
    return with_cookie(visit.bench, go(local(visit.typed("to"))), member)


@page("look")
async def leave(visit: Visit) -> Response:
    """Leave, on this phone."""
    visit.bench.doors.members.end(visit.me.id)
    answer = go("/join")
    answer.delete_cookie(cookie_name(visit.bench), path="/")
    return answer


@page("owner")
async def who(visit: Visit) -> Response:
    """Who has joined, and the codes to join with."""
    doors = visit.bench.doors
    codes = {role: in_groups(code) for role, code in doors.codes.items()}
    return visit.show("who.html", members=[_shown(each) for each in doors.members.every()], codes=codes)


@page("owner")
async def end(visit: Visit) -> Response:
    """Send someone away."""
    visit.bench.doors.members.end(visit.typed("member") or "")
    return go("/who")


def _shown(member):  # the moment to the minute
    return replace(member, joined=member.joined[:16].replace("T", " "))


def local(to: str | None) -> str:
    """A path of this server; / for anything else."""
    return to if to is not None and to.startswith("/") and not to.startswith("//") and "\\" not in to else "/"


ROUTES = (
    Route("/enter", enter),
    Route("/join", join),
    Route("/join", joined, methods=["POST"]),
    Route("/leave", leave, methods=["POST"]),
    Route("/who", who),
    Route("/who/end", end, methods=["POST"]),
)
