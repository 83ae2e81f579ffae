"""Which grafts and plants a person means by codes: runs with exceptions, and a plant standing for its only open graft."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.results import code_list
from graftbook.actions.outcome.alive import Alive, End
from graftbook.book import find, graft_queries, stacks
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.codes import Code, read_many
from graftbook.errors import NotFound, Refused, UsageProblem


@dataclass(frozen=True)
class GraftWithEnd:
    """A graft on a plant and how it stood on a day: `end` says how it ended, None while it is alive."""

    graft: Graft
    end: End | None

    @property
    def ended(self) -> str | None:
        """How it ended in a few words, None while it is alive."""
        return None if self.end is None else self.end.words


def grafts_meant(session: Session, text: str, on: date, left_out: str | None = None) -> tuple[Graft, ...]:
    """The grafts behind codes as typed, each once, in the order written; a plant stands for its only graft open on `on`.

    Raises UsageProblem for wood or sticks and for an exception that is not among the codes, NotFound for codes the book
    has not got, Refused for plants without an open graft or with several (naming the candidates of each).
    """
    rows, without = _rows(session, text, left_out)
    plants = [row for row in rows if isinstance(row, Plant)]
    only = _only_open(session, plants, on, without)
    meant = [row if isinstance(row, Graft) else only.get(row.id) for row in rows]
    kept = {graft.code: graft for graft in meant if graft is not None and graft.code not in without}
    return _some(tuple(kept.values()), text, left_out)


def things_meant(session: Session, text: str, left_out: str | None = None) -> tuple[Plant | Graft, ...]:
    """The plants and grafts behind codes as typed, each once and as itself. Raises as `grafts_meant`, never Refused."""
    rows, without = _rows(session, text, left_out)
    return _some(tuple(row for row in rows if row.code not in without), text, left_out)


def plants_meant(session: Session, text: str) -> list[Plant]:
    """The plants behind codes as typed. Raises UsageProblem for a code of another kind, NotFound for an unknown one."""
    wanted = read_many(text)
    stray = next((code for code in wanted if code.letter != "P"), None)
    if stray is not None:
        raise UsageProblem("plants, whose codes start with P", str(stray), _plant_under(session, stray))
    return find.many(session, wanted)


def _plant_under(session: Session, code: Code) -> str:
    """What to name instead of a graft, where a plant was asked for; empty for codes of other things and unknown ones."""
    grafts = find.known(session, [code]) if code.letter == "G" else []
    return f"{code.base} stands on {graft_queries.foot_plants(session, grafts)[grafts[0].id].code}" if grafts else ""


def one_plant(session: Session, text: str, next_step: str = "") -> Plant:
    """The one plant behind a code. Raises as plants_meant, and UsageProblem for several."""
    plants = plants_meant(session, text)
    if len(plants) != 1:
        raise UsageProblem("one plant, such as P3", f"{len(plants)} of them", next_step)
    return plants[0]


def at_or_on(session: Session, text: str) -> tuple[list[int], list[int]]:
    """Ids of the grafts named and of every graft on the plants named, open or not; and of those plants."""
    rows = things_meant(session, text)
    plants = [row.id for row in rows if isinstance(row, Plant)]
    here = [graft.id for grafts in graft_queries.standing_on(session, plants).values() for graft in grafts]
    return [*(row.id for row in rows if isinstance(row, Graft)), *here], plants


def standing(session: Session, plants: Sequence[Plant], on: date) -> dict[int, list[GraftWithEnd]]:
    """Every graft made by a day on each plant, by number, with how it ended if it has; plants without any are absent."""
    on_plants = graft_queries.standing_on(session, [plant.id or 0 for plant in plants])
    held = Alive(session, on, [stacks.on_host(graft) for grafts in on_plants.values() for graft in grafts])
    stood = {
        plant_id: [GraftWithEnd(graft, held.end(graft.id or 0)) for graft in grafts if graft.made_on <= on]
        for plant_id, grafts in on_plants.items()
    }
    return {plant_id: here for plant_id, here in stood.items() if here}


def _rows(session: Session, text: str, left_out: str | None) -> tuple[list[Any], frozenset[str]]:
    codes = read_many(text)
    without = read_many(left_out) if left_out is not None else ()
    for code in (*codes, *without):
        if code.letter == "W" or code.stick is not None:
            raise UsageProblem("grafts or plants, such as G5 or P12", str(code))
    left = frozenset(code.base for code in without)
    rows = find_these(session, [code for code in codes if code.base not in left])
    _all_among(session, without, codes, rows)
    return rows, left


def find_these(session: Session, codes: Sequence[Code]) -> list[Any]:
    """The rows behind codes. Raises NotFound that names every missing code and how to go on without them."""
    try:
        return find.many(session, codes)
    except NotFound as error:
        if len(codes) == 1:
            raise
        there = code_list(row.code for row in find.known(session, codes))
        step = (
            f"Of these the book has {there}: name those, or leave the others out with --except"
            if there
            else error.next_step
        )
        raise NotFound(error.expected, "", step) from error


def _all_among(session: Session, without: Sequence[Code], codes: Sequence[Code], rows: Sequence[Any]) -> None:
    """An exception that excepts nothing is a slip, and the wrong graft would be recorded: refuse it."""
    among = {code.base for code in codes}
    strange = [code for code in without if code.base not in among]
    if strange and any(isinstance(row, Plant) for row in rows):
        ids = [row.id for row in rows if isinstance(row, Plant)]
        among |= {graft.code for grafts in graft_queries.standing_on(session, ids).values() for graft in grafts}
        strange = [code for code in strange if code.base not in among]
    if strange:
        raise UsageProblem("exceptions that are among the codes", ", ".join(code.base for code in strange))


def _some(kept: tuple[Any, ...], text: str, left_out: str | None) -> tuple[Any, ...]:
    if not kept:
        raise UsageProblem("at least one code left", f"none: {text!r} without {left_out!r}")
    return kept


def _only_open(session: Session, plants: Sequence[Plant], on: date, without: frozenset[str]) -> dict[int, Graft]:
    """The only open graft of each plant by the plant's id; plants whose open grafts were all left out are absent. Where none
    lives, those that died with what they stand on are still to be looked at."""
    stood = standing(session, plants, on)
    chosen: dict[int, Graft] = {}
    doubts: list[str] = []
    for plant in plants:
        here = stood.get(plant.id, [])
        alive = [each.graft for each in here if each.end is None]
        alive = alive or [each.graft for each in here if each.end is not None and each.end.dead and each.end.under]
        kept = [graft for graft in alive if graft.code not in without]
        if not alive:
            doubts.append(f"{plant.code} carries none{_ends(here)}")
        elif len(kept) > 1:
            doubts.append(f"{plant.code} carries {code_list(tuple(graft.code for graft in kept))}")
        elif kept:
            chosen[plant.id] = kept[0]
    if doubts:
        more = f"; and {len(doubts) - 10} more plants" if len(doubts) > 10 else ""
        found = "; ".join(doubts[:10]) + more
        raise Refused(
            f"not every plant has one open graft on {on.isoformat()}: {found}", next_step="Name the graft itself"
        )
    return chosen


def _ends(here: Sequence[GraftWithEnd]) -> str:
    return f" ({', '.join(f'{each.graft.code} {each.ended}' for each in here[-3:])})" if here else ""
