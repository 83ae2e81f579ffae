"""A season dealt out to days and crews, each share a plan of its own with its own sheet."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from graftbook.actions.plan.circumstances import PlanWords
from graftbook.actions.plan.plan_request import Asked
from graftbook.errors import UsageProblem
from graftbook.fit.plan_deal import StickShare, deal
from graftbook.fit.plan_facts import Pair


@dataclass(frozen=True)
class Share:
    """The lines of one day and crew (None: of all), as their table holds them, numbered from 1."""

    day: date
    crew: int | None
    rows: list[dict[str, Any]]


def check(words: PlanWords) -> None:
    """Raises UsageProblem for a season that cannot be dealt out."""
    if words.days * words.crews > 1 and words.compare is not None:
        raise UsageProblem(
            "either a comparison or days and crews", "both", "Plan the comparison by itself, for one day"
        )
    if words.days < 1 or words.crews < 1:
        raise UsageProblem("one day and one crew or more", f"{words.days} and {words.crews}")


def dealt(words: PlanWords, asked: Asked, rows: list[dict[str, Any]], pairs: Sequence[Pair]) -> Iterator[Share]:
    """The lines of a plan by day and crew, those without a line left out; `pairs` are those behind the rows."""
    shares = words.days * words.crews
    if shares == 1:
        yield Share(asked.day, None, rows)
        return
    of = deal(_sticks(asked, rows, pairs), shares)
    held: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        held[of[row["bundle_id"], row["stick"]]].append(row)
    for number in sorted(held):
        for line, row in enumerate(held[number], start=1):
            row["line"] = line
        day, crew = divmod(number, words.crews)
        yield Share(asked.day + timedelta(days=day), crew + 1 if words.crews > 1 else None, held[number])


def _sticks(asked: Asked, rows: Sequence[dict[str, Any]], pairs: Sequence[Pair]) -> list[StickShare]:
    """Every stick with its grafts, put in order by the rootstock and grade that most of them go on, then by cultivar."""
    on: dict[tuple[int, int], Counter[tuple[str, str]]] = defaultdict(Counter)
    labels: dict[tuple[int, int], str] = {}
    hosts = {host.key: (host.clone, host.grade) for host in asked.question.hosts}
    wants = {want.key: want.label for want in asked.question.wants}
    for row, pair in zip(rows, pairs, strict=True):
        key = row["bundle_id"], row["stick"]
        on[key][hosts[pair.host]] += 1
        labels[key] = wants[pair.want]
    return [
        StickShare(key, stocks.total(), (*min(stocks, key=lambda stock: (-stocks[stock], stock)), labels[key], *key))
        for key, stocks in on.items()
    ]
