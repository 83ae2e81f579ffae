"""Bundles whose sticks were mixed: one new bundle of loose sticks, each one kind or another, from that day.

What was grafted or given from the old bundles after that day goes along to the new one, each stick with a number of its
own, so that every stick keeps its thread.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.desk.typed import blank, whole
from graftbook.actions.names import lineages
from graftbook.actions.wood import drawing, wood
from graftbook.book import wood_queries
from graftbook.book.balances import flow
from graftbook.book.grafts import Graft
from graftbook.book.unit import Unit
from graftbook.book.wood import Bundle, Movement
from graftbook.errors import Refused, UsageProblem
from graftbook.lineage.threads import MOST_PARTS

_ALIKE = ("taxon", "wood_kind", "donor", "store", "packing", "temperature_c", "length_mm", "buds_per_stick", "received_on",
          "stored_on")  # fmt: skip


@dataclass(frozen=True)
class _Part:
    """One bundle that is mixed: the sticks it held on the day, and what happened to it after."""

    bundle: Bundle
    held: int
    grafts: tuple[Graft, ...]
    moves: tuple[Movement, ...]


def mix(
    desk: Desk, text: str, sticks: int, each: str | None = None, on: str | None = None, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record that bundles became one of loose sticks. `each` says how many came from each where not all did, or `unknown`
    (None: all that each had).

    Raises UsageProblem for a single bundle or numbers that do not fit, Refused for wood of two kinds, with none left, or
    mixed again later.
    """
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("wood mixed", person) as unit:
        parts = [_part(unit.session, bundle, day) for bundle in _bundles(unit.session, text, day)]
        went = _went(parts, sticks, each)
        new = _new(unit, parts, day, sticks, person, note)
        for part, number in zip(parts, went, strict=True):
            gone = {"kind": "mixed", "sticks": -number, "into_bundle_id": new.id}
            unit.add(Movement, bundle_id=part.bundle.id, on=day, who=person, **gone)
        moved = _moved_along(unit, parts, new, sticks)
        book = lineages.of_wood(unit.session)
        is_now = lineages.written(book.identity(book.bundle[new.id]))
        codes = tuple(part.bundle.code for part in parts)
        entry = unit.commit(f"Mixed {code_list(codes)} into {new.code}: {count(sticks, 'stick')}, each {is_now}")
        notes = (*moved, *_notes(new, sticks, went, sum(part.held for part in parts)))
        code = new.code
    return Recorded(f"{entry.summary}.", entry.id, (code,), notes)


def _bundles(session: Session, text: str, day: date) -> list[Bundle]:
    bundles = wood.find_bundles(session, text)
    if not 2 <= len(bundles) <= MOST_PARTS:
        raise UsageProblem(f"from 2 to {MOST_PARTS} different bundles that were mixed", str(len(bundles)))
    for bundle in bundles:
        wood.not_before(session, bundle, day, "mixed")
    if len({bundle.wood_kind for bundle in bundles}) > 1:
        raise Refused(
            "some of these are dormant and some summer wood; only wood of one kind can be mixed",
            next_step="Sort them, and count each bundle: graftbook wood count CODE STICKS",
        )
    return bundles


def _part(session: Session, bundle: Bundle, day: date) -> _Part:
    moves = wood_queries.movements(session, bundle.id)
    grafts = [graft for graft, _ in wood_queries.grafts_from(session, bundle.id)]
    later = tuple(move for move in moves if move.on > day)
    again = [move for move in later if move.kind == "mixed"]
    if again:
        when = f"{again[0].on.isoformat()}, after {day.isoformat()}"
        raise Refused(f"{bundle.code} was mixed again on {when}", next_step="Undo that first")
    held = flow(session, bundle.id).on(day)
    if held <= 0:
        see = f"See graftbook wood show {bundle.code}"
        raise Refused(f"{bundle.code} has no sticks left on {day.isoformat()}", next_step=see)
    return _Part(bundle, held, tuple(graft for graft in grafts if graft.made_on > day), later)


