"""Wood to use first: bundles with sticks left whose keeping time is running out, or has."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import Session

from graftbook.actions.desk.results import count
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import drawing
from graftbook.book import match_queries, round_queries, wood_queries
from graftbook.book.balances import Balance, balances
from graftbook.book.round_queries import WoodLine
from graftbook.season import keeping
from graftbook.season.keeping import Keeping

URGENT = frozenset({"use first", "past the usual time"})


@dataclass(frozen=True)
class WoodDue:
    """A bundle to use first. `since` is the day from which it is one, `until` the end of the time such wood usually keeps;
    None where the table of keeping is silent."""

    code: str
    cultivar: str | None
    store: str | None
    since: date | None
    until: date | None
    why: str
    basis: str


@dataclass(frozen=True)
class WoodFirst:
    """Bundles to use first, by number, and the codes of those kept past the longest such wood is known to keep."""

    urgent: tuple[WoodDue, ...]
    past: tuple[str, ...]


def wood_to_use_first(session: Session, day: date) -> WoodFirst:
    """What of the wood left on a day is to be used first, and what has lain too long to count on."""
    left = {bundle_id: held for bundle_id, held in balances(session, as_of=day).items() if held.any_left}
    looked = match_queries.inspections(session, day)
    own = own_tables.own_keeping(session)
    stays = wood_queries.temperatures(session)
    longest: dict[tuple[object, ...], int | None] = {}
    urgent: list[WoodDue] = []
    past: list[str] = []
    for line in round_queries.wood(session, left):
        looks, band = looked.get(line.id, []), (line.taxon, line.wood_kind, line.temperature_c)
        moved = stays.get(line.id, ())
        if not moved and _too_old(line, longest.get(band), looks, day):
            past.append(line.code)
            continue
        kept = keeping.clock(line.taxon or "", line.wood_kind, line.cut_on, line.temperature_c, looks, day, own, moved)
        if not moved:
            longest[band] = kept.longest_days
        if kept.state == "past the longest known":
            past.append(line.code)
        elif kept.state in URGENT:
            urgent.append(_due(line, kept, looks, left[line.id]))
    return WoodFirst(tuple(urgent), tuple(past))


def _too_old(line: WoodLine, longest: int | None, looks: list[tuple[date, str]], day: date) -> bool:
    """Known without asking the clock again, for wood of a kind it was asked about before."""
    if longest is None or line.cut_on is None or (looks and looks[-1][1] == "dead"):
        return False
    return (day - line.cut_on).days > longest


def _due(line: WoodLine, kept: Keeping, looks: list[tuple[date, str]], held: Balance) -> WoodDue:
    left = f"{count(held.left, 'stick')} left" if held.left else drawing.left_phrase(0, held.buds_in_hand)
    why = f"{left}, {kept.words}"
    return WoodDue(line.code, line.cultivar, line.store, _since(line, kept, looks), _until(line, kept), why, kept.basis)


def _since(line: WoodLine, kept: Keeping, looks: list[tuple[date, str]]) -> date | None:
    """By its age from when the last share of its time began, by what was seen from that look, whichever came first."""
    days = kept.usual_days if kept.usual_days is not None else kept.longest_days
    known = line.cut_on is not None and days is not None
    by_age = line.cut_on + timedelta(days=round(days * (1 - keeping.LAST_SHARE)) + 1) if known else None
    by_look = looks[-1][0] if looks and looks[-1][1] in ("swelling", "drying", "mould") else None
    dates = [on for on in (by_age, by_look) if on is not None]
    return min(dates, default=None)


def _until(line: WoodLine, kept: Keeping) -> date | None:
    if line.cut_on is None or kept.usual_days is None:
        return None
    return line.cut_on + timedelta(days=kept.usual_days)
