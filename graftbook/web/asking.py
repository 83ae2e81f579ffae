"""Forms: what one asks for, how it comes back with what was typed when an action refuses it, and what records it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from starlette.responses import Response
from starlette.routing import Route

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.errors import GraftbookError
from graftbook.visible import faults
from graftbook.web import shown
from graftbook.web.visit import OldForm, Visit, page

Choices = Sequence[tuple[str, str]]


@dataclass(frozen=True)
class FormLine:
    """One field of a form: `kind` is text, number, select, tick or long; `choices` what a select offers, as value and words, or
    what a text suggests; `apart` puts it under "More"."""

    name: str
    label: str
    hint: str = ""
    kind: str = "text"
    choices: Choices = ()
    value: str = ""
    must: bool = False
    apart: bool = False


@dataclass(frozen=True)
class Asking:
    """One form. `entries` may ask the book what it offers; `record` does it; `to` is the page that follows,
    `skip` the one for who leaves it out ('': it cannot be)."""

    path: str
    title: str
    button: str
    entries: Callable[[Desk], Sequence[FormLine]]
    record: Callable[[Visit, Desk], Recorded]
    to: Callable[[Recorded], str]
    about: str = ""
    needs: str = "record"
    skip: str = ""


def routes(form: Asking) -> tuple[Route, Route]:
    """The addresses that show the form and take it."""

    @page(form.needs)
    async def asked(visit: Visit) -> Response:
        return await _shown(visit, form, visit.request.query_params, 200, "")

    @page(form.needs)
    async def sent(visit: Visit) -> Response:
        try:
            return await visit.record(lambda at: form.record(visit, at), form.to)
        except OldForm:
            raise
        except GraftbookError as error:
            if visit.for_program:
                raise
            typed = {name: value for name, value in visit.form.items() if isinstance(value, str) and not faults(value)}
            return await _shown(visit, form, typed, visit.request.app.state.status_of(error), shown.refusal(error))

    return Route(form.path, asked), Route(form.path, sent, methods=["POST"])


async def _shown(visit: Visit, form: Asking, typed: Mapping[str, str], status: int, refused: str) -> Response:
    entries = await visit.read(form.entries)
    filled = [replace(each, value=typed.get(each.name, "" if refused else each.value)) for each in entries]
    return visit.show("form.html", status, form=form, entries=filled, refused=refused)


def first_code(other: str) -> Callable[[Recorded], str]:
    """The page of the first thing that was recorded, else another."""
    return lambda done: f"/{done.codes[0]}" if done.codes else other
