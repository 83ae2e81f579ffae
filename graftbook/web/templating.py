"""The templates of the pages, and what every one of them can say."""

from __future__ import annotations

from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse
from uuid6 import uuid7

from graftbook import __version__
from graftbook.visible import visible
from graftbook.web import shown
from graftbook.web.visit import Visit


class Templates:
    """Every page's frame."""

    def __init__(self) -> None:
        self._made = Environment(
            loader=PackageLoader("graftbook.web"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
            lstrip_blocks=True,
        )  # fmt: skip
        self._made.globals.update(uid=lambda: str(uuid7()), version=__version__)
        self._made.filters.update(word=shown.word, linked=shown.linked, visible=visible)

    def page(self, template: str, visit: Visit, status: int = 200, **words: Any) -> HTMLResponse:
        """A page of a template; `done` is what the last tap recorded, None where there was none."""
        asked = visit.request.query_params
        entry = asked.get("entry", "")
        done = visit.bench.said(int(entry)) if entry.isdecimal() and len(entry) < 10 else None
        member = visit.member
        words = {
            "done": done, "again": "again" in asked, "member": member, "path": visit.request.url.path,
            "token": visit.bench.doors.token(member), "may_record": member is not None and member.may("record"),
            "is_owner": member is not None and member.may("owner"), **words,
        }  # fmt: skip
        return HTMLResponse(self._made.get_template(template).render(words), status)
