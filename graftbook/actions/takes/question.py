"""What take and take compare are asked, once what was typed has been understood."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from graftbook.actions.desk.desk import Desk
from graftbook.actions.outcome.endpoints import ENDPOINTS
from graftbook.book.columns import Span
from graftbook.errors import UsageProblem
from graftbook.season import turn

UNITS = ("graft", "stock", "bud", "tree")

ATTEMPTS = ("any", "first")


@dataclass(frozen=True)
class TakeQuestion:
    """What is asked: which endpoint by which day, of grafts made within two days (None: no bound), what is counted (one of
    UNITS; `graft` keeps buds in rows of their own), and whether only the first attempt on a stock counts."""

    endpoint: str
    as_of: date
    hemisphere: str
    made: tuple[date | None, date | None] = (None, None)
    unit: str = "graft"
    attempt: str = "any"

    @property
    def span(self) -> Span:
        """Grafts made within the days asked about and not after the as-of day."""
        return Span(self.made[0], self.as_of if self.made[1] is None else min(self.as_of, self.made[1]))

    @property
    def by_host(self) -> bool:
        """Whether plants are counted, not grafts."""
        return self.unit in ("stock", "tree")


def ask(
    desk: Desk, endpoint: str, as_of: str | None, season: str | None, unit: str = "graft", attempt: str = "any"
) -> TakeQuestion:
    """The question as typed. `as_of` None means today, `season` None every season. Raises UsageProblem for a word that is
    none of those there are."""
    for what, words, value in (
        ("an endpoint is one of", ENDPOINTS, endpoint), ("the unit counted is graft or stock, or one of", UNITS, unit),
        ("the attempts counted are one of", ATTEMPTS, attempt),
    ):  # fmt: skip
        if value not in words:
            raise UsageProblem(f"{what} {', '.join(words)}", repr(value))
    bounds = turn.season_bounds(season, desk.settings.hemisphere) if season is not None else (None, None)
    return TakeQuestion(endpoint, desk.day(as_of, future=True), desk.settings.hemisphere, bounds, unit, attempt)
