"""The phenological stage that days are counted from: green tip instead of the new year, so that years and places line up.

Green tip is the day on which green was first noted at the bud tips of a plant in a season (BBCH 07 to 09 of pome fruit).
Where it was not noted on the very plant, the median of the days on which it was noted on plants of the kind serves: of
those at the same place, else of all; and the answer names which.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from statistics import median_low

from graftbook.season import turn

GREEN_TIP = "green tip"
BAND_DAYS = 7

StageNote = tuple[int, str | None, str | None, date, str | None]
"""One note: the plant's id, its taxon, its place, the day, and the everyday word of the stage."""


@dataclass(frozen=True)
class SinceGreenTip:
    """Days from green tip, negative before it, and whose green tip it is: `own`, `kind here` or `kind`."""

    days: int
    whose: str


@dataclass(frozen=True)
class GreenTips:
    """The days of green tip by season: of each plant, of each kind at each place, of each kind."""

    hemisphere: str
    own: Mapping[tuple[int, str], date]
    here: Mapping[tuple[str, str, str], date]
    kinds: Mapping[tuple[str, str], date]

    def of_plant(self, plant_id: int, on: date) -> date | None:
        """When a plant was at green tip in the season of a day; None where that was not noted."""
        return self.own.get((plant_id, _season(on, self.hemisphere)))

    def since(
        self, on: date, plant_id: int | None, taxon: str | None, place: str | None = None
    ) -> SinceGreenTip | None:
        """How many days a day lies from green tip of the plant itself, else of its kind at the place, else of its kind
        anywhere; None where none was noted in the season, or nothing is known to look it up by."""
        season = _season(on, self.hemisphere)
        own = self.own.get((plant_id, season)) if plant_id is not None else None
        here = self.here.get((taxon, _plain(place), season)) if taxon and place else None
        kind = self.kinds.get((taxon, season)) if taxon else None
        for tip, whose in ((own, "own"), (here, "kind here"), (kind, "kind")):
            if tip is not None:
                return SinceGreenTip((on - tip).days, whose)
        return None


def green_tips(notes: Iterable[StageNote], hemisphere: str) -> GreenTips:
    """The days of green tip by dated stages of plants.

    Only notes whose word is GREEN_TIP count, the first of a plant in a season; `hemisphere` is `north` or `south`. The day of
    a kind is the lower median over its plants: a rule of this book, no source. Raises UsageProblem for an unknown hemisphere.
    """
    own: dict[tuple[int, str], date] = {}
    about: dict[int, tuple[str | None, str | None]] = {}
    for plant_id, taxon, place, on, stage in notes:
        about[plant_id] = (taxon, place)
        if stage == GREEN_TIP:
            key = (plant_id, _season(on, hemisphere))
            own[key] = min(on, own.get(key, on))
    here: dict[tuple[str, str, str], list[date]] = {}
    kinds: dict[tuple[str, str], list[date]] = {}
    for (plant_id, season), on in own.items():
        taxon, place = about[plant_id]
        if taxon:
            kinds.setdefault((taxon, season), []).append(on)
            if place:
                here.setdefault((taxon, _plain(place), season), []).append(on)
    return GreenTips(
        hemisphere, own, {key: median_low(days) for key, days in here.items()},
        {key: median_low(days) for key, days in kinds.items()},
    )  # fmt: skip


@lru_cache(maxsize=4096)
def band(days: int, wide: int = BAND_DAYS) -> str:
    """The class of `wide` days (1 or more) a number lies in, for tables: `-7 to -1`, `0 to 6`, `7 to 13`."""
    low = days // wide * wide
    return f"{low} to {low + wide - 1}"


@lru_cache(maxsize=8192)
def _season(on: date, hemisphere: str) -> str:
    return turn.season_of(on, hemisphere)


@lru_cache(maxsize=1024)
def _plain(place: str | None) -> str:
    return " ".join((place or "").casefold().split())
