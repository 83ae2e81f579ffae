"""The plan as a mixed integer programme: columns, rows, and one row of worth for each part of the objective.

Numbers of grafts (a piece class on a host class for a want by a method) and of sticks cut in each way are whole; a column
of `plan_columns` is chosen for each must-have; short sites and trees within each segment of worth follow from them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_columns import Columns, columns
from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_value import is_must, met_share, new_sites, old_sites, segments, still_to_live, weight

if TYPE_CHECKING:
    from numpy.typing import NDArray

LEVELS = ("sites", "chance", "spread", "value", "share", "wear")


@dataclass
class _Rows:
    """Rows being gathered: coefficients by row, and their limits."""

    at: list[int]
    column: list[int]
    value: list[float]
    low: list[float]
    high: list[float]

    def add(self, terms: Sequence[tuple[int, float]], low: float, high: float) -> None:
        row = len(self.low)
        for column, value in terms:
            self.at.append(row)
            self.column.append(column)
            self.value.append(value)
        self.low.append(low)
        self.high.append(high)


@dataclass(frozen=True)
class Model:
    """What the solver is handed. `worth[level]` is what each column adds to that part, more being better; `grafts` is how
    many of the columns are numbers of grafts, in the order of the edges; `exact` when no chances were put together."""

    matrix: Any
    low: NDArray[Any]
    high: NDArray[Any]
    whole: NDArray[Any]
    most: NDArray[Any]
    worth: dict[str, NDArray[Any]]
    grafts: int
    exact: bool


class _Builder:
    """Columns numbered as they are asked for."""

    def __init__(self) -> None:
        self.rows = _Rows([], [], [], [], [])
        self.most: list[float] = []
        self.whole: list[int] = []
        self.worth: dict[str, dict[int, float]] = {level: {} for level in LEVELS}

    def column(self, most: float, whole: bool) -> int:
        self.most.append(most)
        self.whole.append(int(whole))
        return len(self.most) - 1


def build(groups: Groups, hold_back: int, sure: float, high: bool = False) -> Model:
    """The model of a grouped question; `high` tells chances put together as the highest of them (a bound)."""
    made = _Builder()
    _grafts(made, groups)
    _cuts(made, groups)
    _held(made, groups, hold_back)
    by_want: list[list[int]] = [[] for _ in groups.wants]
    for at, edge in enumerate(groups.edges):
        by_want[edge.want].append(at)
    exact = True
    for place, some in enumerate(by_want):
        if some:
            _sites(made, groups, place, some)
            _worth(made, groups, place, some)
            exact &= _must(made, groups, place, some, sure, high)
    return _finished(made, len(groups.edges), exact)


def _grafts(made: _Builder, groups: Groups) -> None:
    on: list[list[tuple[int, float]]] = [[] for _ in groups.hosts]
    places = [host.places for host in groups.hosts]
    share, wear = made.worth["share"], made.worth["wear"]
    for edge in groups.edges:
        at = made.column(places[edge.host], True)
        on[edge.host].append((at, 1.0))
        share[at] = met_share(edge.how.share) - 1.0
        wear[at] = groups.pieces[edge.piece].wear - 1.0
    for terms, most in zip(on, places, strict=True):
        if terms:
            made.rows.add(terms, 0, most)


def _cuts(made: _Builder, groups: Groups) -> None:
    """No more pieces than the cuts give, no more cuts than sticks."""
    of: list[list[tuple[int, float]]] = [[] for _ in groups.pieces]
    for at, edge in enumerate(groups.edges):
        of[edge.piece].append((at, 1.0))
    for stick in groups.sticks:
        number = stick.number
        cuts = [made.column(number, True) for _ in stick.ways]
        made.rows.add([(at, 1.0) for at in cuts], 0, number)
        for at, way in zip(cuts, stick.ways, strict=True):
            for piece, count in way:
                of[piece].append((at, -float(count)))
    for terms in of:
        if terms:
            made.rows.add(terms, -float("inf"), 0)


def _held(made: _Builder, groups: Groups, hold_back: int) -> None:
    if not hold_back:
        return
    of: dict[str, list[tuple[int, float]]] = defaultdict(list)
    for at, edge in enumerate(groups.edges):
        piece = groups.pieces[edge.piece]
        of[piece.label].append((at, float(piece.taken)))
    for label, terms in of.items():
        made.rows.add(terms, 0, max(0, groups.buds[label] - hold_back))


def _sites(made: _Builder, groups: Groups, place: int, some: list[int]) -> None:
    want = groups.wants[place]
    asked = new_sites(want)
    if asked == 0:
        return
    by_site: dict[str, list[int]] = defaultdict(list)
    for at in some:
        by_site[groups.hosts[groups.edges[at].host].site].append(at)
    short = made.column(asked, False)
    terms = [(short, 1.0)]
    for site, there in by_site.items():
        if site not in old_sites(want):
            stands = made.column(1, True)
            made.rows.add([(stands, 1.0), *((at, -1.0) for at in there)], -float("inf"), 0)
            terms.append((stands, 1.0))
    made.rows.add(terms, asked, float("inf"))
    made.worth["sites" if is_must(want) else "spread"][short] = -weight(want)


def _worth(made: _Builder, groups: Groups, place: int, some: list[int]) -> None:
    want = groups.wants[place]
    terms = [(at, -groups.edges[at].how.chance) for at in some]
    for room, each in segments(want):
        at = made.column(room, False)
        terms.append((at, 1.0))
        made.worth["value"][at] = weight(want) * each
    if len(terms) > len(some):
        made.rows.add(terms, -float("inf"), 0)


def _must(made: _Builder, groups: Groups, place: int, some: list[int], sure: float, high: bool) -> bool:
    """Choose one mix, and make as many grafts of its better kinds as it asks; True when exact."""
    want = groups.wants[place]
    count = still_to_live(want)
    if count == 0:
        return True
    found = columns(count, _most_of_each(groups, some), sure, high)
    chosen = [made.column(1, True) for _ in found.chance]
    made.rows.add([(at, 1.0) for at in chosen], 1, 1)
    for at, chance in zip(chosen, found.chance.tolist(), strict=True):
        made.worth["chance"][at] = weight(want) * chance
    _choose(made, groups, some, found, chosen)
    return found.exact


def _most_of_each(groups: Groups, some: list[int]) -> dict[float, int]:
    """How many grafts of each chance a want could have, were it alone with the hosts and the wood."""
    hosts: dict[float, set[int]] = defaultdict(set)
    pieces: dict[float, set[int]] = defaultdict(set)
    for at in some:
        edge = groups.edges[at]
        hosts[edge.how.chance].add(edge.host)
        pieces[edge.how.chance].add(edge.piece)
    supply: dict[int, int] = defaultdict(int)
    label = groups.wants[groups.edges[some[0]].want].label
    for stick in groups.sticks:
        if groups.pieces[stick.ways[0][0][0]].label == label:
            for piece in {piece for way in stick.ways for piece, _ in way}:
                supply[piece] += stick.number * max(dict(way).get(piece, 0) for way in stick.ways)
    return {
        chance: min(sum(groups.hosts[at].places for at in there), sum(supply[at] for at in pieces[chance]))
        for chance, there in hosts.items()
    }


def _choose(made: _Builder, groups: Groups, some: list[int], found: Columns, chosen: list[int]) -> None:
    kind_of = [(found.place_of[groups.edges[at].how.chance], at) for at in some]
    for kind in range(found.mixes.shape[1]):
        asked = found.mixes[:, : kind + 1].sum(axis=1).tolist()
        terms = [(at, float(number)) for at, number in zip(chosen, asked, strict=True) if number]
        terms += [(at, -1.0) for place, at in kind_of if place <= kind]
        made.rows.add(terms, -float("inf"), 0)


def _finished(made: _Builder, grafts: int, exact: bool) -> Model:
    import numpy as np
    from scipy.sparse import csr_array

    rows, width = made.rows, len(made.most)
    matrix = csr_array((rows.value, (rows.at, rows.column)), shape=(len(rows.low), width))
    worth = {}
    for level, terms in made.worth.items():
        worth[level] = np.zeros(width)
        worth[level][list(terms)] = list(terms.values())
    return Model(
        matrix,
        np.array(rows.low, float),
        np.array(rows.high, float),
        np.array(made.whole, np.uint8),
        np.array(made.most, float),
        worth,
        grafts,
        exact,
    )
