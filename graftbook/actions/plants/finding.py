"""find: what a plant, graft or bundle without its tag may be. Every candidate is shown with its year, none is chosen."""

from __future__ import annotations

import re
from calendar import month_name
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk import naming, old_codes
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count, filled
from graftbook.actions.names import lineages
from graftbook.actions.outcome import subjects
from graftbook.actions.plants import find_matching
from graftbook.actions.plants.find_matching import Held, Sought, Thing
from graftbook.actions.plants.find_names import NamesToFind
from graftbook.book import asking, finding_queries, graft_queries, living_queries, stacks
from graftbook.book.balances import Balance, balances
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.errors import UsageProblem
from graftbook.lineage import positions

WITHIN_MM = 100.0

_WHEN = re.compile(r"\d{4}(-(0[1-9]|1[0-2]))?$")

_MONTH = re.compile(r"([A-Za-z]{3,9})\.? (\d{4})$")


@dataclass(frozen=True)
class FindWords:
    """What is known of a thing, as typed; None means it was not said. `made` is a day, a month or a year; `mark` a word of
    its note, position, tie, lot or container, such as the colour of a mark; `beside` the plants it stands next to."""

    words: str | None = None
    host: str | None = None
    bearing: str | None = None
    height: str | None = None
    within: str | None = None
    place: str | None = None
    row: str | None = None
    order: str | None = None
    beside: str | None = None
    mark: str | None = None
    made: str | None = None


@dataclass(frozen=True)
class FoundRow:
    """One candidate. `year` is that of the day it was made, came or was cut, None where that is not known; `state` the last
    look at a graft, `dead` for a dead plant; `why` says how it answers to what was asked. Height in mm."""

    code: str
    kind: str
    name: str | None
    host: str | None
    place: str | None
    row: str | None
    order: int | None
    limb: str | None
    bearing_deg: int | None
    height_mm: float | None
    on: date | None
    year: int | None
    state: str | None
    why: str
    shown: ClassVar = ("code", "kind", "name", "year", "state", "why")
    headings: ClassVar = {"state": "last seen", "why": "where"}


def find(desk: Desk, words: FindWords, limit: int = 200) -> Report:
    """Every plant, graft and bundle that may be what is meant, by code; nothing is chosen.

    What was not recorded of a thing rules it out only where a name, a place or a day was asked. Raises UsageProblem when
    nothing was said, NotFound for a host or neighbour the book has not got.
    """
    if not any(getattr(words, field.name) for field in fields(words)):
        raise UsageProblem("something to find it by", "nothing", 'Such as: graftbook find "pearm" --place "home row"')
    with lineages.all_staying(), desk.book.read() as session:
        held = _held(session, words)
        sought = _sought(session, desk, words, held)
        things = [thing for thing in find_matching.candidates(held, sought) if find_matching.answers(thing, sought)]
        things.sort(key=lambda thing: naming.key(thing.code) != "".join(sought.words))
        old = _by_old_tag(session, held, sought)
        things += [thing for thing in old if thing not in things]
        left = balances(session, [thing.id for thing in things[:limit] if thing.kind == "wood"])
        rows = [_row(desk, thing, sought, left) for thing in things[:limit]]
        rows = [replace(row, why=f"its old tag says {old[thing]}; {row.why}") if thing in old else row
                for thing, row in zip(things, rows, strict=False)]  # fmt: skip
        rows = _with_looks(session, rows, desk.today)
        notes = (_none(words, held),) if not things else ()
    if len(things) > limit:
        notes = (f"{len(things) - limit:,} more: say more of it, or --limit.",)
    return Report(FoundRow, tuple(rows), notes, {"as_of": desk.today, "found": len(things)})


def _held(session: Session, words: FindWords) -> Held:
    """What may be meant: everything in the book, or the grafts on one host."""
    plants, called = finding_queries.plants(session), NamesToFind.of(session, words.words is not None)
    if words.host is None:
        return Held(plants, finding_queries.grafts(session), finding_queries.bundles(session), called)
    hosts = subjects.things_meant(session, words.host)
    plants_named = [host.id for host in hosts if isinstance(host, Plant)]
    grafts_named = [host.id for host in hosts if not isinstance(host, Plant)]
    ids = frozenset(graft.id for graft in stacks.on_plants(session, plants_named, grafts_named))
    below = {one.id for host in hosts if not isinstance(host, Plant) for one in graft_queries.stack(session, host)}
    return Held(plants, finding_queries.grafts(session, ids | below), (), called, ids)


