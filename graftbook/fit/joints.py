"""How well the cut faces of a scion and a stock can meet: a model of round stems and plane cuts, and no forecast of take.

The model. A stem is a circle; the cambium lies one thickness of bark inside it. What the knife leaves is plain solid
geometry (`joint_kinds`), the scion is shifted to one side until most of its cambium lies within reach of the stock's
(`joint_search`), and reach is the gap callus is trusted to bridge. Wobble of the knife, crooked wood, the tongue and the
pull of the tie are left out. No trial gives take against millimetres of mismatch for fruit trees: use it to choose between
scions, not to foretell. The limits the handbooks print stay the gates.

Two shares come of it, both from 0 to 1. `share` is the part of the scion's cambium within reach. A very thin scion is all
of it near something while most of the stock's cut stays bare, and a scion that overhangs meets nothing where it does; so for
cuts that are laid face to face `met` is the share times the width of the scion's cambium over the stock's, an overhang
counting twice, and it is `met` that ranks. Elsewhere the two are one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from graftbook.fit.facts import Range
from graftbook.fit.gate import overlap
from graftbook.fit.joint_curves import ONE, Ops
from graftbook.fit.joint_kinds import Cut, Sizes, cut_of, face_of
from graftbook.fit.joint_search import HAND_MM, ScionPlace, best_place
from graftbook.trade import bark_thickness
from graftbook.trade.bark_thickness import BarkRow
from graftbook.trade.methods import Method

# The gap in mm that callus is trusted to bridge: an assumption, since no source prints one (from memory).
REACH_MM = 0.5
# Thicker by a share counts as much as thinner by twice that share: an overhang meets nothing.
THICKER_COSTS = 2.0
# A shift smaller than the error of a hand counts as the middle.
CENTRED_MM = HAND_MM
# A side counts as met from this share of its cambium on.
SIDE_COUNTS = 0.2


@dataclass(frozen=True)
class JointAssumptions:
    """What the grower may set for the model: reach in mm above 0, and the grower's own rows of bark."""

    reach_mm: float = REACH_MM
    own_bark: tuple[BarkRow, ...] = ()


USUAL = JointAssumptions()


@dataclass(frozen=True)
class Joint:
    """One scion on one stock by one method, laid as well as the model can.

    Sizes in mm over bark, bark on one side. `share` and `met` as the module says; `shift_mm` how far the scion's middle
    stands from the stock's (for bark and shield: from where the flat touches), `alignment` centred or one side, `sides`
    0 to 2 of the scion's edges met.
    """

    method: str
    cut: Cut
    sizes: Sizes
    reach_mm: float
    share: float
    met: float
    shift_mm: float
    alignment: str
    sides: int

    @property
    def of_aim(self) -> float:
        """The share of what the method sets out to meet, 0 to 1: of a wedge in a split that is its outer edge alone."""
        return min(1.0, self.share / (0.5 if self.cut.shape == "split" else 1.0))

    @property
    def cut_mm(self) -> float:
        """The length of cut in mm the handbooks ask for."""
        return float(self.cut.length(self.sizes.scion))

    @property
    def room_for(self) -> int:
        """How many such scions the split holds, 1 where there is no split."""
        return 2 if self.cut.shape == "split" and 2 * self.sizes.scion <= self.sizes.stock else 1


def joint(
    method: Method,
    scion_mm: float,
    stock_mm: float,
    scion_taxon: str,
    stock_taxon: str,
    given: JointAssumptions = USUAL,
) -> Joint | None:
    """The joint of one scion and one stock, diameters in mm over bark; None where the method has no model.

    Raises ValueError for a diameter or a reach that is not above 0.
    """
    cut = cut_of(method)
    if cut is None:
        return None
    sizes = sizes_of(scion_mm, stock_mm, scion_taxon, stock_taxon, given)
    return laid(method, cut, sizes, placed(cut, sizes, given.reach_mm), given.reach_mm)


