"""The wood of a grafting: fit to be used on the day, and its sticks opened one after the other as grafts are made.

What a bundle has left is read by `in_hand` alone and drawn by `draw` and `draw_cut` alone, whether a graft is recorded on the
command line, with a planned day, or in a file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.results import count
from graftbook.book import find, wood_queries
from graftbook.book.balances import balances, named_buds
from graftbook.book.grafts import Graft
from graftbook.book.wood import Bundle
from graftbook.codes import read_one
from graftbook.errors import Refused, UsageProblem
from graftbook.trade.methods import Method


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
    what, on = unfit_on(session, [bundle], day).get(bundle.id, ("", day))
    if what == SEEN_DEAD:
        raise Refused(
            f"{bundle.code} was {what} on {on.isoformat()}",
            next_step=f"If some of it is green, say so first: graftbook wood inspect {bundle.code} sound",
        )
    if what:
        raise Refused(
            f"{bundle.code} was {what} on {on.isoformat()}; it cannot be grafted on {day.isoformat()}, before that"
        )
    return Wood(bundle, code.stick)


SEEN_DEAD = "seen dead"


def unfit_on(session: Session, bundles: Iterable[Bundle], day: date) -> dict[int, tuple[str, date]]:
    """What keeps wood from being grafted on a day, by the bundle's id: that it was cut or received later, or SEEN_DEAD by
    then, and on which day. Wood that nothing keeps from it is absent."""
    looked, found = wood_queries.inspections(session, day), {}
    for bundle in bundles:
        looks = looked.get(bundle.id, [])
        if looks and looks[-1][1] == "dead":
            found[bundle.id] = SEEN_DEAD, looks[-1][0]
        for what, on in (("received", bundle.received_on), ("cut", bundle.cut_on)):
            if on is not None and on > day:
                found[bundle.id] = what, on
    return found


# Buds left on a scion where the method's row does not say.
USUAL_BUDS = 2


def usual_buds(method: Method | None, buds_per_stick: int | None) -> int:
    """Buds of a scion where nobody said: one for a bud, else what the method's row says, never more than a stick has. `method`
    None is one the tables have not got, `buds_per_stick` None where they were not counted."""
    if method is not None and method.is_bud:
        return 1
    usual = USUAL_BUDS if method is None or method.buds_default is None else method.buds_default
    return min(usual, buds_per_stick or usual)


def in_hand(session: Session, bundles: Iterable[Bundle], as_of: date | None = None) -> dict[int, InHand]:
    """How the sticks of bundles stand, by the bundle's id, at the end of a day; now where that is None."""
    rows = {bundle.id: bundle for bundle in bundles if bundle.id is not None}
    held, named = balances(session, list(rows), as_of), named_buds(session, list(rows))
    gone = wood_queries.sticks_gone(session, list(rows))
    return {
        key: InHand(
            bundle.code, held[key].left, bundle.buds_per_stick, held[key].buds_in_hand or None, named.get(key, {}),
            held[key].ever, gone.get(key, {}),
        )
        for key, bundle in rows.items()
    }  # fmt: skip


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
            reach = f"only enough for {len(drawn)} ({count(had, 'stick')} left before)"
            raise Refused(
                f"the wood in {hand.code} is not enough for {count(grafts, 'graft')}, {reach}", "", error.next_step
            ) from error
    return drawn


def of_given(
    session: Session, hand: InHand, bundle: Bundle, stick: int | None, receiver: str, day: date, grafts: int
) -> list[Drawn]:
    """Grafts that someone made of sticks given to them: none is drawn, and the stick in hand stays as it is.

    Raises Refused where no stick of the bundle, or not the one named, was given to that person by that day, or where the
    sticks given cannot have had so many buds.
    """
    given = [
        gift for gift in wood_queries.movements(session, bundle.id or 0)
        if gift.kind == "given" and gift.on <= day and naming.key(gift.receiver or "") == naming.key(receiver)
        and stick in (None, gift.stick)
    ]  # fmt: skip
    what = hand.code if stick is None else f"{hand.code}/{stick}"
    if not given:
        raise Refused(
            f"no stick of {what} is recorded as given to {receiver.strip()} by {day.isoformat()}",
            next_step=f"Record that first: graftbook wood give {what} 1 --to {receiver.strip()!r}",
        )
    sticks = -sum(gift.sticks for gift in given)
    if hand.buds_per_stick is not None and grafts > sticks * hand.buds_per_stick:
        raise Refused(f"{count(sticks, 'stick')} of {what} cannot have made {count(grafts, 'graft')}")
    return [Drawn(0, hand.buds_left)] * grafts