def _sought(session: Session, desk: Desk, words: FindWords, held: Held) -> Sought:
    if words.height is None and words.within is not None:
        raise UsageProblem("--within beside --height", "--within alone", "Such as: --height 54in --within 4in")
    spot = positions.Spot(
        positions.bearing(words.bearing) if words.bearing else None,
        desk.length(words.height, units.HEIGHT) if words.height else None,
    )
    within = desk.length(words.within, units.HEIGHT) if words.within else WITHIN_MM
    code, rest = find_matching.code_among(words.words)
    return Sought(
        find_matching.pieces(rest, "a name or code"), code, spot, within, find_matching.pieces(words.place, "--place"),
        find_matching.pieces(words.row, "--row"), find_matching.order(words.order), _neighbours(session, words.beside, held),
        find_matching.pieces(words.mark, "--mark"), _when(desk, words.made),
    )  # fmt: skip


def _neighbours(session: Session, text: str | None, held: Held) -> frozenset[str] | None:
    """Codes of the plants next in the row to each plant named; between two, those next to both."""
    if text is None:
        return None
    rows = subjects.things_meant(session, text)
    named = [row.code for row in rows if isinstance(row, Plant)]
    if len(named) != len(rows):
        raise UsageProblem("plants it stands beside, such as P12 or P12,P14", text)
    in_order = find_matching.rows_in_order(held.plants)
    beside = [find_matching.next_in_row(code, in_order) for code in named]
    return frozenset.intersection(*beside) - frozenset(named)


def _when(desk: Desk, text: str | None) -> str | None:
    """The beginning of an ISO date: a year, a month or a day. Raises UsageProblem."""
    if text is None:
        return None
    said = text.strip()
    if _WHEN.match(said):
        return said
    if (match := _MONTH.match(said)) is not None:
        months = [n for n, name in enumerate(month_name) if n and name.casefold().startswith(match[1].casefold())]
        if len(months) == 1:
            return f"{match[2]}-{months[0]:02}"
    try:
        return desk.day(said).isoformat()
    except UsageProblem as error:
        raise UsageProblem(
            "a day such as 2027-04-10, a month such as 2027-04 or April 2027, or a year", repr(text)
        ) from error


def _row(desk: Desk, thing: Thing, sought: Sought, left: Mapping[int, Balance]) -> FoundRow:
    why = "; ".join(find_matching.reasons(thing, sought, desk.settings.units))
    if thing.kind == "wood":
        why = "; ".join(
            part for part in (why, f"{count(left[thing.id].left, 'stick')} left" if thing.id in left else "") if part
        )
    return filled(FoundRow, thing, thing.spot, year=thing.on.year if thing.on else None, why=why)


def _with_looks(session: Session, rows: list[FoundRow], today: date) -> list[FoundRow]:
    ids = asking.ids_by(session, Graft, "code", [row.code for row in rows if row.kind == "graft"])
    looks = living_queries.last_looks(session, today, ids.values())
    seen: Mapping[str, Any] = {code: looks.get(graft_id) for code, graft_id in ids.items()}
    return [replace(row, state=seen[row.code].state if seen[row.code] else "not looked at") if row.code in seen else row
            for row in rows]  # fmt: skip


def _by_old_tag(session: Session, held: Held, sought: Sought) -> dict[Thing, str]:
    """Things that had the code asked before the book was merged with another, each with that code."""
    code = sought.code or "".join(sought.words).upper()
    now = old_codes.also_old(session, [code]).get(code)
    if now is None:
        return {}
    asked = replace(sought, code=now, words=(naming.key(now),))
    return {thing: code for thing in find_matching.candidates(held, asked) if find_matching.answers(thing, asked)}


def _none(words: FindWords, held: Held) -> str:
    near = tuple(_near(words.words, held)) if words.words else ()
    said = f" Names like it: {', '.join(near)}." if near else ""
    return f"Nothing in the book answers to all of that.{said} Say less of it, or show all: graftbook graft list."


def _near(text: str, held: Held) -> Iterator[str]:
    from rapidfuzz import fuzz, process

    names = sorted(find_matching.all_names(held))
    for name, _score, _at in process.extract(text, names, scorer=fuzz.WRatio, score_cutoff=70, limit=3):
        yield f"'{name}'"
