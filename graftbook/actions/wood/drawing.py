"""The wood of a grafting: fit to be used on the day, and its sticks opened one after the other as grafts are made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk.results import count
from graftbook.book import find, graft_queries, match_queries, wood_queries
from graftbook.book.balances import balances
from graftbook.book.wood import Bundle
from graftbook.codes import read_one
from graftbook.errors import Refused, UsageProblem


@dataclass(frozen=True)
class Wood:
    """The bundle a person means, and the stick of it where one was named (None: the stick in hand)."""

    bundle: Bundle
    stick: int | None


def wood_meant(session: Session, text: str, day: date) -> Wood:
    """The wood behind a code such as W7 or W7/3, fit to be grafted on a day.

    Raises UsageProblem for a code that is no wood, NotFound for one the book has not got, Refused for wood cut or received
    after that day or dead by it.
    """
    code = read_one(text)
    if code.letter != "W":
        raise UsageProblem(
            "wood first, such as W7 or W7/3", repr(text), "Write it as: graftbook graft W7 P12 --method NAME"
        )
    bundle = find.one(session, code)
    for on, what in ((bundle.cut_on, "cut"), (bundle.received_on, "received")):
        if on is not None and on > day:
            raise Refused(f"wood {what} by {day.isoformat()}", f"{bundle.code}, {what} on {on.isoformat()}")
    looked = match_queries.inspections(session, day).get(bundle.id, [])
    if looked and looked[-1][1] == "dead":
        raise Refused(
            "wood that is alive", f"{bundle.code}, seen dead on {looked[-1][0].isoformat()}",
            f"If some of it is green, say so first: graftbook wood inspect {bundle.code} sound",
        )  # fmt: skip
    return Wood(bundle, code.stick)


def in_hand(session: Session, wood: Wood) -> InHand:
    """How the sticks of a bundle stand now. Raises UsageProblem for a stick the bundle never had."""
    bundle = wood.bundle
    balance = balances(session, [bundle.id])[bundle.id]
    ever = balance.came_in + max(balance.otherwise, 0)
    if wood.stick is not None and wood.stick > ever:
        raise UsageProblem(f"a stick of {bundle.code} from 1 to {ever}", f"{bundle.code}/{wood.stick}")
    given = wood_queries.stick_gone(session, bundle.id, wood.stick) if wood.stick is not None else None
    if given is not None:
        raise Refused(f"a stick that is here, {bundle.code}/{wood.stick}", given, "Take another stick of it")
    use = graft_queries.stick_use(session, bundle.id)
    return InHand(bundle.code, balance.left, bundle.buds_per_stick, use.buds_left, dict(use.named))


def draw_all(hand: InHand, buds: int | None, stick: int | None, grafts: int) -> list[Drawn]:
    """Sticks opened for so many grafts of so many buds each, and `hand` as it is afterwards.

    `buds` None takes a whole stick for each. Raises Refused where the wood does not reach, saying how far it does.
    """
    drawn: list[Drawn] = []
    had = hand.left
    for _ in range(grafts):
        try:
            drawn.append(draw(hand, buds if buds is not None else hand.buds_per_stick or 1, stick))
        except Refused as error:
            if not drawn:
                raise
            reach = f"enough for {len(drawn)} ({count(had, 'stick')} left before)"
            raise Refused(f"wood in {hand.code} for {count(grafts, 'graft')}", reach, error.next_step) from error
    return drawn


def left_words(hand: InHand, drawn: Sequence[Drawn]) -> tuple[str, ...]:
    """What is left of the bundle, and a doubt where buds a stick were not counted."""
    open_stick = f", and {count(hand.buds_left, 'bud')} on the stick in hand" if hand.buds_left else ""
    left = f"{hand.code}: {count(hand.left, 'stick')} left{open_stick}."
    if hand.buds_per_stick is not None:
        return (left,)
    each = "each graft counts as one stick" if any(one.sticks for one in drawn) else "sticks are counted when opened"
    how = f"Buds a stick were not counted for {hand.code}, so {each}: graftbook wood amend {hand.code} --buds NUMBER."
    return left, how


@dataclass
class InHand:
    """What is known of one bundle while grafts are drawn from it. `buds_left` belongs to the stick in hand (None: no stick
    is open, or its buds were not counted); `named` holds the buds used of each stick that was named."""

    code: str
    left: int
    buds_per_stick: int | None
    buds_left: int | None = None
    named: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Drawn:
    """Sticks newly opened for one graft, and the buds then left on the stick in hand."""

    sticks: int
    buds_left: int | None


def draw(wood: InHand, buds: int, stick: int | None = None) -> Drawn:
    """Take one scion of so many buds and note it in `wood`. Raises Refused when the wood does not reach."""
    drawn = _from_named(wood, buds, stick) if stick is not None else _from_hand(wood, buds)
    if drawn.sticks > wood.left:
        raise Refused(
            f"a stick left in {wood.code}", f"{wood.left} left",
            f"Count them again: graftbook wood count {wood.code} STICKS",
        )  # fmt: skip
    wood.left -= drawn.sticks
    wood.buds_left = drawn.buds_left
    return drawn


def _from_hand(wood: InHand, buds: int) -> Drawn:
    if wood.buds_per_stick is None:
        return Drawn(1, None)
    _fits(wood, buds, 0, wood.code)
    if wood.buds_left is not None and wood.buds_left >= buds:
        return Drawn(0, wood.buds_left - buds)
    return Drawn(1, wood.buds_per_stick - buds)


def _from_named(wood: InHand, buds: int, stick: int) -> Drawn:
    used = wood.named.get(stick)
    if wood.buds_per_stick is not None:
        _fits(wood, buds, used or 0, f"{wood.code}/{stick}")
    wood.named[stick] = (used or 0) + buds
    return Drawn(1 if used is None else 0, wood.buds_left)


def _fits(wood: InHand, buds: int, used: int, name: str) -> None:
    if used + buds > (wood.buds_per_stick or 0):
        raise Refused(
            f"a scion of at most {max((wood.buds_per_stick or 0) - used, 0)} buds from {name}",
            f"{buds} buds", f"Take fewer buds, or mend the bundle: graftbook wood amend {wood.code} --buds NUMBER",
        )  # fmt: skip
