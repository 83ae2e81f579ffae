"""The wood that a fair split can be made of: usable on every day it is to be grafted, and what is left out and why."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import ClassVar

from sqlmodel import Session

from graftbook.actions.names import shown_names, wood_kept
from graftbook.actions.names.wood_kept import KeptWood
from graftbook.book import wood_queries
from graftbook.book.wood import Bundle
from graftbook.trade import taxa


@dataclass(frozen=True)
class SplitRow:
    """One bundle: scions it can make from the sticks left, and how many go each way, the odd one kept back. A stick whose
    buds were not counted is counted as one scion."""

    wood: str
    cultivar: str | None
    species: str | None
    sticks: int
    scions: int
    each_way: int
    kept_back: int
    headings: ClassVar = {"each_way": "each way", "kept_back": "kept back"}


@dataclass
class SplitWood:
    """The bundles to be split, and those left out: each with why, in words that follow its code."""

    rows: list[SplitRow] = field(default_factory=list)
    left_out: list[tuple[str, str]] = field(default_factory=list)


def split_wood(session: Session, days: Sequence[date], buds: tuple[int, int], species: str | None) -> SplitWood:
    """What is in store on the first of these days and usable on every one, in the order of bundles; `buds` of a scion on each
    side, `species` None for every kind."""
    bundles = [bundle for bundle in wood_queries.bundles(session) if _asked(bundle, species)]
    names = shown_names.of(session, bundles)
    ids = {bundle.id for bundle in bundles}
    on = {day: {held.line.id: held for held in wood_kept.kept_wood(session, day, ids)} for day in days}
    found = SplitWood()
    for bundle in bundles:
        held = on[days[0]].get(bundle.id)
        why = next(
            (text for day in days if (text := _not_usable(bundle, day, on[day].get(bundle.id))) is not None), None
        )
        if why is not None:
            if why and held is not None:
                found.left_out.append((bundle.code, why))
        elif held is not None:
            made = tuple(_scions(held.left.left, bundle.buds_per_stick, buds))
            kind, sticks = taxa.common_name(bundle.taxon), held.left.left
            found.rows.append(SplitRow(bundle.code, names.of(bundle).cultivar, kind, sticks, *made))
    return found


def _asked(bundle: Bundle, species: str | None) -> bool:
    return species is None or species.casefold() in (taxa.common_name(bundle.taxon) or "").casefold()


def _not_usable(bundle: Bundle, day: date, held: KeptWood | None) -> str | None:
    """Why a bundle cannot be grafted on a day; '' where no whole stick is left, None where nothing keeps it from it."""
    for what, since in (("cut", bundle.cut_on), ("received", bundle.received_on)):
        if since is not None and since > day:
            return f"{what} only on {since.isoformat()}"
    if held is None or held.left.left <= 0:
        return ""
    if held.usable:
        return None
    return f"{'past keeping' if held.state == wood_kept.PAST else held.state} on {day.isoformat()}"


def _scions(sticks: int, buds_per_stick: int | None, buds: tuple[int, int]) -> Iterator[int]:
    """How many scions, how many of them each way, and how many are left over."""
    first, second = buds
    if buds_per_stick is None or first == second:
        scions = sticks if buds_per_stick is None else sticks * (buds_per_stick // first)
        yield from (scions, scions // 2, scions % 2)
        return
    pairs = sticks * (buds_per_stick // (first + second))
    yield from (2 * pairs, pairs, 0)


def reasons(left_out: Collection[tuple[str, str]]) -> str:
    """`W3, W5 past keeping on 2027-11-30; W9 cut only on 2027-12-02`."""
    from graftbook.actions.desk.results import code_list

    whys = dict.fromkeys(why for _code, why in left_out)
    return "; ".join(f"{code_list(tuple(code for code, of in left_out if of == why))} {why}" for why in whys)
