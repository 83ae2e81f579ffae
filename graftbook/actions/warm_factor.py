"""The warmth that followed each graft, for sorting what took by it: whole or not told at all."""

from __future__ import annotations

from datetime import date

from sqlmodel import Session

from graftbook.actions.warm import GraftWarmth
from graftbook.season.warmth import BASE_C

DAYS = 14
"""The days after grafting that count: common practice holds unions warm for about two weeks."""


def warmth_after(session: Session, as_of: date, days: int = DAYS, base_c: float = BASE_C) -> dict[int, float | None]:
    """Degree-days in C above a base in the first `days` days of every graft, the day it was made among them, by its id.

    None where one of those days has no temperature or is not over by `as_of`: part of a sum would sort a graft wrongly.
    """
    every = GraftWarmth.of(session, None, as_of)
    young = {graft.id for graft in every.grafts if (as_of - graft.made_on).days + 1 < days}
    return {
        number: None if missing or number in young else round(total, 1)
        for number, (total, missing) in every.since_made(base_c, days).items()
    }