def left_words(hand: InHand, drawn: Sequence[Drawn]) -> tuple[str, ...]:
    """What is left of the bundle, and a doubt where buds a stick were not counted."""
    left = f"{hand.code}: {left_phrase(hand.left, hand.buds_left)}."
    if hand.buds_per_stick is not None:
        return (left,)
    each = "each graft counts as one stick" if any(one.sticks for one in drawn) else "sticks are counted when opened"
    how = f"Buds a stick were not counted for {hand.code}, so {each}: graftbook wood amend {hand.code} --buds NUMBER."
    return left, how


def left_phrase(sticks: int, buds_in_hand: int | None) -> str:
    """`6 sticks left, and 3 buds on the stick in hand`; None and 0 are no stick in hand."""
    open_stick = f", and {count(buds_in_hand, 'bud')} on the stick in hand" if buds_in_hand else ""
    return f"{count(sticks, 'stick')} left{open_stick}"


@dataclass
class InHand:
    """What is known of one bundle while grafts are drawn from it. `left` are whole sticks; `buds_left` belongs to the stick in
    hand (None: no stick is open, or its buds were not counted); `named` holds the buds used of each stick that was named;
    `ever` is how many sticks there ever were (None: not asked), `gone` says how a stick that went by its number went."""

    code: str
    left: int
    buds_per_stick: int | None
    buds_left: int | None = None
    named: dict[int, int] = field(default_factory=dict)
    ever: int | None = None
    gone: Mapping[int, str] = field(default_factory=dict)

    @property
    def any_left(self) -> bool:
        """Whether a scion may still be cut, from a whole stick or from the one in hand."""
        return self.left > 0 or bool(self.buds_left)


@dataclass(frozen=True)
class Drawn:
    """Sticks newly opened for one graft, and the buds then left on the stick in hand."""

    sticks: int
    buds_left: int | None


def draw(wood: InHand, buds: int, stick: int | None = None) -> Drawn:
    """Take one scion of so many buds and note it in `wood`. Raises Refused when the wood does not reach or the stick named is
    gone, UsageProblem for a stick the bundle never had."""
    if stick is not None:
        check_stick(wood, stick)
    return _take(wood, _from_named(wood, buds, stick) if stick is not None else _from_hand(wood, buds))


def check_stick(wood: InHand, stick: int) -> None:
    """Refuse a stick given away by its number. Raises UsageProblem for one the bundle never had."""
    if wood.ever is not None and not 1 <= stick <= wood.ever:
        raise UsageProblem(f"a stick of {wood.code} from 1 to {wood.ever}", f"{wood.code}/{stick}")
    if stick in wood.gone:
        raise Refused(
            f"a stick that is here, {wood.code}/{stick}", wood.gone[stick], "Take another stick of it",
            statement=f"{wood.code}/{stick} is not here: {wood.gone[stick]}",
        )  # fmt: skip


def sticks_of(grafts: Iterable[Graft]) -> dict[int, int | str]:
    """The stick that each graft of a bundle was cut from, by its id: the number where one was named, else `hand 1` for the
    first that these opened, in the order they were made. What was cut from a stick opened before them is absent."""
    found: dict[int, int | str] = {}
    opened = 0
    for graft in grafts:
        if graft.stick is not None:
            found[graft.id] = graft.stick
            continue
        opened += graft.sticks_drawn
        if opened:
            found[graft.id] = f"hand {opened}"
    return found


def draw_cut(wood: InHand, buds: Sequence[int], planned: int, first: bool) -> list[Drawn]:
    """The scions of one stick that was cut as planned, and note them in `wood`: a new stick is opened, so that what was left
    of the one before it is in hand no longer. Where this is the `first` stick of the plan and the one in hand has all the buds
    `planned` from it, it is that one. Raises Refused when the wood does not reach."""
    if wood.buds_per_stick is not None:
        _fits(wood, sum(buds), 0, wood.code)
    opens = not is_hand(wood, planned, first)
    drawn = []
    for number in buds:
        on_stick = wood.buds_per_stick if opens else wood.buds_left
        drawn.append(_take(wood, Drawn(int(opens), None if on_stick is None else on_stick - number)))
        opens = False
    return drawn


def is_hand(wood: InHand, planned: int, first: bool) -> bool:
    """Whether a stick of a plan, of which so many buds are planned, is the one in hand: the first, if that has so many."""
    return first and wood.buds_left is not None and wood.buds_left >= planned


def _take(wood: InHand, drawn: Drawn) -> Drawn:
    if drawn.sticks > wood.left:
        raise Refused(
            f"a stick left in {wood.code}", f"{wood.left} left", f"Count them again: graftbook wood count {wood.code} STICKS",
            statement=f"no stick is left in {wood.code}",
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
        most = max((wood.buds_per_stick or 0) - used, 0)
        raise Refused(
            f"a scion of at most {most} buds from {name}", f"{buds} buds",
            f"Take fewer buds, or mend the bundle: graftbook wood amend {wood.code} --buds NUMBER",
            statement=f"{name} has {count(most, 'bud')} for a scion, not {buds}",
        )  # fmt: skip
