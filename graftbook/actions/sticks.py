"""Drawing scions from the sticks of a bundle.

A scion never spans two sticks. Where the buds a stick carries were counted, one stick gives as many scions as its buds
allow: the next graft cuts from the stick in hand until too few buds are left on it, then a new stick is opened. Where
they were not counted, each graft is counted as one stick and a note says so. A stick that was named (`W7/3`) is opened
once, however many scions come from it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from graftbook.errors import Refused


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
