"""How long a bundle of scion wood is still good for.

No trial gives a day on which stored wood of a temperate fruit tree dies: there are calendars of extension writers and
reports of growers, and they differ by months. So the clock gives a band, from the time wood usually keeps to the
longest such wood is counted on, and words no finer than that. What was seen on the wood counts for more than its age:
swelling buds, drying or mould bring it to the front, dead wood is spoilt whatever its age, and a later look overrules
an earlier one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from graftbook.errors import UsageProblem
from graftbook.trade import keeping as table

Key = TypeVar("Key")

STATES = ("fresh", "use first", "past the usual time", "past the longest known", "spoilt", "unknown")
CONDITIONS = ("sound", "swelling", "drying", "mould", "dead")

# Wood is put to the front when less than this share of its usual time is left: a rule of this book, no source.
LAST_SHARE = 0.25

# What is usually said of each condition; common practice except where the words of the table say otherwise.
_SEEN = (
    ("sound", "it looked sound"),
    ("swelling", "the buds were swelling: use it now"),
    ("drying", "it was drying: use it now, and try the green under the bark first"),
    ("mould", "it had mould: wipe it, try the green under the bark, use it soon"),
    ("dead", "it was dead"),
)
_SWELLING_STONE = "the buds were swelling: use it today, swollen stone fruit wood seldom takes"


@dataclass(frozen=True)
class Keeping:
    """How a bundle stands on a day.

    `age_days`: days since it was cut, None when that is not known or lies ahead. `usual_days`, `longest_days`: how long
    such wood usually keeps and the longest known, in days from cutting, None when the table is silent. `state`: one of
    STATES. `words`: a sentence for people. `basis`, `source`: where the band comes from. `days_left_low`,
    `days_left_high`: days to the end of the usual and of the longest known time, 0 when past, None when not known.
    `condition`: the last look that counts, None when there was none.
    """

    age_days: int | None
    usual_days: int | None
    longest_days: int | None
    state: str
    words: str
    basis: str
    source: str
    days_left_low: int | None
    days_left_high: int | None
    condition: str | None = None


def clock(
    taxon: str,
    wood_kind: str,
    cut_on: date | None,
    temperature_c: float | None,
    conditions: Sequence[tuple[date, str]],
    on: date,
    own: Sequence = (),
) -> Keeping:
    """How long wood of a taxon has kept and may still keep on the day `on`.

    `wood_kind` is `dormant` or `summer`; `temperature_c` where it is stored, in degrees C, None when not known;
    `conditions` are dated looks, each one of CONDITIONS, of which the last on or before `on` counts; `own` are the
    grower's own rows for the table of keeping. Raises UsageProblem for a condition that is not one of CONDITIONS.
    """
    look = _last_look(conditions, on)
    condition = None if look is None else look[1]
    band = table.band(taxon, wood_kind, temperature_c, own)
    usual, longest = band.usual_days, band.longest_days
    age = None if cut_on is None or cut_on > on else (on - cut_on).days
    return Keeping(
        age_days=age,
        usual_days=usual,
        longest_days=longest,
        state=_state(age, usual, longest, condition),
        words=_words(age, usual, longest, look, cut_on, taxon.startswith("Prunus")),
        basis=band.basis,
        source=band.source,
        days_left_low=_left(age, usual),
        days_left_high=_left(age, longest),
        condition=condition,
    )


def use_first(bundles: Iterable[tuple[Key, Keeping]]) -> tuple[tuple[Key, Keeping], ...]:
    """The bundles in the order in which they are expected to go off, the first to go first.

    Wood seen swelling, drying or mouldy leads, then what has least of its usual time left. Wood whose time is not known
    follows, oldest first, and spoilt wood comes last. Equal ones stay in the order given.
    """
    return tuple(sorted(bundles, key=lambda pair: _urgency(pair[1])))


def about(days: int) -> str:
    """A number of days as a grower says it: days up to a fortnight, then about so many weeks, then months."""
    if days < 14:
        return f"{days} day{'' if days == 1 else 's'}"
    if days < 63:
        return f"about {round(days / 7)} weeks"
    return f"about {round(days / 30.4)} months"


def _urgency(keeping: Keeping) -> tuple[int, int, int, int]:
    age = keeping.age_days if keeping.age_days is not None else 0
    ahead = 10_000
    usual_left = ahead if keeping.usual_days is None else keeping.usual_days - age
    longest_left = ahead if keeping.longest_days is None else keeping.longest_days - age
    if keeping.state == "spoilt":
        group = 3
    elif keeping.condition in ("swelling", "drying", "mould"):
        group = 0
    else:
        group = 2 if keeping.state == "unknown" else 1
    return group, usual_left, longest_left, -age


def _last_look(conditions: Sequence[tuple[date, str]], on: date) -> tuple[date, str] | None:
    for _, word in conditions:
        if word not in CONDITIONS:
            raise UsageProblem(f"a condition of wood, one of {', '.join(CONDITIONS)}", repr(word))
    seen = [look for look in conditions if look[0] <= on]
    last = max((day for day, _ in seen), default=None)
    return None if last is None else [look for look in seen if look[0] == last][-1]


def _state(age: int | None, usual: int | None, longest: int | None, condition: str | None) -> str:
    if condition == "dead":
        return "spoilt"
    if age is not None and longest is not None and age > longest:
        return "past the longest known"
    if age is not None and usual is not None and age > usual:
        return "past the usual time"
    if condition in ("swelling", "drying", "mould"):
        return "use first"
    if age is None or (usual is None and longest is None):
        return "unknown"
    limit = usual if usual is not None else longest
    return "use first" if limit - age < limit * LAST_SHARE else "fresh"


def _left(age: int | None, days: int | None) -> int | None:
    return None if age is None or days is None else max(0, days - age)


def _words(
    age: int | None,
    usual: int | None,
    longest: int | None,
    look: tuple[date, str] | None,
    cut_on: date | None,
    stone: bool,
) -> str:
    parts = [_age_words(age, usual, longest, cut_on)]
    if look is not None:
        said = _SWELLING_STONE if stone and look[1] == "swelling" else dict(_SEEN)[look[1]]
        parts.append(f"on {look[0].isoformat()} {said}")
    return "; ".join(parts)


def _age_words(age: int | None, usual: int | None, longest: int | None, cut_on: date | None) -> str:
    if cut_on is None:
        return "when it was cut is not known"
    if age is None:
        return f"it is to be cut on {cut_on.isoformat()}, which lies ahead"
    old = "cut today" if age == 0 else f"cut {about(age)} ago"
    if usual is None and longest is None:
        return f"{old}; how long such wood keeps is not known"
    if longest is not None and age > longest:
        return f"{old}, past the longest known ({about(longest)}); try the green under the bark"
    if usual is not None and age > usual:
        best = "" if longest is None or longest == usual else f"; some has kept {about(longest)}"
        return f"{old}, past the usual {about(usual)}{best}"
    span = _span(usual, longest)
    return f"{old}; such wood keeps {span}"


def _span(usual: int | None, longest: int | None) -> str:
    if usual is None:
        return f"{about(longest)} at the very most"
    if longest is None or about(longest) == about(usual):
        return f"{about(usual)} as a rule"
    return f"{about(usual)} as a rule, {about(longest)} at best"
