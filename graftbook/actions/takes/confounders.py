"""Confounders of a factor: found among everything recorded, and named in words with counts.

Two ways of doing it on two sorts of stock in two weeks: no computation separates them. A factor is wholly confounded
(aliased) with the one asked about when, within the strata compared, none of its values stood on two sides; strongly, when
the association is close (stats/association.py). Dates are taken by weeks, and also by which side came first; so is whatever
else has an order. A value that hardly any graft shares says nothing. What goes together by nature, such as cultivar and
kind, is left out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.actions.desk.results import Usual
from graftbook.actions.takes.advice import advice
from graftbook.actions.takes.factor_text import sort_key
from graftbook.actions.takes.factors import DATED, FACTORS
from graftbook.stats.association import Association, measure_association

OTHERS = (
    "week", "stage", "stock", "species", "cultivar", "wood", "wood-age", "donor", "mother-tree", "scion-diameter",
    "stock-diameter", "mismatch", "buds", "method", "tie", "seal", "place", "bench",
)  # fmt: skip

ORDERED = ("week", "wood-age", "scion-diameter", "stock-diameter", "buds")

MOST_IN_FULL = 2
"""More that changed with a factor are named together in one sentence, and the counts of each are usual notes."""

FROM = ("wood", "donor", "mother-tree")
"""Where the wood is from."""

BY_NATURE = {
    **dict.fromkeys(DATED, ("week", "stage", "wood-age")), "stage": ("week",), "species": ("cultivar", *FROM, "stock"),
    "cultivar": ("species",), "wood": ("species", "cultivar", *FROM), "donor": (*FROM,), "mother-tree": (*FROM, "cultivar"),
    "stock": ("species",), "wood-age": ("wood",), "mismatch": ("scion-diameter", "stock-diameter"),
    "scion-diameter": ("mismatch",), "stock-diameter": ("mismatch",),
    "days-from-green-tip": ("week", "stage", "wood-age"),
    "joint-share": ("mismatch", "scion-diameter", "stock-diameter", "method"), "film": ("tie", "seal"), "wax": ("tie", "seal"),
}  # fmt: skip

IMPLIED = (("wood-age", ("week",)), ("mismatch", ("scion-diameter", "stock-diameter")))
"""What is not named beside what it follows from."""

MOST = 2
"""How many values of a side are named before the rest is only counted."""

Table = Counter[tuple[str, Any, Any]]
"""How many of each side, stratum and value."""


def word(factor: str) -> str:
    """The factor in everyday words."""
    return FACTORS[factor].word


def listed(words: Sequence[str]) -> str:
    """`date, stock and tie`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


@dataclass(frozen=True)
class Confounder:
    """A factor and its association with the sides; `only` names the one side it was recorded for, where that is so;
    `by_nature` when it goes with the factor asked about by nature and is mentioned for information."""

    name: str
    how: Association | None
    only: str | None = None
    by_nature: bool = False

    @property
    def strong(self) -> bool:
        """Whether its effect cannot well be separated from that of the factor asked about."""
        return self.how is not None and self.how.strong and not self.by_nature


def find_confounders(
    tables: Mapping[str, Table], both: Collection[Any], asked: str, within: Sequence[str]
) -> tuple[Confounder, ...]:
    """Every recorded factor associated with the sides, the strongest association first.

    `tables` holds a table for each of OTHERS; `both` are the strata in which more than one side has anything: what is
    compared `within` is stratified already, unless there are none: then all is pooled, the strata's own factors too.
    """
    found = []
    for name in OTHERS:
        by_nature = name in BY_NATURE.get(asked, ())
        mentioned = by_nature and asked in DATED and name == "wood-age"
        if name != asked and (mentioned or not by_nature) and not (both and name in within):
            one = _one(name, tables[name], both)
            if one is not None:
                found.append(Confounder(name, one.how, one.only, mentioned))
    strong = {one.name for one in found if one.strong}
    left_out = {name for name, others in IMPLIED if strong & set(others)}
    kept = [one for one in found if one.name not in left_out]
    return tuple(sorted(kept, key=_weakness))


def _weakness(one: Confounder) -> tuple[bool, bool, float]:
    return (True, True, 0.0) if one.how is None else (False, not one.how.complete, -one.how.v)


def _one(name: str, table: Table, both: Collection[Any]) -> Confounder | None:
    held = [(*key, number) for key, number in table.items() if not both or key[1] in both]
    if not held:
        return None
    sides, strata, values, weights = zip(*held, strict=True)
    how = measure_association(values, sides, weights, strata if both else None, sort_key if name in ORDERED else None)
    only = _only(values, sides) if how is None else None
    return Confounder(name, how, only) if how is not None or only is not None else None


def _only(values: Sequence[Any], sides: Sequence[str]) -> str | None:
    """The side for which alone anything was recorded, where the other sides have grafts too."""
    recorded = {side for value, side in zip(values, sides, strict=True) if value is not None}
    return next(iter(recorded)) if len(recorded) == 1 and len(set(sides)) > 1 else None


def sentences(asked: str, found: Sequence[Sequence[Confounder]]) -> Iterator[str]:
    """The confounders of the factor asked about, pair by pair, with counts; those that cannot be separated from it first."""
    every = [one for those in found for one in those]
    strong = list(dict.fromkeys(word(one.name) for one in every if one.strong and not one.by_nature))
    named = len(strong) > MOST_IN_FULL
    if named:
        yield f"With it changed {listed(strong)}: none of these can be told from it."
    said = ((text, one.strong and not one.by_nature) for one in every if (text := _sentence(one)) is not None)
    yield from (Usual(text) if named and strong else text for text, strong in dict.fromkeys(said))
    if any(one.strong for one in every):
        yield advice(asked)


def _sentence(one: Confounder) -> str | None:
    what, how = word(one.name).capitalize(), one.how
    if one.by_nature:
        if how is None or not how.strong:
            return None
        return f"{what} goes with date ({_counted(one.name, how)}): only wood cut on other days would separate them."
    if how is not None and how.strong:
        degree = "wholly" if how.complete else "for the most part"
        missing = f"; not recorded for {how.missing:,}" if how.missing else ""
        return f"{what} changed {degree} with it ({_counted(one.name, how)}{missing})."
    if one.only is not None:
        return f"{what} was recorded for {one.only} only, so it cannot be ruled out."
    return None


def _counted(name: str, how: Association) -> str:
    """`cleft: tape 6; whip: rubber 9, tape 1 and 2 more`: the largest of each side."""
    sides: dict[str, list[tuple[int, str]]] = {}
    for (value, side), number in how.counts:
        sides.setdefault(str(side), []).append((number, _shown(name, value)))
    return "; ".join(f"{side}: {_largest(held)}" for side, held in sorted(sides.items()))


def _largest(held: list[tuple[int, str]]) -> str:
    held.sort(key=lambda item: (-item[0], item[1]))
    more = sum(number for number, _value in held[MOST:])
    largest = ", ".join(f"{value} {number:,}" for number, value in held[:MOST])
    return f"{largest} and {more:,} more" if more else largest


def _shown(name: str, value: Any) -> str:
    if name != "week":
        return str(value)
    year, number = str(value).split("-W")
    return f"week of {date.fromisocalendar(int(year), int(number), 1).isoformat()}"
