"""What grafts are made on: alive and there on the day, with the attempts that went before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk.results import count, first_of
from graftbook.actions.outcome import alive
from graftbook.actions.outcome.plant_days import why_absent
from graftbook.actions.outcome.subjects import GraftWithEnd, standing
from graftbook.book import graft_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.errors import Refused

Host = Plant | Graft

_MOST = 10

_ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")


@dataclass(frozen=True)
class Hosts:
    """Hosts in the order written; `earlier` the attempts made on each before, by its code; `feet` the plant at the foot
    of each, by its code."""

    rows: tuple[Host, ...]
    earlier: Mapping[str, Sequence[GraftWithEnd]]
    feet: Mapping[str, Plant]


def hosts_on(session: Session, rows: Sequence[Host], day: date) -> Hosts:
    """Hosts with what stands on them on a day. Raises Refused naming every one that was dead or not there yet."""
    plants = [row for row in rows if isinstance(row, Plant)]
    grafts = [row for row in rows if isinstance(row, Graft)]
    below = graft_queries.foot_plants(session, grafts)
    feet = {plant.code: plant for plant in plants} | {graft.code: below[graft.id] for graft in grafts}
    stood = standing(session, list({plant.id: plant for plant in feet.values()}.values()), day)
    found = Hosts(tuple(rows), {row.code: _direct(row, stood.get(feet[row.code].id, ())) for row in rows}, feet)
    _refuse_unfit(session, found, grafts, day)
    return found


def _direct(host: Host, here: Sequence[GraftWithEnd]) -> tuple[GraftWithEnd, ...]:
    column = "host_plant_id" if isinstance(host, Plant) else "host_graft_id"
    return tuple(each for each in here if getattr(each.graft, column) == host.id)


def _refuse_unfit(session: Session, hosts: Hosts, grafts: Sequence[Graft], day: date) -> None:
    held = alive.on_plants(session, day, {plant.id for plant in hosts.feet.values()})
    unfit = [f"{graft.code}, {why}" for graft in grafts if (why := why_absent(graft, day)) is not None]
    for graft in grafts:
        end = held.end(graft.id)
        # What went home may be grafted there: that it was grafted shows where it is.
        by_look = end is not None and end.how in alive.NOT_ALIVE and end.under != hosts.feet[graft.code].code
        unfit += [f"{graft.code}, {end.words}"] if by_look and end is not None else []
    dead = alive.seen_dead(session, held, held.grafts)
    for row in hosts.rows:
        unfit += _plant_unfit(row, hosts.feet[row.code], dead, day)
    if unfit:
        found = f"not alive and there on {day.isoformat()}: {first_of(unfit, 20)}"
        raise Refused(found, "", "Leave them out with --except, or mend the day")


def _plant_unfit(row: Host, plant: Plant, dead: Mapping[int, tuple[date, str]], day: date) -> Iterator[str]:
    name = row.code if row.code == plant.code else f"{row.code} on {plant.code}"
    why = why_absent(plant, day, last_day=False)
    if why is not None:
        yield f"{name}, {why}"
    elif plant.id in dead:
        on, graft = dead[plant.id]
        yield f"{name}, whose stock was seen dead on {on.isoformat()} (the look at {graft})"


def attempts_words(hosts: Hosts, day: date) -> tuple[str, ...]:
    """Sentences on the attempts made on each host before; the first ten hosts in words, the rest as a count.

    What was put on the same day, and has not ended, is no earlier attempt: two buds on one stock are set side by side.
    """
    before = {
        row.code: [each for each in hosts.earlier[row.code] if each.graft.made_on != day or each.ended is not None]
        for row in hosts.rows
    }
    earlier = [_earlier_words(row, before[row.code]) for row in hosts.rows if before[row.code]]
    if len(earlier) <= _MOST:
        return tuple(earlier)
    return (*earlier[:_MOST], f"{count(len(earlier) - _MOST, 'more host')} had attempts before.")


def _earlier_words(host: Host, earlier: Sequence[GraftWithEnd]) -> str:
    ended = [f"{each.graft.code} {each.ended}" for each in earlier if each.ended is not None]
    alive = [each.graft.code for each in earlier if each.ended is None]
    stands = f"{', '.join(alive[:6])}{' and more' if len(alive) > 6 else ''} still open" if alive else ""
    what = "; ".join(part for part in (", ".join(ended[-6:]), stands) if part)
    if isinstance(host, Plant) and host.kind == "tree":
        return f"{host.code} carries or carried {count(len(earlier), 'other graft')}: {what}."
    at = len({each.graft.made_on for each in earlier})
    which = f"{_ORDINALS[at]} attempt" if at < len(_ORDINALS) else f"Attempt {at + 1}"
    return f"{which} on {host.code}: {what}."
