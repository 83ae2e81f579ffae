"""Wood to use first: bundles with sticks left whose keeping time is running out, or has."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import Session

from graftbook.actions.desk.results import count
from graftbook.actions.names import wood_kept
from graftbook.actions.names.wood_kept import KeptWood
from graftbook.actions.wood import drawing
from graftbook.season import keeping
from graftbook.season.keeping import Keeping


@dataclass(frozen=True)
class WoodDue:
    """A bundle to use first. `since` is the day from which it is one, `until` the end of the time such wood usually keeps;
    None where the table of keeping is silent."""

    id: int
    code: str
    store: str | None
    since: date | None
    until: date | None
    why: str
    basis: str


def wood_to_use_first(session: Session, day: date) -> tuple[list[WoodDue], list[str]]:
    """What of the wood left on a day is to be used first, by number; and the codes of what was kept past the longest such
    wood is known to keep."""
    urgent: list[WoodDue] = []
    past: list[str] = []
    for wood in wood_kept.kept_wood(session, day):
        if wood.state == wood_kept.PAST:
            past.append(wood.line.code)
        elif wood.kept is not None and wood.state in wood_kept.URGENT:
            urgent.append(_due(wood, wood.kept))
    return urgent, past


def _due(wood: KeptWood, kept: Keeping) -> WoodDue:
    line, left = wood.line, wood.left
    sticks = f"{count(left.left, 'stick')} left" if left.left else drawing.left_phrase(0, left.buds_in_hand)
    usual = timedelta(days=kept.usual_days) if kept.usual_days is not None else None
    until = line.cut_on + usual if line.cut_on is not None and usual is not None else None
    return WoodDue(line.id, line.code, line.store, _since(wood, kept), until, f"{sticks}, {kept.words}", kept.basis)


def _since(wood: KeptWood, kept: Keeping) -> date | None:
    """By its age from when the last share of its time began, by what was seen from that look, whichever came first."""
    days = kept.usual_days if kept.usual_days is not None else kept.longest_days
    dates = []
    if wood.line.cut_on is not None and days is not None:
        dates.append(wood.line.cut_on + timedelta(days=round(days * (1 - keeping.LAST_SHARE)) + 1))
    if wood.looks and wood.looks[-1][1] in keeping.GOING_OFF:
        dates.append(wood.looks[-1][0])
    return min(dates, default=None)
