"""What would be lost with one tree, one place, or one graft that was never judged: cut wood from these first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.names import where_alive
from graftbook.actions.names.where_alive import CultivarHome, CultivarHomes
from graftbook.actions.names.wood_kept import left_of


@dataclass(frozen=True)
class OnlyRow:
    """One cultivar at risk. Counts are of living trees of it, of living grafts of it seen growing and not, of the plants and
    places these stand on and at, and of sticks in store that still count. `risks` says why it is here;
    `cut_from` is where to cut first, or the wood to graft first."""

    cultivar: str
    risks: tuple[str, ...]
    trees: int
    grafts: int
    not_judged: int
    plants: int
    places: int
    where: str
    cut_from: str
    sticks: int = 0
    shown: ClassVar = ("cultivar", "risks", "trees", "grafts", "not_judged", "sticks", "where", "cut_from")
    headings: ClassVar = {"not_judged": "not judged", "cut_from": "cut from"}


def only(desk: Desk, as_of: str | None = None) -> Report:
    """Cultivars alive only as sticks, on one tree, in one place, or only as grafts not yet judged, the most at risk first. What
    is in doubt stands in a row of its own."""
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        homes = where_alive.homes(session, day)
    rows = [_row(homes, home) for home in homes.of.values() if home.living]
    sticks = [_only_sticks(homes, home) for home in homes.of.values() if home.sticks and not home.living]
    sticks.sort(key=lambda row: row.cultivar.casefold())
    at_risk = sorted(
        (row for row in rows if row.risks), key=lambda row: (-len(row.risks), row.plants, row.cultivar.casefold())
    )
    sticks_only = f", {count(len(sticks), 'other')} only as sticks" if sticks else ""
    notes = [
        f"{count(len(rows), 'cultivar')} alive, {len(at_risk)} at risk{sticks_only}; doubtful ones in rows of their own."
    ]
    bare = [thing for thing in (*homes.living.trees, *homes.living.grafts) if homes.spot(thing) == (None, None)]
    if bare:
        notes.append(f"{count(len(bare), 'thing')} stand at no recorded place and are taken to be at one.")
    return Report(
        OnlyRow, (*sticks, *at_risk), tuple(notes), {"as_of": day},
        title=f"Cut wood from these first, as of {day.isoformat()}",
    )  # fmt: skip


def _row(homes: CultivarHomes, home: CultivarHome) -> OnlyRow:
    bodies = {homes.book.threads.body[thing] for thing in home.living}
    spots = homes.spots(home)
    risks = (
        *(("only as grafts not yet judged",) if not home.sure else ()),
        *(("one tree",) if len(bodies) == 1 else ()),
        *(("one place",) if len(spots) == 1 else ()),
    )
    where = "; ".join(spot.words for spot in spots[:3])
    return OnlyRow(
        home.cultivar, risks, len(home.trees), len(home.growing), len(home.waiting), len(bodies), len(spots), where,
        code_list(tuple(homes.book.code(thing) for thing in home.sure or home.waiting), 3),
        sum(held.left for held in home.sticks.values()),
    )  # fmt: skip


def _only_sticks(homes: CultivarHomes, home: CultivarHome) -> OnlyRow:
    bundles = code_list(tuple(homes.book.code(thing) for thing in home.sticks), 3)
    many = sum(held.left for held in home.sticks.values())
    stores = dict.fromkeys(homes.stores[thing] or "store not recorded" for thing in home.sticks)
    risk = f"only as sticks: {many or left_of(home.sticks.values())} in {bundles}, graft it first"
    return OnlyRow(home.cultivar, (risk,), 0, 0, 0, 0, 0, "; ".join(list(stores)[:3]), bundles, many)
