"""How long a bundle of scion wood is still good for.

No trial gives a day on which stored wood of a temperate fruit tree dies: there are calendars of extension writers and
reports of growers, and they differ by months. So the clock gives a band, from the time wood usually keeps to the
longest such wood is counted on, and words no finer than that. What was seen on the wood counts for more than its age:
swelling buds, drying or mould bring it to the front, dead wood is spoilt whatever its age, and a later look overrules
an earlier one.

Wood that was moved lived at several temperatures. Each stay uses up its share of the time such wood keeps there, and the
shares are added: a rule of this book, since no calibration of warmth in store was ever published.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import TypeVar

from graftbook.errors import UsageProblem
from graftbook.trade import keeping as table

Key = TypeVar("Key")

STATES = ("fresh", "use first", "past the usual time", "past the longest known", "spoilt", "unknown")
GOING_OFF = ("swelling", "drying", "mould")

# Wood is put to the front when less than this share of its usual time is left: a rule of this book, no source.
LAST_SHARE = 0.25

# The usual words for each condition: common practice.
_SEEN = MappingProxyType({
    "sound": "it looked sound",
    "swelling": "the buds were swelling: use it now",
    "drying": "it was drying: use it now, and try the green under the bark first",
    "mould": "it had mould: wipe it, try the green under the bark, use it soon",
    "dead": "it was dead",
})  # fmt: skip
CONDITIONS = tuple(_SEEN)
_SWELLING_STONE = "the buds were swelling: use it today, swollen stone fruit wood seldom takes"


@dataclass(frozen=True)
class Keeping:
    """How a bundle stands on a day.

    `age_days`: days since it was cut, None when that is not known or lies ahead. `usual_days`, `longest_days`: how long
    such wood usually keeps and the longest known, in days from cutting, None when the table is silent. `basis`, `source`:
    where the band comes from. `condition`: the last look that counts, None when there was none. `least_days`: where its age
    is not known, the days it has been here, which it is at least old; None otherwise, or where that is not known either.
    `words`: a sentence for people.
    """

    age_days: int | None
    usual_days: int | None
    longest_days: int | None
    basis: str
    source: str
    condition: str | None = None
    least_days: int | None = None
    words: str = ""

    def is_past(self, days: int | None) -> bool:
        """Whether it is certainly older than so many days; None is never passed."""
        old = self.age_days if self.age_days is not None else self.least_days
        return old is not None and days is not None and old > days

    @property
    def state(self) -> str:
        """One of STATES."""
        if self.condition == "dead":
            return "spoilt"
        if self.is_past(self.longest_days):
            return "past the longest known"
        if self.is_past(self.usual_days):
            return "past the usual time"
        if self.condition in GOING_OFF:
            return "use first"
        limit = self.usual_days if self.usual_days is not None else self.longest_days
        if self.age_days is None or limit is None:
            return "unknown"
        return "use first" if limit - self.age_days < limit * LAST_SHARE else "fresh"

    @property
    def days_left_low(self) -> int | None:
        """Days to the end of the usual time, 0 when past, None when not known."""
        return self._left(self.usual_days)

    @property
    def days_left_high(self) -> int | None:
        """Days to the end of the longest known time, 0 when past, None when not known."""
        return self._left(self.longest_days)

    def _left(self, days: int | None) -> int | None:
        if self.is_past(days):
            return 0
        return None if self.age_days is None or days is None else days - self.age_days


def clock(
    taxon: str,
    wood_kind: str,
    cut_on: date | None,
    temperature_c: float | None,
    conditions: Sequence[tuple[date, str]],
    on: date,
    own: Sequence[table.KeepingRow] = (),
    stays: Sequence[tuple[date, float | None]] = (),
    came_on: date | None = None,
) -> Keeping:
    """How long wood of a taxon has kept and may still keep on the day `on`.

    Parameters
    ----------
    taxon, wood_kind : its kind under any of its names; `dormant` or `summer`.
    cut_on : when it was cut; None when not known, and then its age is not known either.
    temperature_c : where it is stored, in C; None when not known.
    conditions : dated looks, each one of CONDITIONS, of which the last on or before `on` counts.
    own : the grower's own rows for the table of keeping, which answer before the trade's.
    stays : the temperatures in C it was kept at from a day on, for wood that was moved; empty for all its time at
        `temperature_c`. Each stay uses up days / usual days of such wood there, and these shares are added: a rule of this
        book, no source.
    came_on : when it came here, for wood of which nobody knows when it was cut: it is at least that old, and past its time
        once it has been here longer than such wood keeps. None when not known.

    Raises UsageProblem for a condition that is not one of CONDITIONS.
    """
    look = _last_look(conditions, on)
    age = None if cut_on is None or cut_on > on else (on - cut_on).days
    least = (on - came_on).days if cut_on is None and came_on is not None and came_on <= on else None
    spans = () if age is None or cut_on is None else spans_of(stays, cut_on, on)
    now = spans[-1][1] if spans else temperature_c
    band = table.band(taxon, wood_kind, now, own)
    usual, longest = band.usual_days, band.longest_days
    moved = len({degrees for _, degrees in spans}) > 1
    if moved:
        bands = [(days, table.band(taxon, wood_kind, degrees, own)) for days, degrees in spans]
        usual = _with_shares(usual, [(days, each.usual_days) for days, each in bands])
        longest = _with_shares(longest, [(days, each.longest_days) for days, each in bands])
    condition = None if look is None else look[1]
    found = Keeping(age, usual, longest, band.basis, band.source, condition, least)
    words = _words(found, look, cut_on, taxon.startswith("Prunus"))
    return replace(found, words=words + (_moved_words(spans) if moved else ""))


def spans_of(
    stays: Sequence[tuple[date, float | None]], cut_on: date, on: date
) -> tuple[tuple[int, float | None], ...]:
    """How many days wood lay at each temperature in C from when it was cut to a day, one stay after the other.

    The first stay counts from the cut, stays still to come do not, and of two on one day the last; empty without stays.
    """
    by_day = dict(sorted(((day, degrees) for day, degrees in stays if day <= on), key=lambda stay: stay[0]))
    if not by_day:
        earliest = min(stays, key=lambda stay: stay[0], default=None)
        return () if earliest is None else (((on - cut_on).days, earliest[1]),)
    begins = [cut_on, *list(by_day)[1:], on]
    return tuple(
        (max(0, (max(end, cut_on) - max(begin, cut_on)).days), degrees)
        for begin, end, degrees in zip(begins, begins[1:], by_day.values(), strict=False)
    )


def _with_shares(now: int | None, spans: list[tuple[int, int | None]]) -> int | None:
    """Days from cutting at which wood of this past has used up its time, or will have where it lies now; None where a stay
    has no band. Each stay is so many days and the days such wood keeps there."""
    if now is None or any(days and band is None for days, band in spans):
        return None
    age, left = 0, 1.0
    for days, band in spans:
        if band and days >= left * band:
            return round(age + left * band)
        age, left = age + days, left - (days / band if band else 0.0)
    return round(age + left * now)


def _moved_words(spans: tuple[tuple[int, float | None], ...]) -> str:
    periods = [
        f"{days} days at {'an unknown temperature' if at is None else f'{at:g} C'}" for days, at in spans if days
    ]
    if len(periods) < 2:
        return ""
    return f"; it lay {', '.join(periods)}, each counted by its share of what such wood keeps there"


def use_first(bundles: Iterable[tuple[Key, Keeping]]) -> tuple[tuple[Key, Keeping], ...]:
    """The bundles in the order in which they are expected to go off, the first to go first.

    Wood seen swelling, drying or mouldy leads, then what has least of its usual time left. Wood whose time is not known
    follows, oldest first, and spoilt wood comes last. Equal ones stay in the order given.
    """
    return tuple(sorted(bundles, key=lambda pair: _urgency(pair[1])))


def about(days: int) -> str:
    """A number of days, 0 or more, as a grower says it: days up to a fortnight, then about so many weeks, then months."""
    if days < 14:
        return f"{days} day{'' if days == 1 else 's'}"
    if days < 63:
        return f"about {round(days / 7)} weeks"
    return f"about {round(days / 30.4)} months"


def _urgency(keeping: Keeping) -> tuple[int, int, int, int]:
    age = keeping.age_days if keeping.age_days is not None else keeping.least_days or 0
    usual_left, longest_left = (
        10_000 if days is None else days - age for days in (keeping.usual_days, keeping.longest_days)
    )
    group = 3 if keeping.state == "spoilt" else 2 if keeping.state == "unknown" else 1
    if keeping.condition in GOING_OFF:
        group = 0
    return group, usual_left, longest_left, -age


def _last_look(conditions: Sequence[tuple[date, str]], on: date) -> tuple[date, str] | None:
    for _, word in conditions:
        if word not in CONDITIONS:
            raise UsageProblem(f"a condition of wood, one of {', '.join(CONDITIONS)}", repr(word))
    seen = [look for look in conditions if look[0] <= on]
    return max(reversed(seen), key=lambda look: look[0], default=None)


def _words(kept: Keeping, look: tuple[date, str] | None, cut_on: date | None, stone: bool) -> str:
    words = _age_words(kept, cut_on)
    if look is None:
        return words
    seen = _SWELLING_STONE if stone and look[1] == "swelling" else _SEEN[look[1]]
    return f"{words}; on {look[0].isoformat()} {seen}"


def _age_words(kept: Keeping, cut_on: date | None) -> str:
    age, usual, longest = kept.age_days, kept.usual_days, kept.longest_days
    old = "cut today" if age == 0 else f"cut {about(age)} ago" if age is not None else ""
    if cut_on is None:
        old = "when it was cut is not known"
        if kept.least_days is None or not (kept.is_past(usual) or kept.is_past(longest)):
            return old
        old += f", it came {about(kept.least_days)} ago"
    elif age is None:
        return f"it is to be cut on {cut_on.isoformat()}, which lies ahead"
    if usual is None and longest is None:
        return f"{old}; how long such wood keeps is not known"
    if longest is not None and kept.is_past(longest):
        return f"{old}, past the longest known ({about(longest)}); try the green under the bark"
    if usual is not None and kept.is_past(usual):
        best = "" if longest is None or longest == usual else f"; some has kept {about(longest)}"
        return f"{old}, past the usual {about(usual)}{best}"
    return f"{old}; such wood keeps {_span(usual, longest)}"


def _span(usual: int | None, longest: int | None) -> str:
    if usual is None:
        return "" if longest is None else f"{about(longest)} at the very most"
    if longest is None or about(longest) == about(usual):
        return f"{about(usual)} as a rule"
    return f"{about(usual)} as a rule, {about(longest)} at best"
