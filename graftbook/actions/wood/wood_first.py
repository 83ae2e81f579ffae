"""Wood to use first: bundles with sticks left whose keeping time is running out, or has."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.desk.results import count
from graftbook.actions.names import wood_kept
from graftbook.actions.names.wood_kept import KeptWood
from graftbook.actions.wood import drawing
from graftbook.book.round_queries import RoundWood
from graftbook.season import keeping
from graftbook.season.keeping import Keeping


class WoodDue(NamedTuple):
    """A bundle to use first. `since` is the day from which it is one, `until` the end of the time such wood usually keeps;
    None where the table of keeping is silent."""

    line: RoundWood
    since: date | None
    until: date | None
    why: str
    basis: str


def wood_to_use_first(session: Session, day: date) -> tuple[list[WoodDue], list[str]]:
    """What of the wood left on a day is to be used first, by number; and the codes of what was kept past the longest such
    wood is known to keep."""
    held = list(wood_kept.kept_wood(session, day))
    urgent = [_due(wood, wood.kept) for wood in held if wood.kept is not None and wood.state in wood_kept.URGENT]
    return urgent, [wood.line.code for wood in held if wood.state == wood_kept.PAST]


def _due(wood: KeptWood, kept: Keeping) -> WoodDue:
    line, left = wood.line, wood.left
    sticks = f"{count(left.left, 'stick')} left" if left.left else drawing.left_phrase(0, left.buds_in_hand)
    usual = timedelta(days=kept.usual_days) if kept.usual_days is not None else None
    until = line.cut_on + usual if line.cut_on is not None and usual is not None else None
    return WoodDue(line, _since(wood, kept), until, f"{sticks}, {kept.words}", kept.basis)


def _since(wood: KeptWood, kept: Keeping) -> date | None:
    """By its age from when the last share of its time began, by what was seen from that look, whichever came first."""
    days = kept.usual_days if kept.usual_days is not None else kept.longest_days
    dates = []
    if wood.line.cut_on is not None and days is not None:
        dates.append(wood.line.cut_on + timedelta(days=round(days * (1 - keeping.LAST_SHARE)) + 1))
    if wood.looks and wood.looks[-1][1] in keeping.GOING_OFF:
        dates.append(wood.looks[-1][0])
    return min(dates, default=None)
