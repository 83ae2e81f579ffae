"""The best place for a scion on its cut: the shift to one side that brings most of its cambium within reach.

The share at one shift is the length of the scion's outline that lies within reach of the stock's cambium, over the whole
length of the outline; the outline is followed in short chords, and where the gap crosses the reach inside a chord the
part of it is taken by proportion. A coarse row of shifts is tried, then a finer one round the best; of the finer shifts
that come within three thousandths of the best, the smallest is taken, since the hand is not that exact.

A middle that only just keeps both edges within reach is given up for one side, where a hand that errs by HAND_MM would
meet less of it than of the one side: the trade's rule to line up one side comes out of this.

Upper and lower half of every outline here are alike, so one half is followed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from graftbook.fit.joint_curves import ONE, Face, Ops, chord, gap

CHORDS = 32
COARSE = 9
FINE = 7
# Shifts this near the best share count as the best.
AS_GOOD = 0.003
# Where a scion is narrower by so many reaches on either side, no middle can help and only one side is tried.
FAR_APART = 1.5
# How far a hand may miss when it sets a scion in the middle, in mm (from memory).
HAND_MM = 0.15


@dataclass(frozen=True)
class ScionPlace:
    """A shift in mm to one side, 0 or more, and the shares within reach of the half on that side and of the far half;
    floats, or arrays of one shape."""

    shift_mm: Any
    near: Any
    far: Any

    @property
    def share(self) -> Any:
        """The share of the whole outline within reach, 0 to 1."""
        return (self.near + self.far) / 2


def at_shift(face: Face, reach_mm: float, shift_mm: float, chords: int = CHORDS) -> ScionPlace:
    """The share within reach with the scion `shift_mm` aside of the middle."""
    turns = [math.pi * at / chords for at in range(chords + 1)]
    points = [(face.half_width * math.cos(turn), face.half_length * math.sin(turn)) for turn in turns]
    spare = [reach_mm - gap(face, x, y, shift_mm, ONE) for x, y in points]
    lengths = [math.dist(first, second) for first, second in pairwise(points)]
    inside = [part * within(*ends) for part, ends in zip(lengths, pairwise(spare), strict=True)]
    half = sum(lengths) / 2
    middle = chords // 2
    return ScionPlace(shift_mm, min(1.0, sum(inside[:middle]) / half), min(1.0, sum(inside[middle:]) / half))


def within(first: float, second: float) -> float:
    """The part of a chord that is within reach, from what is to spare at either end."""
    if first >= 0 and second >= 0:
        return 1.0
    if first < 0 and second < 0:
        return 0.0
    return max(first, second) / (abs(first) + abs(second))


def far_apart(face: Face, reach_mm: float) -> Any:
    """Whether the scion is so much narrower that no middle can help; a bool, or an array of them."""
    return (face.against != "barrel") & (face.across - face.half_width >= FAR_APART * reach_mm)


def limits(face: Face, reach_mm: float, ops: Ops) -> tuple[Any, list[Any]]:
    """The largest shift that can help, and those where sides come flush or let go; floats or arrays."""
    if face.against == "barrel":
        return face.half_width, [ops.high(0.0, face.half_width - chord(face.across, reach_mm, ops))]
    apart = abs(face.across - face.half_width)
    return apart + reach_mm, [apart, abs(reach_mm - apart)]


def spots(face: Face, reach_mm: float) -> list[float]:
    """The shifts to try first, rising: a row from the middle as far as any can help, and those of `limits`."""
    far, marks = limits(face, reach_mm, ONE)
    return sorted([*(far * at / (COARSE - 1) for at in range(COARSE)), *marks])


def best_place(face: Face, reach_mm: float) -> ScionPlace:
    """The best shift for one face, on plain numbers; `reach_mm` is above 0."""
    apart = abs(face.across - face.half_width)
    if far_apart(face, reach_mm):
        shifts = [apart + reach_mm] if face.one_slope else row(apart - reach_mm, apart + reach_mm)
        return _smallest_best([at_shift(face, reach_mm, shift) for shift in shifts])
    tried = [at_shift(face, reach_mm, shift) for shift in spots(face, reach_mm)]
    at = max(range(len(tried)), key=lambda place: tried[place].share)
    low, high = tried[max(at - 1, 0)].shift_mm, tried[min(at + 1, len(tried) - 1)].shift_mm
    best = _smallest_best([tried[0], tried[at], *(at_shift(face, reach_mm, shift) for shift in row(low, high))])
    if face.against == "barrel" or best.shift_mm >= apart:
        return best
    beside = _smallest_best([at_shift(face, reach_mm, shift) for shift in row(apart, apart + reach_mm)])
    return beside if at_shift(face, reach_mm, best.shift_mm + HAND_MM).share < beside.share else best


def row(low: float, high: float) -> list[float]:
    """The finer row of shifts between two."""
    return [low + (high - low) * part / (FINE - 1) for part in range(FINE)]


def _smallest_best(places: list[ScionPlace]) -> ScionPlace:
    """The place with the smallest shift of those whose share is as good as the best."""
    most = max(place.share for place in places)
    return min((place for place in places if place.share >= most - AS_GOOD), key=lambda place: place.shift_mm)
