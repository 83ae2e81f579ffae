"""The days a graft is judged by: from when, and until which season's end."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

from graftbook.actions.outcome.endpoints import Frame
from graftbook.season import turn


@lru_cache(maxsize=256)
def judge_days(method: str) -> int:
    """Days after which a take by this method may be judged: from the table, 60 where it lacks the method."""
    from graftbook.trade import methods

    found = methods.find(method)
    return found.judge_days if found is not None else methods.USUAL_JUDGE_DAYS


@lru_cache(maxsize=8192)
def frame(made_on: date, days: int, hemisphere: str, as_of: date) -> Frame:
    """The days a graft made on a day is judged by."""
    return Frame(made_on, made_on + timedelta(days=days), turn.growth_deadline(made_on, hemisphere), as_of)
