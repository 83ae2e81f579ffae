"""What else changed with a factor: found among everything recorded, and named in words with counts.

Two ways of doing it on two sorts of stock in two weeks: no sum parts them. A factor is wholly tied to the one asked about
when, within the strata compared, none of its values stood on two sides; strongly, when the association is close
(stats/association.py). Dates are taken by weeks, and also by which side came first. A value that hardly any graft shares
says nothing. What goes together by nature, such as cultivar and kind, is left out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.stats.association import REPEATS, Together, together

OTHERS = ("week", "stage", "stock", "species", "cultivar", "wood", "method", "tie", "place", "bench")
ORDERED = ("week",)
DATED = ("on", "week", "half-month", "month", "season")
BY_NATURE = {
    **dict.fromkeys(DATED, ("week", "stage")), "stage": ("week",), "species": ("cultivar", "wood", "stock"),
    "cultivar": ("species",), "wood": ("species", "cultivar"), "stock": ("species",),
}  # fmt: skip
WORDS = {
    **dict.fromkeys(DATED, "date"), "wood": "bundle of wood", "stage": "growth stage", "bench": "bench or field",
    "species": "kind",
}  # fmt: skip
MOST = 2


def word(factor: str) -> str:
    """The factor in everyday words."""
    return WORDS.get(factor, factor)


def listed(words: Sequence[str], last: str = "and") -> str:
    """`date, stock and tie`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


@dataclass(frozen=True)
class Tied:
    """A factor and how it went with the sides; `only` names the one side it was recorded for, where that is so."""

    name: str
    how: Together | None
    only: str | None = None

    @property
    def strong(self) -> bool:
        """Whether it cannot well be told from the factor asked about."""
        return self.how is not None and self.how.strong


def tied(
    columns: dict[str, Sequence[Any]], sides: Sequence[str], weights: Sequence[int], strata: Sequence[Any], asked: str,
    within: Sequence[str],
) -> tuple[Tied, ...]:  # fmt: skip
    """Every recorded factor that moved with the sides, most closely tied first.

    `columns` holds the values of each of OTHERS; what is compared `within` is held apart already, unless no stratum has
    both sides: then all is taken together, the strata's own factors too.
    """
    used = _both_sides(strata, sides, weights)
    inside = [stratum in used for stratum in strata] if used else [True] * len(sides)
    found = []
    for name in OTHERS:
        if name != asked and name not in BY_NATURE.get(asked, ()) and not (used and name in within):
            values = [value for value, kept in zip(columns[name], inside, strict=True) if kept]
            rest = [[part for part, kept in zip(one, inside, strict=True) if kept] for one in (sides, weights, strata)]
            how = together(values, rest[0], rest[1], rest[2] if used else None, name in ORDERED)
            only = _only(values, rest[0], rest[1]) if how is None else None
            if how is not None or only is not None:
                found.append(Tied(name, how, only))
    return tuple(
        sorted(found, key=lambda one: (one.how is None, one.how is not None and (not one.how.wholly, -one.how.v)))
    )


def _both_sides(strata: Sequence[Any], sides: Sequence[str], weights: Sequence[int]) -> set[Any]:
    """The strata in which more than one side has anything."""
    held: dict[Any, set[str]] = {}
    for stratum, side, weight in zip(strata, sides, weights, strict=True):
        if weight:
            held.setdefault(stratum, set()).add(side)
    return {stratum for stratum, there in held.items() if len(there) > 1}


def _only(values: Sequence[Any], sides: Sequence[str], weights: Sequence[int]) -> str | None:
    """The side for which alone anything was recorded, where the other sides have grafts too."""
    recorded = {
        side for value, side, weight in zip(values, sides, weights, strict=True) if value is not None and weight
    }
    every = {side for side, weight in zip(sides, weights, strict=True) if weight}
    return next(iter(recorded)) if len(recorded) == 1 and len(every) > 1 else None


def sentences(found: Sequence[Sequence[Tied]]) -> Iterator[str]:
    """What moved with the factor asked about, pair by pair, with counts; what cannot be told apart from it first."""
    every = [one for those in found for one in those]
    yield from dict.fromkeys(said for one in every if (said := _sentence(one)) is not None)
    if any(one.strong for one in every):
        yield "Next season give half of each bundle each way, on the same days and stocks; then it can be told."


