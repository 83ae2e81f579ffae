"""What would be lost with one tree, one place, or one graft that was never judged: cut wood from these first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.names import lineages, where_alive
from graftbook.actions.names.lineages import Lineage


@dataclass(frozen=True)
class OnlyRow:
    """One cultivar at risk. Counts are of living trees of it, of living grafts of it seen growing and not, and of the plants
    and places these stand on and at. `risks` says why it is here; `cut_from` is where to cut first."""

    cultivar: str
    risks: tuple[str, ...]
    trees: int
    grafts: int
    not_judged: int
    plants: int
    places: int
    where: str
    cut_from: str
    shown: ClassVar = ("cultivar", "risks", "trees", "grafts", "not_judged", "where", "cut_from")
    headings: ClassVar = {"not_judged": "not judged", "cut_from": "cut from"}


def only(desk: Desk, as_of: str | None = None) -> Report:
    """Cultivars alive on one tree, in one place, or only as grafts not yet judged, the most at risk first. What is in doubt
    stands in a row of its own."""
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        book = lineages.fetch(session, day)
        alive = where_alive.fetch(session, book, day)
    groups: dict[str, list[int]] = {}
    for thing in (*alive.trees, *alive.grafts):
        said = lineages.label(book.identity(thing))
        if said is not None:
            groups.setdefault(said, []).append(thing)
    places = {book.plant[row[0]]: (row[6], row[7]) for row in book.columns.plants}
    rows = [_row(book, alive.grafts, places, said, things) for said, things in groups.items()]
    rows = sorted(
        (row for row in rows if row.risks), key=lambda row: (-len(row.risks), row.plants, row.cultivar.casefold())
    )
    bare = [thing for thing in (*alive.trees, *alive.grafts) if places[book.threads.body[thing]] == (None, None)]
    notes = [f"{count(len(groups), 'cultivar')} alive, {len(rows)} at risk; doubtful ones in rows of their own."]
    if bare:
        notes.append(f"{count(len(bare), 'thing')} stand at no recorded place and are taken to be at one.")
    return Report(
        OnlyRow, tuple(rows), tuple(notes), {"as_of": day}, title=f"Cut wood from these first, as of {day.isoformat()}"
    )


def _row(book: Lineage, grafts, places: dict[int, tuple], said: str, things: list[int]) -> OnlyRow:
    bodies = dict.fromkeys(book.threads.body[thing] for thing in things)
    spots = dict.fromkeys(places[body] for body in bodies)
    growing = [thing for thing in things if grafts.get(thing, True)]
    waiting = [thing for thing in things if not grafts.get(thing, True)]
    risks = []
    if not growing:
        risks.append("only as grafts not yet judged")
    if len(bodies) == 1:
        risks.append("one tree")
    if len(spots) == 1:
        risks.append("one place")
    trees = sum(thing not in grafts for thing in things)
    first = growing or waiting
    where = "; ".join(", ".join(part for part in spot if part) or "place not recorded" for spot in list(spots)[:3])
    return OnlyRow(
        said, tuple(risks), trees, len(growing) - trees, len(waiting), len(bodies), len(spots), where,
        code_list(tuple(book.code(thing) for thing in first), 3),
    )  # fmt: skip
