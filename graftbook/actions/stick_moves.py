"""Sticks counted, given away, thrown away and found. The balance is the sum of what moved and never falls below zero."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from graftbook.actions import plant_words, wood
from graftbook.actions.desk import Desk
from graftbook.actions.results import Recorded, count
from graftbook.actions.save_words import MOST_STICKS, stick_count
from graftbook.book import wood_queries
from graftbook.book.wood import Bundle, Movement
from graftbook.book.wood_queries import Flow
from graftbook.errors import Refused, UsageProblem

Change = Callable[[Bundle, Flow, date], tuple[dict[str, Any], str]]


def count_sticks(
    desk: Desk, text: str, counted: int, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record a count as a count; the difference to the book's balance on that day becomes part of the balance.

    Raises UsageProblem for a count below zero, Refused where more than was counted has gone since that day.
    """
    if not 0 <= counted <= MOST_STICKS:
        raise UsageProblem(f"from 0 to {MOST_STICKS:,} sticks", f"{counted:,}")

    def change(bundle: Bundle, flow: Flow, day: date) -> tuple[dict[str, Any], str]:
        held = flow.on(day)
        _stays_above(bundle, flow, day, held - counted)
        more = counted - held
        said = (
            "as the book had"
            if more == 0
            else f"{abs(more)} {'more' if more > 0 else 'fewer'} than the {held} the book had"
        )
        values = {"kind": "counted", "sticks": more, "counted": counted}
        return values, f"Counted {count(counted, 'stick')} in {bundle.code}: {said}"

    return _move(desk, text, change, on, who, note)


def give(
    desk: Desk,
    text: str,
    sticks: int,
    receiver: str,
    on: str | None = None,
    who: str | None = None,
    note: str | None = None,
) -> Recorded:
    """Record sticks given to someone. Raises Refused, with the balance, when there are not so many."""
    stick_count(sticks)
    name = receiver.strip()
    if not name:
        raise UsageProblem("who got the sticks", repr(receiver))

    def change(bundle: Bundle, flow: Flow, day: date) -> tuple[dict[str, Any], str]:
        _stays_above(bundle, flow, day, sticks)
        return {
            "kind": "given",
            "sticks": -sticks,
            "receiver": name,
        }, f"Gave {count(sticks, 'stick')} of {bundle.code} to {name}"

    return _move(desk, text, change, on, who, note)


def discard(
    desk: Desk, text: str, sticks: str = "all", on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record sticks thrown away: a number, or `all` that are left, then also of several bundles at once. Raises Refused,
    with the balance, when there are not so many."""
    wanted = None if sticks.strip().lower() == "all" else plant_words.whole(sticks, "sticks, or all,", 1, MOST_STICKS)

    def change(bundle: Bundle, flow: Flow, day: date) -> tuple[dict[str, Any], str]:
        number = max(flow.free_from(day), 1) if wanted is None else wanted
        _stays_above(bundle, flow, day, number)
        return {"kind": "discarded", "sticks": -number}, f"Discarded {count(number, 'stick')} of {bundle.code}"

    if wanted is None:
        return _discard_all(desk, text, change, on, who, note)
    return _move(desk, text, change, on, who, note)


def _discard_all(desk: Desk, text: str, change: Change, on: str | None, who: str | None, note: str | None) -> Recorded:
    """All that is left of each bundle, as one entry; whichever has none left stops the whole."""
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("sticks", person) as unit:
        bundles = wood.find_bundles(unit.session, text)
        said, left = [], 0
        for bundle in bundles:
            wood.not_before(unit.session, bundle, day, "moved")
            flow = wood_queries.flow(unit.session, bundle.id)
            values, words = change(bundle, flow, day)
            unit.add(Movement, bundle_id=bundle.id, on=day, who=person, note=plant_words.blank(note), **values)
            said.append(words if not said else words.removeprefix("Discarded "))
            left += sum(sticks for _, sticks in flow.days) + values["sticks"]
        entry = unit.commit(f"{', '.join(said)}; {left} left")
        codes = tuple(bundle.code for bundle in bundles)
    return Recorded(f"{entry.summary}.", entry.id, codes)


def found(
    desk: Desk, text: str, sticks: int, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record sticks of a bundle that turned up."""
    stick_count(sticks)

    def change(bundle: Bundle, flow: Flow, day: date) -> tuple[dict[str, Any], str]:
        return {"kind": "found", "sticks": sticks}, f"Found {count(sticks, 'stick')} of {bundle.code}"

    return _move(desk, text, change, on, who, note)


def _move(desk: Desk, text: str, change: Change, on: str | None, who: str | None, note: str | None) -> Recorded:
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("sticks", person) as unit:
        bundle = wood.one_bundle(unit.session, text)
        wood.not_before(unit.session, bundle, day, "moved")
        flow = wood_queries.flow(unit.session, bundle.id)
        values, said = change(bundle, flow, day)
        unit.add(Movement, bundle_id=bundle.id, on=day, who=person, note=plant_words.blank(note), **values)
        left = sum(sticks for _, sticks in flow.days) + values["sticks"]
        entry = unit.commit(f"{said}; {left} left")
        code = bundle.code
    return Recorded(f"{entry.summary}.", entry.id, (code,))


def _stays_above(bundle: Bundle, flow: Flow, day: date, going: int) -> None:
    free = flow.free_from(day)
    if going <= free:
        return
    now = sum(sticks for _, sticks in flow.days)
    later = (
        f" ({count(flow.on(day), 'stick')} on {day.isoformat()}, some of which went later)"
        if flow.on(day) > free
        else ""
    )
    raise Refused(
        f"no more than {count(max(free, 0), 'stick')} to go from {bundle.code}",
        f"{going}, with {now} left{later}", f"Count them again: graftbook wood count {bundle.code} STICKS",
    )  # fmt: skip
