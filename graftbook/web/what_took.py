"""What took: counts, comparisons, the chance over the season and the review, on a screen with the same sentences."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlencode

from starlette.responses import Response
from starlette.routing import Route

from graftbook.actions.compare import comparison
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.outcome import endpoints
from graftbook.actions.review import curve, season_review
from graftbook.actions.takes import factors, take_table
from graftbook.errors import GraftbookError, Refused
from graftbook.web import shown
from graftbook.web.printing import in_folder
from graftbook.web.visit import Visit, page

AXES = tuple(axis.name for axis in curve.curve_axes.AXES)


def _asked(visit: Visit, by: str = "species,method") -> dict[str, str]:
    usual = {"by": by, "endpoint": "took", "season": "", "as_of": "", "compare": "", "x": "date"}
    return {name: visit.asked(name) or value for name, value in usual.items()}


@page()
async def took(visit: Visit) -> Response:
    """Rates by any factors."""
    asked = _asked(visit)
    return await _answered(visit, "What took", asked, lambda at: take_table.take(
        at, asked["by"].split(","), asked["endpoint"], asked["as_of"] or None, asked["season"] or None))  # fmt: skip


@page()
async def compared(visit: Visit) -> Response:
    """Ways of grafting, one against another."""
    asked = _asked(visit)
    if not asked["compare"]:
        return visit.show(
            "took.html",
            **_form(asked, "One against another"),
            blocks=(),
            notes=(),
            title="",
            refused="",
            picture="",
            bars=(),
        )
    return await _answered(visit, "One against another", asked, lambda at: comparison.compare(
        at, asked["compare"], asked["endpoint"], asked["as_of"] or None, asked["season"] or None))  # fmt: skip


@page()
async def over_time(visit: Visit) -> Response:
    """The chance over the date, the age of the wood or a diameter, drawn where the counts carry a line."""
    asked = _asked(visit, "species")
    picture = "/took/curve.svg?" + urlencode({name: asked[name] for name in ("x", "by", "endpoint", "as_of", "season")})
    return await _answered(visit, "The chance over the season", asked, lambda at: _curve(at, asked, None), picture)


@page()
async def drawing(visit: Visit) -> Response:
    """The drawing of that."""
    asked = _asked(visit, "species")
    made = await visit.read(lambda at: in_folder("curve.svg", lambda file: _curve(at, asked, file)))
    rules = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"}
    return Response(made, media_type="image/svg+xml", headers=rules)


def _curve(at: Desk, asked: dict[str, str], file: Path | None) -> Report:
    return curve.take_curve(
        at,
        asked["x"],
        asked["by"].split(","),
        asked["endpoint"],
        asked["as_of"] or None,
        asked["season"] or None,
        output=file,
    )


@page()
async def review(visit: Visit) -> Response:
    """The season in sentences."""

    def work(at: Desk) -> Response:
        report = season_review.take_review(at, visit.asked("season"))
        sections: dict[str, list[str]] = {}
        for row in report.rows:
            sections.setdefault(row.section, []).append(row.sentence)
        return visit.show("review.html", title=report.title, sections=sections, notes=shown.notes(report))

    return await visit.read(work)


async def _answered(
    visit: Visit, heading: str, asked: dict[str, str], work: Callable[[Desk], Report], picture: str = ""
) -> Response:
    """The page with what was asked, or with why it cannot be answered, above the same form."""

    def made(at: Desk) -> Response:
        report = work(at)
        drawn = picture if picture and any(getattr(row, "chance", None) is not None for row in report.rows) else ""
        bars = [_bar(row) for row in report.rows if getattr(row, "rate", None) is not None] if not picture else []
        return visit.show(
            "took.html", **_form(asked, heading), blocks=shown.blocks(report, at), notes=shown.notes(report), title=report.title,
            refused="", picture=drawn, bars=bars if all(bars) else (),
        )  # fmt: skip

    try:
        return await visit.read(made)
    except GraftbookError as error:
        status = visit.request.app.state.status_of(error)
        if isinstance(error, Refused):
            status = 409
        return visit.show(
            "took.html",
            status,
            **_form(asked, heading),
            blocks=(),
            notes=(),
            title="",
            refused=shown.refusal(error),
            picture="",
            bars=(),
        )


def _bar(row) -> dict[str, object] | None:
    """One rate as a bar: its label, k of n, and where its range and itself lie, in hundredths."""
    names = getattr(row, "factors", None)
    if names is None or row.low is None or row.high is None:
        return None
    label = " · ".join(str(getattr(row, name) or "not recorded") for name in names)
    return {"label": label, "of": row.k_of_n, "low": 100 * row.low, "high": 100 * row.high, "rate": 100 * row.rate}


def _form(asked: dict[str, str], heading: str) -> dict:
    return {
        "asked": asked,
        "heading": heading,
        "endpoints": endpoints.ENDPOINTS,
        "factors": tuple(factors.FACTORS),
        "axes": AXES,
    }


ROUTES = (
    Route("/took", took),
    Route("/took/compare", compared),
    Route("/took/curve", over_time),
    Route("/took/curve.svg", drawing),
    Route("/took/review", review),
)
