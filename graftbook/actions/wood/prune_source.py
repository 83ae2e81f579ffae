"""Whose wood a pruning saved: the plant's own, that of a graft on it, or that of what stands on one of its limbs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk.results import first_of
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import subjects
from graftbook.actions.outcome.subjects import GraftWithEnd
from graftbook.actions.plants import last_of_cultivar
from graftbook.actions.wood import wood_source
from graftbook.actions.wood.wood_source import Origin
from graftbook.book import living_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.errors import NotFound, Refused, UsageProblem


def source(session: Session, plant: Plant, named: str | None, limb: str | None, day: date) -> Origin:
    """The source of wood saved at a pruning: `named` a graft, the plant itself or a limb (None: not stated), `limb` the limb
    that came off.

    Not stated, a tree that has a name gives its own, and one that has none that of the only living graft on it. Raises
    UsageProblem where it is not clear, NotFound for a limb without grafts, Refused for a graft that lives no longer.
    """
    if named is not None and not named.strip():
        raise UsageProblem("a graft, a limb or the tree itself after --from", "nothing")
    here = subjects.standing(session, [plant], day).get(plant.id, [])
    if named is None:
        return _unstated(session, plant, here, limb, day)
    code = _code(named)
    if code is not None and code.letter == "P" and code.base == plant.code:
        return wood_source.of_row(session, plant, day)
    if code is not None:
        return _of_graft(session, _alive(plant, code, here, day), day)
    return _of_graft(session, _only_one(session, plant, here, named, day), day)


def _unstated(session: Session, plant: Plant, here: Sequence[GraftWithEnd], limb: str | None, day: date) -> Origin:
    tops = _tops(here)
    if limb is not None:
        there = last_of_cultivar.on_limb(plant, [each.graft for each in here], limb, day)
        tops = [graft for graft in tops if graft.id in there]
        if tops:
            raise UsageProblem(
                f"whose wood was saved off limb {limb}", f"it carries {_called(session, tops)}",
                f"Say --from {tops[0].code} for that of a graft, --from {plant.code} for the tree's own",
            )  # fmt: skip
        return wood_source.of_row(session, plant, day)
    if plant.cultivar is not None:
        return _own(session, plant, tops, day)
    if len(tops) == 1:
        found = _of_graft(session, tops[0], day)
        note = f"The wood is kept as that of {tops[0].code}, which stands on {plant.code}; --from {plant.code} if the stock's."
        return replace(found, notes=(note, *found.notes))
    if tops or here:
        carries = f"it carries {_called(session, tops)}" if tops else "what stood on it lives no longer"
        named = f"--from {tops[0].code} for that of a graft, " if tops else ""
        raise UsageProblem(
            f"whose wood was saved of {plant.code}", carries, f"Say {named}--from {plant.code} for the rootstock's own"
        )
    return wood_source.of_row(session, plant, day)


def _own(session: Session, plant: Plant, tops: Sequence[Graft], day: date) -> Origin:
    """The wood of a named tree, with a sentence where grafts stand on it."""
    found = wood_source.of_row(session, plant, day)
    if not tops:
        return found
    note = f"{plant.code} carries {_called(session, tops)}. Wood of a graft is saved with --from {tops[0].code}."
    return replace(found, notes=(note,))


def _code(text: str) -> codes.Code | None:
    """The plant or graft a text names; None for the name of a limb. Raises UsageProblem for wood or a wrong check character."""
    try:
        code = codes.read_one(text)
    except UsageProblem:
        if "-" in text and text.strip()[:1].upper() in ("P", "G") and text.strip()[1:2].isdigit():
            raise
        return None
    if code.letter == "W":
        raise UsageProblem("the graft or limb the wood was cut from, such as G5", str(code))
    return code


def _alive(plant: Plant, code: codes.Code, here: Sequence[GraftWithEnd], day: date) -> Graft:
    named = next((each for each in here if each.graft.code == code.base), None)
    if named is None:
        raise Refused(
            f"{code} did not stand on {plant.code} on {day.isoformat()}",
            next_step=f"See what does: graftbook find --host {plant.code}",
        )
    if named.ended is not None:
        raise Refused(
            f"{named.graft.code} was not alive on {day.isoformat()}: {named.ended}",
            next_step=f"If it grows after all, record that first: graftbook look {named.graft.code} growing",
        )
    return named.graft


def _only_one(session: Session, plant: Plant, here: Sequence[GraftWithEnd], limb: str, day: date) -> Graft:
    there = last_of_cultivar.on_limb(plant, [each.graft for each in here], limb, day)
    tops = [graft for graft in _tops(here) if graft.id in there]
    if not tops:
        raise NotFound(
            f"no living graft is on limb {limb} of {plant.code} on {day.isoformat()}",
            next_step="Leave --from out for the tree's own",
        )
    if len(tops) > 1:
        raise UsageProblem(
            f"one graft on limb {limb}", _called(session, tops), f"Name the graft: --from {tops[0].code}"
        )
    return tops[0]


def _tops(here: Sequence[GraftWithEnd]) -> list[Graft]:
    """Living grafts with no living graft on them, by number."""
    alive = [each.graft for each in here if each.ended is None]
    under = {graft.host_graft_id for graft in alive}
    return [graft for graft in alive if graft.id not in under]


def _called(session: Session, grafts: Sequence[Graft]) -> str:
    names = shown_names.of(session, grafts)
    return first_of([f"{graft.code} {names.of(graft).written or ''}".strip() for graft in grafts], 6, ", ")


def _of_graft(session: Session, graft: Graft, day: date) -> Origin:
    found = wood_source.of_row(session, graft, day)
    if living_queries.seen_growing(session, day, [graft.id]):
        return found
    usual = "wood is usually cut once a graft has taken (common practice)."
    return replace(found, notes=(f"{graft.code} was not seen growing by {day.isoformat()}; {usual}",))
