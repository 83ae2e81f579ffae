"""Where on its host a graft sits: the sixteen points of the compass, and how far two positions are apart.

The points stand 22.5 degrees apart, clockwise from north; a point between whole degrees is kept as the degree below it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from graftbook.errors import UsageProblem

POINTS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
POINT_DEG = 22.5
BY_EYE_DEG = 23
"""A bearing estimated by eye may be meant for the point beside it: so many degrees."""
_LETTERS: Mapping[str, str] = MappingProxyType({"north": "N", "east": "E", "south": "S", "west": "W"})
_DEGREES = re.compile(r"(\d{1,3})\s*(?:°|º|deg(?:rees)?)?$")


@dataclass(frozen=True)
class Spot:
    """A position: bearing in whole degrees, 0 to 359, and height along the stem in mm; None where it is not known."""

    bearing_deg: int | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class Apart:
    """How far two positions are apart, in degrees round the stem and in mm along it; None where either is not known."""

    bearing_deg: int | None
    height_mm: float | None


def bearing(text: str) -> int:
    """A bearing in whole degrees clockwise from north, 0 to 359, from one of the sixteen points or a number of degrees.

    Raises UsageProblem for anything else.
    """
    cleaned = text.strip()
    if (match := _DEGREES.match(cleaned)) is not None and int(match[1]) <= 360:
        return int(match[1]) % 360
    point = cleaned.casefold()
    for name, letter in _LETTERS.items():
        point = point.replace(name, letter)
    letters = point.upper().replace("-", "").replace(" ", "")
    if letters not in POINTS:
        raise UsageProblem("a bearing such as NW, north-west or 300", repr(text))
    return int(POINTS.index(letters) * POINT_DEG)


def point(bearing_deg: int) -> str:
    """The nearest of the sixteen points to a bearing in degrees."""
    return POINTS[round(bearing_deg / POINT_DEG) % len(POINTS)]


def round_apart(first_deg: int, second_deg: int) -> int:
    """The smaller angle between two bearings, 0 to 180 degrees."""
    gap = abs(first_deg - second_deg) % 360
    return min(gap, 360 - gap)


def apart(sought: Spot, held: Spot) -> Apart:
    """How far a recorded position (`held`) is from one that is sought: round the stem 0 to 180 degrees, along it `held` minus
    `sought` in mm; None where either is not known."""
    turn, rise = None, None
    if sought.bearing_deg is not None and held.bearing_deg is not None:
        turn = round_apart(sought.bearing_deg, held.bearing_deg)
    if sought.height_mm is not None and held.height_mm is not None:
        rise = held.height_mm - sought.height_mm
    return Apart(turn, rise)


def may_be(sought: Spot, held: Spot, within_mm: float, within_deg: int = BY_EYE_DEG) -> bool:
    """Whether a recorded position may be the one sought: within `within_mm` along the stem and `within_deg` round it, both 0 or
    more; a position that was not recorded excludes nothing."""
    gap = apart(sought, held)
    near_round = gap.bearing_deg is None or gap.bearing_deg <= within_deg
    return near_round and (gap.height_mm is None or abs(gap.height_mm) <= within_mm)