def _went(parts: Sequence[_Part], sticks: int, each: str | None) -> list[int]:
    """How many sticks leave each bundle."""
    held = [part.held for part in parts]
    shown = ", ".join(f"{part.bundle.code} {part.held}" for part in parts)
    if each is None and sticks != sum(held):
        how = "Say how many came from each, --each 4,5, or --each unknown"
        raise UsageProblem(f"as many sticks as there were ({shown}): {sum(held)}", str(sticks), how)
    if each is None or each.strip().casefold() == "unknown":
        return held
    numbers = [whole(piece, "sticks of each bundle", 1, 100_000) or 0 for piece in each.split(",")]
    if len(numbers) != len(parts) or sum(numbers) != sticks or any(n > h for n, h in zip(numbers, held, strict=False)):
        raise UsageProblem(f"a number for each bundle ({shown}), {sticks} together", each)
    if any(part.grafts or part.moves for part, number in zip(parts, numbers, strict=True) if number < part.held):
        raise Refused(
            f"these were used after they were partly mixed: {shown}",
            next_step="Mix all of them, or undo what came after",
        )
    return numbers


def _new(unit: Unit, parts: Sequence[_Part], day: date, sticks: int, person: str | None, note: str | None) -> Bundle:
    """The bundle of loose sticks: what all parts have alike, and the span of their thickness."""
    bundles = [part.bundle for part in parts]
    held = {field: {getattr(bundle, field) for bundle in bundles} for field in _ALIKE}
    facts: dict[str, Any] = {field: values.pop() for field, values in held.items() if len(values) == 1}
    low = [b.diameter_min_mm for b in bundles if b.diameter_min_mm is not None]
    high = [b.diameter_max_mm for b in bundles if b.diameter_max_mm is not None]
    cut = [bundle.cut_on for bundle in bundles if bundle.cut_on is not None]
    number = unit.next_number("W")
    new = unit.add(
        Bundle, number=number, code=f"W{number}", cut_on=min(cut, default=None), diameter_min_mm=min(low, default=None),
        diameter_max_mm=max(high, default=None), note=blank(note), **facts,
    )  # fmt: skip
    unit.add(Movement, bundle_id=new.id, on=day, kind="saved", sticks=sticks, who=person)
    return new


def _moved_along(unit: Unit, parts: Sequence[_Part], new: Bundle, sticks: int) -> tuple[str, ...]:
    """What came from the old bundles after the day goes to the new one, stick by stick."""
    numbers: dict[tuple[int, int | str], int] = {}
    threads = []
    for part in parts:
        cut_from = drawing.sticks_of(part.grafts)
        for graft in part.grafts:
            if graft.id not in cut_from:
                continue  # its stick was opened before the day, and so is not among those mixed
            stick = numbers.setdefault((part.bundle.id, cut_from[graft.id]), len(numbers) + 1)
            unit.amend(graft, bundle_id=new.id, stick=stick, buds_left=None)
            threads.append(f"{graft.code} from {new.code}/{stick}")
        for move in part.moves:
            own = (part.bundle.id, move.stick) if move.stick is not None else None
            again = numbers.setdefault(own, len(numbers) + 1) if own is not None else None
            unit.amend(move, bundle_id=new.id, stick=again)
    moves = sum(len(part.moves) for part in parts)
    left = flow(unit.session, new.id)
    if (left.days and min(left.on(day) for day, _ in left.days) < 0) or len(numbers) > sticks:
        raise Refused(f"{count(len(numbers), 'stick')} opened since that day, more than the {sticks} that were mixed")
    used = f"Used after that day, and so in the same doubt: {', '.join(threads[:8])}{' …' if threads[8:] else ''}."
    along = f"{count(moves, 'later movement')} of the old bundles went along to {new.code}."
    return (*((used,) if threads else ()), *((along,) if moves else ()))


def _notes(new: Bundle, sticks: int, went: Sequence[int], held: int) -> tuple[str, ...]:
    notes = [f"Number the sticks as you use them, so that each keeps its thread: graftbook graft {new.code}/1 P12 …"]
    which = f"which of them these {sticks} are is not known: counting settles the rest only once all of a kind there was are found."
    settles = "Once all sticks of one kind are found, counting settles the rest."
    notes.append(settles if sum(went) == sticks else f"The book had {count(held, 'stick')}; {which}")
    if new.taxon is None:
        several = f"The bundles were of several species, so {new.code} carries none"
        notes.append(f"{several}: graftbook wood amend {new.code} --species …")
    return tuple(notes)
