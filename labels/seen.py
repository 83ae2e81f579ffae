"""From how far a tag is read: its code by a phone, its letters by a person.

A phone reads a code from about ten times the side of its dark area (common practice, the 10 to 1 rule). A person reads
letters whose capitals appear at least 16 minutes of arc high (ISO 9241-303, least character height; 20 to 22 are
preferred). Both are for good light and a clean tag.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan

from labels.layout import Placement
from labels.lettering import CAPITAL_EM, PT_MM

SIDES = 10.0
"""Reading distance of a code in sides of its dark area."""
LEAST_ANGLE = radians(16 / 60)
"""Least angle under which a capital letter is read, in radians."""


@dataclass(frozen=True, slots=True)
class TagReach:
    """From how far a tag is read, in mm: its code (None where it has none) and its largest letters, and the code's side
    without its white margin."""

    code_mm: float | None
    letters_mm: float
    side_mm: float | None


def reach(placement: Placement) -> TagReach:
    """How far the first code and the largest text of a tag reach."""
    side = placement.symbols[0].side if placement.symbols else None
    largest = max(box.size_pt for box in placement.texts)
    return TagReach(None if side is None else SIDES * side, letters_from(largest), side)


def letters_from(size_pt: float) -> float:
    """Distance in mm from which text of so many points is read."""
    return CAPITAL_EM * size_pt * PT_MM / tan(LEAST_ANGLE)
