"""What else changed with a factor: found among everything recorded, and named in words with counts.

Two ways of doing it on two sorts of stock in two weeks: no sum parts them. A factor is wholly tied to the one asked about
when, within the strata compared, none of its values stood on two sides; strongly, when the association is close
(stats/association.py). Dates are taken by weeks, and also by which side came first; so is whatever else has an order. A
value that hardly any graft shares says nothing. What goes together by nature, such as cultivar and kind, is left out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.actions.takes.factor_text import rank
from graftbook.actions.takes.factors import DATED, FACTORS
from graftbook.stats.association import Association, measure_association

OTHERS = (
    "week", "stage", "stock", "species", "cultivar", "wood", "wood-age", "donor", "mother-tree", "scion-diameter",
    "stock-diameter", "mismatch", "buds", "method", "tie", "seal", "place", "bench",
)  # fmt: skip

ORDERED = ("week", "wood-age", "scion-diameter", "stock-diameter", "buds")

FROM = ("wood", "donor", "mother-tree")

BY_NATURE = {
    **dict.fromkeys(DATED, ("week", "stage", "wood-age")), "stage": ("week",), "species": ("cultivar", *FROM, "stock"),
    "cultivar": ("species",), "wood": ("species", "cultivar", *FROM), "donor": (*FROM,), "mother-tree": (*FROM, "cultivar"),
    "stock": ("species",), "wood-age": (), "mismatch": ("scion-diameter", "stock-diameter"),
    "scion-diameter": ("mismatch",), "stock-diameter": ("mismatch",),
    "days-from-green-tip": ("week", "stage", "wood-age"),
    "joint-share": ("mismatch", "scion-diameter", "stock-diameter", "method"),
}  # fmt: skip

IMPLIED = (("wood-age", ("week",)), ("mismatch", ("scion-diameter", "stock-diameter")))
"""What is not named beside what it follows from."""

MOST = 2

Table = Counter[tuple[str, Any, Any]]
"""How many of each side, stratum and value."""


def word(factor: str) -> str:
    """The factor in everyday words."""
    return FACTORS[factor].word


def listed(words: Sequence[str], last: str = "and") -> str:
    """`date, stock and tie`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


@dataclass(frozen=True)
class Tied:
    """A factor and how it went with the sides; `only` names the one side it was recorded for, where that is so; `nature`
    when it goes with the factor asked about by nature and is told for information."""

    name: str
    how: Association | None
    only: str | None = None
    nature: bool = False

    @property
    def strong(self) -> bool:
        """Whether it cannot well be told from the factor asked about."""
        return self.how is not None and self.how.strong and not self.nature


def tied(tables: Mapping[str, Table], both: Collection[Any], asked: str, within: Sequence[str]) -> tuple[Tied, ...]:
    """Every recorded factor that moved with the sides, most closely tied first.

    `tables` holds a table for each of OTHERS; `both` are the strata in which more than one side has anything: what is
    compared `within` is held apart already, unless there are none: then all is taken together, the strata's own factors too.
    """
    found = []
    for name in OTHERS:
        by_nature = name in BY_NATURE.get(asked, ())
        told = by_nature and asked in DATED and name == "wood-age"
        if name != asked and (told or not by_nature) and not (both and name in within):
            one = _one(name, tables[name], both)
            if one is not None:
                found.append(Tied(name, one.how, one.only, told))
    strong = {one.name for one in found if one.strong}
    left_out = {name for name, others in IMPLIED if strong & set(others)}
    kept = [one for one in found if one.name not in left_out]
    return tuple(
        sorted(kept, key=lambda one: (one.how is None, one.how is not None and (not one.how.complete, -one.how.v)))
    )


def _one(name: str, table: Table, both: Collection[Any]) -> Tied | None:
    held = [(*key, number) for key, number in table.items() if not both or key[1] in both]
    if not held:
        return None
    sides, strata, values, weights = zip(*held, strict=True)
    how = measure_association(values, sides, weights, strata if both else None, rank if name in ORDERED else None)
    only = _only(values, sides) if how is None else None
    return Tied(name, how, only) if how is not None or only is not None else None


def _only(values: Sequence[Any], sides: Sequence[str]) -> str | None:
    """The side for which alone anything was recorded, where the other sides have grafts too."""
    recorded = {side for value, side in zip(values, sides, strict=True) if value is not None}
    return next(iter(recorded)) if len(recorded) == 1 and len(set(sides)) > 1 else None


def sentences(found: Sequence[Sequence[Tied]]) -> Iterator[str]:
    """What moved with the factor asked about, pair by pair, with counts; what cannot be told apart from it first."""
    every = [one for those in found for one in those]
    yield from dict.fromkeys(said for one in every if (said := _sentence(one)) is not None)
    if any(one.strong for one in every):
        yield "Next season give half of each bundle each way, on the same days and stocks; then it can be told."


def _sentence(one: Tied) -> str | None:
    what = word(one.name).capitalize()
    if one.nature:
        if one.how is None or not one.how.strong:
            return None
        return f"{what} goes with date ({_counted(one)}): only wood cut on other days would part them."
    if one.strong:
        degree = "wholly" if one.how.complete else "for the most part"
        missing = f"; not recorded for {one.how.missing:,}" if one.how.missing else ""
        return f"{what} changed {degree} with it ({_counted(one)}{missing})."
    if one.only is not None:
        return f"{what} was recorded for {one.only} only, so it cannot be ruled out."
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
