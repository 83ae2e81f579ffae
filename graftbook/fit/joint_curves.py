"""How far the outline of a cut lies from what it is set against, for one pair or for many at once.

Everything is in mm on the cut face: x across the stem, y along the cut. The cambium of the scion's cut is an ellipse
with half-axes (`half_width`, `half_length`), its middle `shift` to one side. What it is set against is one of

- `ring`: the stock's cambium is an ellipse too, middle at 0 (two slant cuts, two cuts of one die, a chip in its window);
- `lines`: the stock's cambium is two lines along the stem at x = -across and +across (a split, a flat on the side);
- `barrel`: the stock's cambium is the bare wood under the lifted bark, a cylinder of radius `across` that a flat touches
  along the line x = shift, so that the gap grows to either side of it by the sagitta.

The functions take floats or numpy arrays alike: `Ops` hands in the three operations that differ.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

# Rounds of the search for the nearest point of an ellipse: three bring the error near it below a hundredth of a mm.
ROUNDS = 3
_TINY = 1e-12


@dataclass(frozen=True)
class Ops:
    """Square root, smaller and larger of two: those of floats, or those of arrays."""

    sqrt: Callable[[Any], Any]
    low: Callable[[Any, Any], Any]
    high: Callable[[Any, Any], Any]


ONE = Ops(math.sqrt, min, max)


@lru_cache(maxsize=1)
def for_arrays() -> Ops:
    """The operations on numpy arrays, element by element."""
    import numpy as np

    return Ops(np.sqrt, np.minimum, np.maximum)


@dataclass(frozen=True)
class Face:
    """A cut of the scion and what it is set against; lengths in mm, floats or arrays of one shape.

    `against` is ring, lines or barrel. `across` and `along` are the stock's half-axes; `along` is 0 where it has none.
    `one_slope` says that both were cut at one slope, or that the stock's cambium is straight: then, where the two lie far
    apart, the best is to set the scion a whole reach past flush.
    """

    against: str
    half_width: Any
    half_length: Any
    across: Any
    along: Any
    one_slope: bool = False

    def mapped(self, part: Callable[[Any], Any]) -> Face:
        """The same face with its four lengths as `part` makes them, such as some of the pairs or a further axis."""
        wide, long, across, along = map(part, (self.half_width, self.half_length, self.across, self.along))
        return Face(self.against, wide, long, across, along, self.one_slope)


def gap(face: Face, x: Any, y: Any, shift: Any, ops: Ops) -> Any:
    """Distance in mm between the point (x, y) of the scion's outline, its middle at 0, and the stock's cambium."""
    if face.against == "ring":
        return to_ellipse(x + shift, y, face.across, face.along, ops)
    if face.against == "lines":
        return ops.low(abs(x + shift - face.across), abs(x + shift + face.across))
    return sagitta(face.across, x - shift, ops)


def sagitta(radius: Any, aside: Any, ops: Ops = ONE) -> Any:
    """How far a cylinder has fallen away from a flat that touches it, `aside` from the line of touch: R - sqrt(R² - a²).

    Beyond the cylinder's edge the gap goes on growing by what is beyond.
    """
    within = ops.low(abs(aside), radius)
    return radius - ops.sqrt(radius * radius - within * within) + (abs(aside) - within)


def chord(radius: Any, deep: Any, ops: Ops = ONE) -> Any:
    """Half the width in mm of a cut that goes `deep` mm into wood of this radius: sqrt(2re - e²), r where e is more.

    So far aside of the line of touch, too, the gap under a flat on a cylinder stays within a reach of `deep`.
    """
    deep = ops.low(deep, radius)
    return ops.sqrt(2 * radius * deep - deep * deep)


def to_ellipse(x: Any, y: Any, a: Any, b: Any, ops: Ops) -> Any:
    """Distance of points from the ellipse with half-axes a along x and b along y, both above 0.

    The nearest point is sought by replacing the ellipse near the last guess by its circle of curvature, whose centre
    lies on the evolute; derived, and checked in the tests against buffers drawn by another library.
    """
    px, py = abs(x), abs(y)
    per_a, per_b = 1 / a, 1 / b
    evolute = (a * a - b * b) * per_a, (b * b - a * a) * per_b
    tx = ty = 0.5**0.5 + 0 * (px + py + a + b)
    for _ in range(ROUNDS):
        ex, ey = evolute[0] * (tx * tx * tx), evolute[1] * (ty * ty * ty)
        far_x, far_y = a * tx - ex, b * ty - ey
        off_x, off_y = px - ex, py - ey
        away = ops.high(off_x * off_x + off_y * off_y, _TINY * _TINY)
        stretch = ops.sqrt((far_x * far_x + far_y * far_y) / away)
        tx = ops.low(ops.high((off_x * stretch + ex) * per_a, _TINY), 1.0)
        ty = ops.low(ops.high((off_y * stretch + ey) * per_b, _TINY), 1.0)
        per_size = 1 / ops.sqrt(tx * tx + ty * ty)
        tx, ty = tx * per_size, ty * per_size
    off_x, off_y = a * tx - px, b * ty - py
    return ops.sqrt(off_x * off_x + off_y * off_y)
