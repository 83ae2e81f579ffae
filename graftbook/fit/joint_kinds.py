"""Which cut a method makes, how long the handbooks ask it to be, and the face that comes of it.

Lengths of cut are those the trade's table of methods prints in words and, where it has one, its multiple of the
diameter. Depths of chips, shields and side cuts are working values: how deep to cut is the grafter's choice, and a cut is
taken to be as deep as the handbooks' figures or, where the scion is thin, as deep as lets the widths agree.

Formulas, all derived from plain solid geometry: a plane that crosses a round stem at a slope so that the cut is n
diameters long shows the cambium as an ellipse sqrt(1 + n²) times as long as wide; a cut along the stem, e mm into the
wood of radius r, shows it as two lines sqrt(2re - e²) either side of the middle; the face of a wedge that starts at the
axis is one half of an ellipse. A split off the centre is made where its walls are as wide as the scion.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from graftbook.fit.joint_curves import Face, Ops, chord
from graftbook.trade.methods import Method

# A chip is cut 3 mm deep at its stop cut (North Carolina State University, Gardener Handbook), bark included.
CHIP_DEPTH_MM = 3.0
# A shield takes a quarter of the bud stick's thickness (from memory).
SHIELD_DEPTH = 0.25
# A side cut goes at most a quarter of the stem deep (the table of methods).
SIDE_DEPTH = 0.25
# A chip or a shield that goes deeper than this share of the wood's radius would reach the pith.
_MOST_OF_RADIUS = 0.8


@dataclass(frozen=True)
class Cut:
    """How a joint is cut: `shape` slant, saddle, split, chord, flat, barrel, chip or shield; length of cut in mm or diameters.

    `times` is the length in scion diameters, None where it is `length_mm` whatever the diameter.
    """

    shape: str
    times: float | None = None
    length_mm: float = 0.0

    def length(self, scion_mm: Any) -> Any:
        """Length of cut along the stem in mm for a scion of this diameter over bark; one length whatever the diameter
        where the handbooks print no multiple of it."""
        return self.length_mm + 0.0 * scion_mm if self.times is None else self.times * scion_mm


# Middles of the lengths in the table of methods.
_BY_METHOD = {
    "saddle": Cut("saddle", None, 19.0), "modified-cleft": Cut("chord", None, 31.5),
    "epicotyl": Cut("split", None, 50.0), "T-bud": Cut("shield", None, 22.0),
    "side-stub": Cut("flat", None, 25.0), "side-veneer": Cut("flat", None, 32.5),
}  # fmt: skip
_BY_FAMILY = {
    "slant": Cut("slant", 3.0), "wedge": Cut("split", None, 31.5),
    "under the bark": Cut("barrel", None, 37.5), "side": Cut("flat", None, 32.5), "chip": Cut("chip", None, 29.5),
}  # fmt: skip


def cut_of(method: Method) -> Cut | None:
    """The cut of a method, by its name or else by its family of joint; None where the geometry is not worked out.

    That is so for flaps, patches, rings, bridges, approach grafts, seeds, and what a die punches. A method's own
    `cut_times` goes before the family's.
    """
    found = _BY_METHOD.get(method.method) or _BY_FAMILY.get(method.family_of_joint)
    if found is None or method.cut_times is None or found.times is None:
        return found
    return Cut(found.shape, method.cut_times)


@dataclass(frozen=True)
class Sizes:
    """Scion and stock in mm over bark and the bark of each on one side, floats or arrays of one shape."""

    scion: Any
    stock: Any
    scion_bark: Any
    stock_bark: Any

    @property
    def scion_radius(self) -> Any:
        """Radius of the scion's cambium."""
        return self.scion / 2 - self.scion_bark

    @property
    def stock_radius(self) -> Any:
        """Radius of the stock's cambium."""
        return self.stock / 2 - self.stock_bark


def face_of(cut: Cut, sizes: Sizes, ops: Ops) -> Face:
    """The face of a cut for these sizes; see the module for the formulas."""
    r, stand, length = sizes.scion_radius, sizes.stock_radius, cut.length(sizes.scion)
    if cut.shape in ("slant", "saddle"):
        times = length / sizes.scion if cut.shape == "slant" else 2 * length / sizes.scion
        stretch = ops.sqrt(1 + times * times)
        return Face("ring", r, r * stretch, stand, stand * stretch, one_slope=True)
    if cut.shape == "chip":
        deep = chip_depth(sizes, ops)
        return Face("ring", chord(r, deep, ops), length / 2, chord(stand, deep, ops), length / 2)
    if cut.shape == "shield":
        width = chord(r, ops.high(SHIELD_DEPTH * sizes.scion - sizes.scion_bark, 0.1), ops)
        return Face("barrel", width, length / 2, stand, 0.0)
    steep = ops.sqrt(1 + (2 * length / sizes.scion) ** 2)
    if cut.shape in ("split", "chord"):
        return Face("lines", r, r * steep, stand if cut.shape == "split" else ops.low(r, stand), 0.0, one_slope=True)
    slant = r * ops.sqrt(1 + (length / sizes.scion) ** 2)
    if cut.shape == "flat":
        return Face("lines", r, slant, flat_width(sizes, ops), 0.0, one_slope=True)
    return Face("barrel", r, slant, stand, 0.0)


def chip_depth(sizes: Sizes, ops: Ops) -> Any:
    """How deep a chip goes into the wood in mm, the same in scion and stock: 3 mm less the bark, not near the pith."""
    thinner = ops.low(sizes.scion_radius, sizes.stock_radius)
    return ops.low(ops.high(CHIP_DEPTH_MM - sizes.scion_bark, 0.5), _MOST_OF_RADIUS * thinner)


def flat_width(sizes: Sizes, ops: Ops) -> Any:
    """Half the width in mm between the cambium lines of a flat on the stock's side: as the scion's, if it can be cut."""
    deepest = ops.high(SIDE_DEPTH * sizes.stock - sizes.stock_bark, 0.1)
    return ops.low(sizes.scion_radius, chord(sizes.stock_radius, deepest, ops))
