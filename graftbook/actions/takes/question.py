"""What take and take compare are asked, once what was typed has been understood."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.outcome.endpoints import COUNTED_AS_KNOWN, ENDPOINTS, OUTCOMES
from graftbook.book.columns import Span
from graftbook.errors import UsageProblem
from graftbook.season import turn

UNITS = ("graft", "stock", "bud", "tree")

ATTEMPTS = ("any", "first")
BASES = ("decided", "made", "headed-back")


FIRST_ONLY = "Only first attempts: what was grafted on a stock after the first day it was grafted is left out."
"""What is said under counts of first attempts."""


@dataclass(frozen=True)
class TakeQuestion:
    """What is asked: which endpoint by which day, of grafts made in which season (None: every one), what is counted (one of
    UNITS; `graft` keeps buds in rows of their own), whether only the first attempt on a stock counts, and of what a rate is
    (one of BASES): of those decided, of all made, or of all whose stock was headed back, among which what waits or is not
    known has not got there yet."""

    endpoint: str
    as_of: date
    hemisphere: str
    season: str | None = None
    unit: str = "graft"
    attempt: str = "any"
    of: str = "decided"

    @property
    def span(self) -> Span:
        """Grafts made in the season asked about and not after the as-of day. Raises UsageProblem for a season that is none."""
        if self.season is None:
            return Span(None, self.as_of)
        first, last = turn.season_bounds(self.season, self.hemisphere)
        return Span(first, min(self.as_of, last))

    @property
    def by_host(self) -> bool:
        """Whether plants are counted, not grafts."""
        return self.unit in ("stock", "tree")

    @property
    def decided(self) -> frozenset[str]:
        """The outcomes that count in n: those decided, losses that were not the union among them where the endpoint counts
        these; all of them where the rate is of all made."""
        if self.of != "decided":
            return frozenset(OUTCOMES)
        lost = ("lost",) if self.endpoint in COUNTED_AS_KNOWN else ()
        return frozenset({"yes", "failed", *lost})

    @property
    def which(self) -> str:
        """`grafts of 2026-27`: what is counted."""
        what = {"stock": "stocks grafted", "tree": "trees grafted"}.get(self.unit, f"{self.unit}s")
        return f"{what} of {self.season if self.season is not None else 'all seasons'}"

    @property
    def of_what(self) -> str:
        """`, of all made`, where that was asked; nothing for a rate of those decided, which the notes name."""
        return {"made": ", of all made", "headed-back": ", of those headed back"}.get(self.of, "")

    @property
    def nothing(self) -> str:
        """What is read where nothing is there to be counted."""
        if self.season is None:
            return "Nothing to show."
        seasons = "See the seasons there are with: graftbook take --by season"
        return f"No graft made in the season {self.season} by {self.as_of.isoformat()}. {seasons}"

    @property
    def facts(self) -> dict[str, Any]:
        """What belongs to a report that answers it."""
        return {"as_of": self.as_of, "season": self.season, "endpoint": self.endpoint, "of": self.of}


def ask(
    desk: Desk, endpoint: str, as_of: str | None, season: str | None = None, unit: str = "graft", attempt: str = "any",
    of: str = "decided",
) -> TakeQuestion:  # fmt: skip
    """The question as typed. `as_of` None means today, `season` None every season. Raises UsageProblem for a word that is
    none of those there are."""
    for what, words, value in (
        ("an endpoint is one of", ENDPOINTS, endpoint), ("the unit counted is graft or stock, or one of", UNITS, unit),
        ("the attempts counted are one of", ATTEMPTS, attempt), ("a rate is of one of", BASES, of),
    ):  # fmt: skip
        if value not in words:
            raise UsageProblem(f"{what} {', '.join(words)}", repr(value))
    if season is not None:
        turn.season_bounds(season, desk.settings.hemisphere)
    return TakeQuestion(endpoint, desk.day(as_of, future=True), desk.settings.hemisphere, season, unit, attempt, of)
