"""Sticks counted, given away, thrown away and found. The balance is the sum of what moved and never falls below zero."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import typed
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, count
from graftbook.actions.names import health_flow, lineages
from graftbook.actions.wood import drawing, wood
from graftbook.actions.wood.save_phrase import MOST_STICKS, stick_count
from graftbook.book import find, wood_queries
from graftbook.book.balances import StickFlow, balances, flow
from graftbook.book.wood import Bundle, Movement
from graftbook.codes import read_one
from graftbook.errors import Refused, UsageProblem


class _Moved(NamedTuple):
    """What one movement writes down, what is said of it, and cautions."""

    values: dict[str, Any]
    words: str
    cautions: tuple[str, ...] = ()


Change = Callable[[Session, Bundle, StickFlow, date], _Moved]


def count_sticks(
    desk: Desk, text: str, counted: int, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record a count as a count; the difference to the book's balance on that day becomes part of the balance.

    Raises UsageProblem for a count below zero, Refused where more than was counted has gone since that day.
    """
    stick_count(counted, least=0)

    def change(session: Session, bundle: Bundle, held: StickFlow, day: date) -> _Moved:
        had = held.on(day)
        _stays_above(bundle, held, day, had - counted)
        more = counted - had
        off = f"{abs(more)} {'more' if more > 0 else 'fewer'} than the {had}" if more else "as"
        words = f"Counted {count(counted, 'stick')} in {bundle.code}: {off} the book had"
        return _Moved({"kind": "counted", "sticks": more, "counted": counted}, words)

    return _move(desk, text, change, on, who, note)


def give(
    desk: Desk, text: str, sticks: int, receiver: str, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:  # fmt: skip
    """Record sticks given to someone, or one stick by its number. What your own notes say of its health and of rights is
    stated.

    Raises Refused, with the balance, when there are not so many, or when that stick was used already.
    """
    stick_count(sticks)
    name = receiver.strip()
    if not name:
        raise UsageProblem("who got the sticks", repr(receiver))
    code = read_one(text)
    if code.stick is not None and sticks != 1:
        several = f"Give several from the bundle: {code.base} {sticks}"
        raise UsageProblem(f"one stick, {code}", f"{sticks} of them", several)

    def change(session: Session, bundle: Bundle, held: StickFlow, day: date) -> _Moved:
        if code.stick is not None:
            stick_free(session, bundle, code.stick)
        rights = _rights(session, bundle, code.stick, day)
        _stays_above(bundle, held, day, sticks)
        values = {"kind": "given", "sticks": -sticks, "receiver": name, "stick": code.stick}
        what = f"{count(sticks, 'stick')} of {bundle.code}" if code.stick is None else f"stick {code}"
        suspected = health_flow.suspicions(session, bundle.id, bundle.cut_plant_id, day)
        return _Moved(values, f"Gave {what} to {name}", (*suspected, *rights))

    return _move(desk, code.base, change, on, who, note)


def stick_free(session: Session, bundle: Bundle, stick: int) -> None:
    """Refuse a stick that the bundle never had, that was given away, or that was opened for a graft."""
    drawing.check_stick(drawing.in_hand(session, [bundle])[bundle.id], stick)
    used = wood_queries.stick_opened(session, bundle.id, stick)
    if used is not None:
        raise Refused(
            f"{bundle.code}/{stick} is used already: {used}", "", "Take another stick, or mend what was recorded first"
        )


def _rights(session: Session, bundle: Bundle, stick: int | None, day: date) -> tuple[str, ...]:
    if not any(note.kind == "rights" for note in find.caution_notes(session, day)):
        return ()
    book = lineages.of_wood(session)
    code = f"{bundle.code}/{stick}" if stick is not None else bundle.code
    identity = book.identity(book.threads.number.get(code, book.bundle[bundle.id]))
    notes = health_flow.rights_on(session, identity.names, day, bundle.code)
    return (*notes, "Rights are your own notes, and no legal advice.") if notes else ()


def discard(
    desk: Desk, text: str, sticks: str = "all", on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record sticks thrown away: a number, or `all` that are left, then also of several bundles at once. Raises Refused,
    with the balance, when there are not so many."""
    wanted = None if sticks.strip().lower() == "all" else typed.whole(sticks, "sticks, or all,", 1, MOST_STICKS)

    def change(session: Session, bundle: Bundle, held: StickFlow, day: date) -> _Moved:
        if wanted is None and held.left == 0 and balances(session, [bundle.id])[bundle.id].buds_in_hand:
            # The stick in hand is no whole stick: a movement of none says that it went.
            return _Moved({"kind": "discarded", "sticks": 0}, f"Discarded the stick in hand of {bundle.code}")
        number = max(held.free_from(day), 1) if wanted is None else wanted
        _stays_above(bundle, held, day, number)
        words = f"Discarded {count(number, 'stick')} of {bundle.code}"
        return _Moved({"kind": "discarded", "sticks": -number}, words)

    return _move(desk, text, change, on, who, note, several=wanted is None)


def found(
    desk: Desk, text: str, sticks: int, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record sticks of a bundle that turned up."""
    stick_count(sticks)

    def change(session: Session, bundle: Bundle, held: StickFlow, day: date) -> _Moved:
        return _Moved({"kind": "found", "sticks": sticks}, f"Found {count(sticks, 'stick')} of {bundle.code}")

    return _move(desk, text, change, on, who, note)


def _move(
    desk: Desk, text: str, change: Change, on: str | None, who: str | None, note: str | None, several: bool = False
) -> Recorded:
    """One movement of a bundle, or one of each of several, as one entry; whichever cannot be stops the whole."""
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("sticks", person) as unit:
        bundles = wood.find_bundles(unit.session, text) if several else [wood.one_bundle(unit.session, text)]
        words: list[str] = []
        cautions: list[str] = []
        left = 0
        for bundle in bundles:
            wood.not_before(unit.session, bundle, day, "moved")
            held = flow(unit.session, bundle.id)
            moved = change(unit.session, bundle, held, day)
            unit.add(Movement, bundle_id=bundle.id, on=day, who=person, note=typed.blank(note), **moved.values)
            words.append(moved.words.removeprefix("Discarded ") if words else moved.words)
            cautions += moved.cautions
            left += held.left + moved.values["sticks"]
        entry = unit.commit(f"{', '.join(words)}; {left} left")
        codes = tuple(bundle.code for bundle in bundles)
    return Recorded(f"{entry.summary}.", entry.id, codes, (), tuple(cautions))


def _stays_above(bundle: Bundle, held: StickFlow, day: date, going: int) -> None:
    free = held.free_from(day)
    if going <= free:
        return
    free, then = max(free, 0), held.on(day)
    later = f", as some of the {then} of that day went later" if then > free else ""
    left = f"{held.left} left" if free == held.left else f"{free} to spare{later}; {held.left} left now"
    raise Refused(
        f"{count(going, 'stick')} cannot go from {bundle.code} on {day.isoformat()}: {left}",
        next_step=f"Count them again: graftbook wood count {bundle.code} STICKS",
    )
