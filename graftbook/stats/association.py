"""How closely a recorded variable is associated with the groups compared, within strata: is it confounded with them?"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Any

STRONG = 0.7
"""From this bias-corrected V, or this D, on two variables are called confounded: a rule of this book, no source."""
REPEATS = 2
"""So many to a value, in the mean, make a value a group: where each graft has a value of its own none can stand on two sides,
and that says nothing."""

_Cell = tuple[Hashable, Hashable]


@dataclass(frozen=True)
class Association:
    """The association of a variable with the side something stands on, over strata in which both sides were used.

    `complete` when the two are aliased: no value of the variable occurs on two sides (in one stratum, or in all) though
    values are shared by several, or one side's values all lie above the other's; `v` is Cramer's V, corrected for bias, 0
    (not at all) to 1; `d` how far the values of one side lie above those of the other, -1 to 1, for values that have an order
    (None: they have none); `counts` how many of each value and side; `missing` how many had no value recorded.
    """

    complete: bool
    v: float
    counts: tuple[tuple[tuple[Hashable, Hashable], int], ...]
    missing: int = 0
    d: float | None = None

    @property
    def strong(self) -> bool:
        """Whether the two are confounded: aliased, or |V| or |D| at STRONG or above."""
        return self.complete or self.v >= STRONG or (self.d is not None and abs(self.d) >= STRONG)


def measure_association(
    values: Sequence[Hashable | None],
    sides: Sequence[Hashable],
    weights: Sequence[int] | None = None,
    strata: Sequence[Hashable] | None = None,
    order: Callable[[Any], Any] | None = None,
) -> Association | None:
    """The association of `values` with `sides` within `strata`.

    With V_s the corrected V of the table of values by sides in a stratum of n_s, V = sqrt(sum(n_s V_s^2) / sum(n_s)). With
    P_s the pairs of a stratum, one of each side, D is the pairs whose first side has the higher value, less those whose
    second has, over all pairs of all strata.

    Parameters
    ----------
    values : what was recorded; None where nothing was.
    sides, strata : of the same length; strata None takes everything for one stratum.
    weights : how many each stands for, 0 or more; None takes one each.
    order : for values that have an order, what they are sorted by; D is then computed too, where there are two sides.

    Returns
    -------
    None where no stratum has values recorded on two sides, or where the variable is constant within every stratum: then
    stratification has dealt with it already.

    References
    ----------
    1. Bergsma, W. (2013). A bias-correction for Cramer's V and Tschuprow's T. Journal of the Korean Statistical Society
       42:323-328.
    2. Somers, R. H. (1962). A new asymmetric measure of association for ordinal variables. American Sociological Review
       27:799-811 (D of the value on the side).
    """
    tables, missing = _tables(values, sides, weights, strata)
    used = [table for table in tables if len({side for _value, side in table}) > 1]
    if not any(len({value for value, _side in table}) > 1 for table in used):
        return None
    counts: Counter[_Cell] = sum(used, Counter())
    d = _ordered_d(used, order) if order is not None else None
    complete = _disjoint(used) or _disjoint([counts]) or (d is not None and abs(d) == 1)
    v = sqrt(sum(table.total() * _corrected_v(table) ** 2 for table in used) / counts.total())
    return Association(
        complete, v, tuple(sorted(counts.items(), key=lambda item: tuple(map(str, item[0])))), missing, d
    )


def _disjoint(tables: Sequence[Counter[_Cell]]) -> bool:
    """Whether no value occurs on two sides of a table, with several to a value."""
    values = sum(len({value for value, _side in table}) for table in tables)
    return values == sum(map(len, tables)) and sum(table.total() for table in tables) >= REPEATS * values


def _ordered_d(tables: Sequence[Counter[_Cell]], order: Callable[[Any], Any]) -> float | None:
    """Somers' D of the value on the side, over strata; None where there are not two sides."""
    sides = sorted({side for table in tables for _value, side in table}, key=str)
    if len(sides) != 2:
        return None
    above = pairs = 0
    for table in tables:
        first, second = (sum(number for (_, side), number in table.items() if side == one) for one in sides)
        pairs += first * second
        under = 0
        for value in sorted({value for value, _side in table}, key=order):
            here = table.get((value, sides[1]), 0)
            above += table.get((value, sides[0]), 0) * (2 * under + here - second)
            under += here
    return above / pairs


def _tables(
    values: Sequence[Hashable | None],
    sides: Sequence[Hashable],
    weights: Sequence[int] | None,
    strata: Sequence[Hashable] | None,
) -> tuple[list[Counter[_Cell]], int]:
    """A table of counts a stratum, and how many had no value."""
    tables: defaultdict[Hashable, Counter[_Cell]] = defaultdict(Counter)
    missing = 0
    many, several = weights or [1] * len(values), strata or [None] * len(values)
    for value, side, weight, stratum in zip(values, sides, many, several, strict=True):
        if value is None:
            missing += weight
        elif weight:
            tables[stratum][value, side] += weight
    return list(tables.values()), missing


def _corrected_v(counts: Counter[_Cell]) -> float:
    rows: Counter[Hashable] = Counter()
    columns: Counter[Hashable] = Counter()
    n = counts.total()
    for (row, column), number in counts.items():
        rows[row] += number
        columns[column] += number
    r, c = len(rows), len(columns)
    if n < 2 or min(r, c) < 2:
        return 0.0
    square = n * (sum(number**2 / (rows[a] * columns[b]) for (a, b), number in counts.items()) - 1)
    phi = max(0.0, square / n - (r - 1) * (c - 1) / (n - 1))
    room = min(r - (r - 1) ** 2 / (n - 1), c - (c - 1) ** 2 / (n - 1)) - 1
    return min(1.0, sqrt(phi / room)) if room > 0 else 0.0