def _sentence(one: Tied) -> str | None:
    if one.strong:
        degree = "wholly" if one.how.wholly else "for the most part"
        missing = f"; not recorded for {one.how.missing:,}" if one.how.missing else ""
        return f"{word(one.name).capitalize()} changed {degree} with it ({_counted(one)}{missing})."
    if one.only is not None:
        return f"{word(one.name).capitalize()} was recorded for {one.only} only, so it cannot be ruled out."
    return None


def _counted(one: Tied) -> str:
    """`cleft: tape 6; whip: rubber 9, tape 1 and 2 more`: the largest of each side."""
    sides: dict[str, list[tuple[int, str]]] = {}
    for (value, side), number in one.how.counts:
        sides.setdefault(str(side), []).append((number, _shown(one.name, value)))
    return "; ".join(f"{side}: {_largest(held)}" for side, held in sorted(sides.items()))


def _largest(held: list[tuple[int, str]]) -> str:
    held.sort(key=lambda item: (-item[0], item[1]))
    more = sum(number for number, _value in held[MOST:])
    said = ", ".join(f"{value} {number:,}" for number, value in held[:MOST])
    return f"{said} and {more:,} more" if more else said


def _shown(name: str, value: Any) -> str:
    if name != "week":
        return str(value)
    year, number = str(value).split("-W")
    return f"week of {date.fromisocalendar(int(year), int(number), 1).isoformat()}"


class Watch:
    """Which recorded factors went wholly with a factor that rows are split by, found as the grafts go by.

    A pair is dropped at the first value seen with two values of the other in one row group, and a factor that GIVE_UP
    grafts had no value for, so a large and mixed book costs next to nothing. Values that hardly any graft shares say nothing.
    What goes together by nature is left out, and so is wood where cultivars are asked. `sayers` give a factor's value from a
    graft's line.
    """

    GIVE_UP = 2_000

    def __init__(self, by: Sequence[str]) -> None:
        self._by = tuple(by)
        self.open: dict[tuple[int, str], dict[Any, Any]] = {
            (at, name): {} for at, asked in enumerate(by) for name in OTHERS
            if name not in by and name not in BY_NATURE.get(asked, ()) and not (name == "wood" and asked == "cultivar")
            and not (name == "week" and set(by) & set(DATED))
        }  # fmt: skip
        self._sides: dict[tuple[int, str], dict[Any, set]] = {pair: {} for pair in self.open}
        self._several = Counter()
        self.others = tuple(dict.fromkeys(name for _at, name in self.open))
        self.sayers: dict[str, Callable[[Sequence[Any]], Any]] = {}
        self._seen = 0

    def see(self, group: tuple[Any, ...], line: Sequence[Any]) -> None:
        """One graft: what its row is, and its line."""
        self._seen += 1
        if self._seen == self.GIVE_UP:
            self.open = {pair: held for pair, held in self.open.items() if held}
        for pair in tuple(self.open):
            at, name = pair
            value = self.sayers[name](line)
            if value is not None and group[at] is not None:
                rest = (*group[:at], *group[at + 1 :])
                if self.open[pair].setdefault((rest, value), group[at]) != group[at]:
                    del self.open[pair]
                else:
                    self._sides[pair].setdefault(rest, set()).add(group[at])
                    self._several[pair] += 1

    def sentences(self) -> Iterator[str]:
        """A sentence a factor that cannot be told from others."""
        for at, asked in enumerate(self._by):
            names = [word(name) for where, name in self.open if where == at and self._tells(where, name)]
            if names:
                yield (f"{word(asked).capitalize()} changed wholly with {listed(names)}, so a difference between its rows may be "
                       "theirs: ask take compare.")  # fmt: skip

    def _tells(self, at: int, name: str) -> bool:
        """Whether several grafts share a value, in the row groups or in all, and a row group has two values of the factor."""
        held, several = self.open[at, name], self._several[at, name]
        if not any(len(sides) > 1 for sides in self._sides[at, name].values()):
            return False
        whole: dict[Any, set] = {}
        for (_rest, value), side in held.items():
            whole.setdefault(value, set()).add(side)
        return several >= REPEATS * len(held) or (
            several >= REPEATS * len(whole) and all(len(sides) == 1 for sides in whole.values())
        )