def laid(method: Method, cut: Cut, sizes: Sizes, place: ScionPlace, reach_mm: float) -> Joint:
    """The joint that a place found makes, sizes in mm."""
    sides = sum(half >= SIDE_COUNTS for half in (place.near, place.far))
    alignment = "centred" if place.shift_mm < CENTRED_MM else "one side"
    share, joined = round(place.share, 4), round(met_of(cut, sizes, place.share, ONE), 4)
    return Joint(method.method, cut, sizes, reach_mm, share, joined, round(place.shift_mm, 3), alignment, sides)


def sizes_of(
    scion_mm: float, stock_mm: float, scion_taxon: str, stock_taxon: str, given: JointAssumptions = USUAL
) -> Sizes:
    """Diameters with the bark of either side, the grower's where given. Raises ValueError as `joint`."""
    if not given.reach_mm > 0:
        raise ValueError(f"a reach above 0 mm; found {given.reach_mm}")
    barks = layer(scion_mm, scion_taxon, given.own_bark), layer(stock_mm, stock_taxon, given.own_bark)
    return Sizes(scion_mm, stock_mm, *barks)


def layer(size_mm: float, taxon: str, own: tuple[BarkRow, ...] = ()) -> float:
    """Bark in mm on one side of a stem so thick over bark. Raises ValueError as `joint`."""
    if not size_mm > 0:
        raise ValueError(f"a diameter above 0 mm; found {size_mm}")
    return _bark(taxon, own).at(size_mm)


@lru_cache(maxsize=1000)
def _bark(taxon: str, own: tuple[BarkRow, ...]) -> BarkRow:
    return bark_thickness.of(taxon, own)


@lru_cache(maxsize=50_000)
def placed(cut: Cut, sizes: Sizes, reach_mm: float) -> ScionPlace:
    """The best place for plain numbers, remembered."""
    return best_place(face_of(cut, sizes, ONE), reach_mm)


def met_of(cut: Cut, sizes: Sizes, share: Any, ops: Ops) -> Any:
    """What is met of the whole joint, see the module; 0 to the share. Floats, or arrays of one shape."""
    if cut.shape not in ("slant", "saddle"):
        return share
    ratio = sizes.scion_radius / sizes.stock_radius
    return share * ops.low(ratio, ops.high(0.0, 1 - THICKER_COSTS * (ratio - 1)))


def pairings(scion: Range, stock: Range, method: Method) -> tuple[tuple[float, float], ...]:
    """The pairs of diameters in mm worth looking at within two ranges: their ends, and an equal pair where there is one.

    The scion is picked within the method's limits where some of the wood is; one measured scion and stock are one pair.
    Sizes are taken to a tenth of a millimetre, as callipers are read.
    """
    scion, stock = tenths(scion), tenths(stock)
    usable = overlap(scion, method.scion_ok) or scion
    pairs = [(d, stand) for d in usable for stand in stock]
    both = overlap(usable, stock)
    if both is not None:
        pairs.append((sum(both) / 2, sum(both) / 2))
    return tuple(dict.fromkeys(pairs))


def tenths(size: Range) -> Range:
    """A range of diameters in mm to a tenth of a mm, at least that."""
    return max(1, round(size[0] * 10)) / 10, max(1, round(size[1] * 10)) / 10


def best_joint(
    method: Method, scion: Range, stock: Range, scion_taxon: str, stock_taxon: str, given: JointAssumptions = USUAL
) -> Joint | None:
    """The joint that can be met best within two ranges of diameters in mm; None where the method has no model."""
    return best_of(joint(method, *pair, scion_taxon, stock_taxon, given) for pair in pairings(scion, stock, method))


def best_of(joints: Iterable[Joint | None]) -> Joint | None:
    """The joint met best, of equal ones the first; None where there is none."""
    known = [each for each in joints if each is not None]
    return max(known, key=lambda each: round(each.met, 3)) if known else None
