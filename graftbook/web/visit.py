"""One request of one member: what was asked, what was typed, and the ways to answer it.

A page is an async function that takes a `Visit`; `page` makes of it what the server calls, after it has asked who comes, and
whether they may. What is sent to change anything carries the form's token and a uid of its own, under which it is recorded
once however often it is sent.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import wraps
from typing import Any, TypeVar
from uuid import UUID

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.errors import AlreadyRecorded, GraftbookError, Refused, UsageProblem
from graftbook.visible import faults
from graftbook.web.bench import Bench
from graftbook.web.kept import Member

Value = TypeVar("Value")
MOST_FILES, MOST_FIELDS = 12, 2_000
"""Files and fields a form may have."""
MOST_NUMBER = 999_999_999
"""The highest number in an address, beyond which no database of ours counts."""
Answer = Callable[["Visit"], Awaitable[Response]]


class NotIn(Exception):
    """Someone who has not joined asks for a page of members."""


class MayNot(GraftbookError):
    """A member asks for what their role does not allow."""

    slug = "may-not"


class OldForm(GraftbookError):
    """A form came back that was not made for who sends it."""

    slug = "old-form"


class Visit:
    """One request of one member, who is None only on pages that need nobody."""

    def __init__(self, request: Request, member: Member | None, form: FormData) -> None:
        self.request, self.member, self.form = request, member, form
        self.bench: Bench = request.app.state.bench

    @property
    def me(self) -> Member:
        """The member. Raises NotIn on a page that needs nobody."""
        if self.member is None:
            raise NotIn
        return self.member

    @property
    def for_program(self) -> bool:
        """Whether the page's own script asks, and wants no page in return."""
        return "application/json" in self.request.headers.get("accept", "")

    def asked(self, name: str) -> str | None:
        """A word of the address, None where it is not there or empty."""
        return _sound(name, self.request.query_params.get(name, "")).strip() or None

    def typed(self, name: str) -> str | None:
        """What was typed into a field of the form, None where nothing was."""
        value = self.form.get(name)
        return (_sound(name, value).strip() or None) if isinstance(value, str) else None

    def words(self, *names: str) -> dict[str, Any]:
        """What was typed into several fields, by name; None where nothing was."""
        return {name: self.typed(name) for name in names}

    def chosen(self, name: str) -> list[str]:
        """Everything ticked under one name."""
        return [_sound(name, value) for value in self.form.getlist(name) if isinstance(value, str)]

    def number(self) -> int:
        """The number in the address. Raises HTTPException for one that no book comes to."""
        found: int = self.request.path_params["number"]
        if found > MOST_NUMBER:
            raise HTTPException(404)
        return found

    async def read(self, work: Callable[[Desk], Value]) -> Value:
        """What some work at the desk comes to that writes nothing."""
        return await self.bench.read(self.member, work)

    async def record(self, work: Callable[[Desk], Recorded], back: str | Callable[[Recorded], str]) -> Response:
        """Record something once, and go back to a page that says so."""
        try:
            done = await self.bench.write(self.me, self.uid(), work)
            again = False
        except AlreadyRecorded as error:
            done, again = Recorded(error.line, error.entry_id), True
        to = back if isinstance(back, str) else back(done)
        mark = f"{'&' if '?' in to else '?'}entry={done.entry_id}" if done.entry_id is not None else ""
        to += mark + ("&again=1" if again else "")
        if self.for_program:
            notes = [*done.notes, *done.cautions]
            return JSONResponse(
                {"recorded": done.line, "entry": done.entry_id, "again": again, "notes": notes, "to": to}
            )
        return go(to)

    def uid(self) -> str:
        """The uid the form came with. Raises OldForm for a form without one."""
        try:
            uid = UUID(self.typed("uid") or "")
        except ValueError:
            uid = None
        if uid is None or uid.version != 7:
            raise OldForm("this form cannot be told from another", "", "Open the page again and send it anew")
        return str(uid)

    def show(self, template: str, status: int = 200, **words: Any) -> Response:
        """A page of one of the templates."""
        shown = self.request.app.state.pages.page(template, visit=self, status=status, **words)
        assert isinstance(shown, Response)
        return shown


def _sound(name: str, text: str) -> str:
    """The text as it is. Raises UsageProblem for one that is none, such as with a NUL in it, which no book keeps."""
    if wrong := faults(text):
        raise UsageProblem(f"text for {name}", wrong, "Type it again")
    return text


def go(to: str) -> Response:
    """Go to a page of this server, by GET."""
    assert to.startswith("/") and not to.startswith("//")
    return RedirectResponse(to, 303)


def page(needs: str | None = "look") -> Callable[[Answer], Callable[[Request], Awaitable[Response]]]:
    """A page for members who may do what a role may; None for everybody."""

    def made(answer: Answer) -> Callable[[Request], Awaitable[Response]]:
        @wraps(answer)
        async def answered(request: Request) -> Response:
            bench: Bench = request.app.state.bench
            member = bench.doors.bearer(request.cookies.get(cookie_name(bench)))
            request.state.visit = visit = Visit(request, member, FormData())
            if member is None and needs is not None:
                raise NotIn
            if member is not None and needs is not None and not member.may(needs):
                raise MayNot(_WHO_MAY[needs], "", "Ask the person at the book")
            if request.method != "POST":
                return await answer(visit)
            async with request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS) as visit.form:
                if not bench.doors.made_here(visit.typed("token") or "", member):
                    raise OldForm("this form is too old, or was made for someone else", "", "Open the page again")
                return await answer(visit)

        return answered

    return made


_WHO_MAY = {
    "record": "you joined to look, not to record",
    "owner": "only the person at the book itself may do that",
}


def cookie_name(bench: Bench) -> str:
    """The cookie of this bench; of one that is served with TLS only over that."""
    return f"__Host-bench-{bench.address.port}" if bench.address.secure else f"bench-{bench.address.port}"


def with_cookie(bench: Bench, answer: Response, member: Member) -> Response:
    """The answer with the cookie that lets a member in."""
    answer.set_cookie(
        cookie_name(bench), bench.doors.cookie(member), max_age=30 * 86_400, httponly=True, samesite="strict",
        secure=bench.address.secure, path="/",
    )  # fmt: skip
    return answer


def refused_undo(who: str) -> Refused:
    """What is said to one who would undo another's entry."""
    return Refused(f"that entry is {who}'s", "", "Ask them, or the person at the book, to undo it")
