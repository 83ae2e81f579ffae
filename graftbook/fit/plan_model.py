"""The plan as a mixed integer programme: columns, rows, and one row of worth for each part of the objective.

Numbers of pieces used, of grafts on each host class and of sticks cut in each way are whole; a column of `plan_columns` is
chosen for each must-have; short sites and trees within each segment of worth follow from them. The columns stand in this
order: uses, lanes, ways of cutting, and the rest.
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
    """What the solver is handed. `worth[level]` is what each column adds to that part, more being better; `exact` when no
    chances were put together."""

    matrix: Any
    low: NDArray[Any]
    high: NDArray[Any]
    whole: NDArray[Any]
    least: NDArray[Any]
    most: NDArray[Any]
    worth: dict[str, NDArray[Any]]
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
    supply = supplies(groups)
    _meet(made, groups, supply)
    _cuts(made, groups)
    _held(made, groups, hold_back)
    by_want: list[list[int]] = [[] for _ in groups.wants]
    for at, use in enumerate(groups.uses):
        by_want[use.want].append(at)
    exact = True
    for place, some in enumerate(by_want):
        if some:
            _sites(made, groups, place, some)
            _worth(made, groups, place, some)
            exact &= _must(made, groups, place, some, supply, sure, high)
    return _finished(made, exact)


@dataclass(frozen=True)
class Totals:
    """How many grafts of each want (its place) and chance are to be made, and on which sites wants that ask for several
    must stand."""

    grafts: dict[tuple[int, float], int]
    stands: frozenset[tuple[int, str]]


def totals_of(groups: Groups, uses: Sequence[int]) -> Totals:
    """The totals of so many of each use."""
    grafts: dict[tuple[int, float], int] = defaultdict(int)
    stands = set()
    for use, number in zip(groups.uses, uses, strict=True):
        if number:
            grafts[use.want, use.chance] += number
            site = groups.sites[use.node]
            if site is not None:
                stands.add((use.want, site))
    return Totals(dict(grafts), frozenset(stands))


def build_again(groups: Groups, totals: Totals, hold_back: int, lanes: Sequence[int] | None = None) -> Model:
    """The model of which pieces, hosts and cuts serve totals that are settled, so that every part up to the value stays as
    it is; with `lanes` these stay too. Its columns are uses, lanes and ways of cutting."""
    made = _Builder()
    _meet(made, groups, supplies(groups))
    held: dict[tuple[int, float], list[tuple[int, float]]] = defaultdict(list)
    stands: dict[tuple[int, str | None], list[tuple[int, float]]] = defaultdict(list)
    for at, use in enumerate(groups.uses):
        held[use.want, use.chance].append((at, 1.0))
        stands[use.want, groups.sites[use.node]].append((at, 1.0))
    for key, terms in held.items():
        number = totals.grafts.get(key, 0)
        made.rows.add(terms, number, number)
    for there in totals.stands:
        made.rows.add(stands[there], 1, float("inf"))
    _cuts(made, groups)
    _held(made, groups, hold_back)
    model = _finished(made, True)
    if lanes is not None:
        place = slice(len(groups.uses), len(groups.uses) + len(groups.lanes))
        model.least[place] = model.most[place] = lanes
    return model


def supplies(groups: Groups) -> list[int]:
    """How many pieces of each class there could be, were every stick cut for it alone."""
    found = [0] * len(groups.pieces)
    for stick in groups.sticks:
        most: dict[int, int] = {}
        for way in stick.ways:
            for piece, count in way:
                most[piece] = max(most.get(piece, 0), count)
        for piece, count in most.items():
            found[piece] += stick.number * count
    return found


def _meet(made: _Builder, groups: Groups, supply: list[int]) -> None:
    """Uses and lanes, which agree for each node and chance; no host class holds more than its places."""
    both: dict[tuple[int, float], list[tuple[int, float]]] = defaultdict(list)
    on: list[list[tuple[int, float]]] = [[] for _ in groups.hosts]
    places = [host.places for host in groups.hosts]
    for use in groups.uses:
        at = made.column(supply[use.piece], True)
        both[use.node, use.chance].append((at, 1.0))
        made.worth["wear"][at] = groups.pieces[use.piece].wear - 1.0
    for lane in groups.lanes:
        at = made.column(places[lane.host], True)
        both[lane.node, lane.how.chance].append((at, -1.0))
        on[lane.host].append((at, 1.0))
        made.worth["share"][at] = met_share(lane.how.share) - 1.0
    for terms in both.values():
        made.rows.add(terms, 0, 0)
    for terms, most in zip(on, places, strict=True):
        if terms:
            made.rows.add(terms, 0, most)


def _cuts(made: _Builder, groups: Groups) -> None:
    """No more pieces than the cuts give, no more cuts than sticks."""
    of: list[list[tuple[int, float]]] = [[] for _ in groups.pieces]
    for at, use in enumerate(groups.uses):
        of[use.piece].append((at, 1.0))
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
    for at, use in enumerate(groups.uses):
        piece = groups.pieces[use.piece]
        of[piece.label].append((at, float(piece.taken)))
    for label, terms in of.items():
        made.rows.add(terms, 0, max(0, groups.buds[label] - hold_back))


def _sites(made: _Builder, groups: Groups, place: int, some: list[int]) -> None:
    """Short sites of a want; for one that is no must only as far as there are grafts."""
    want = groups.wants[place]
    asked = new_sites(want)
    if asked == 0:
        return
    by_site: dict[str, list[int]] = defaultdict(list)
    for at in some:
        by_site[groups.sites[groups.uses[at].node] or ""].append(at)
    short = made.column(asked, False)
    terms = [(short, 1.0)]
    for site, there in by_site.items():
        if site not in old_sites(want):
            stands = made.column(1, True)
            made.rows.add([(stands, 1.0), *((at, -1.0) for at in there)], -float("inf"), 0)
            terms.append((stands, 1.0))
    made.worth["sites" if is_must(want) else "spread"][short] = -weight(want)
    if is_must(want):
        made.rows.add(terms, asked, float("inf"))
        return
    most = sum(made.most[at] for at in some)
    for number in range(1, asked + 1):
        reached = made.column(1, True)
        made.rows.add([*((at, 1.0) for at in some), (reached, -most)], -float("inf"), number - 1)
        terms.append((reached, -1.0))
    made.rows.add(terms, 0, float("inf"))


def _worth(made: _Builder, groups: Groups, place: int, some: list[int]) -> None:
    want = groups.wants[place]
    terms = [(at, -groups.uses[at].chance) for at in some]
    for room, each in segments(want):
        at = made.column(room, False)
        terms.append((at, 1.0))
        made.worth["value"][at] = weight(want) * each
    if len(terms) > len(some):
        made.rows.add(terms, -float("inf"), 0)


def _must(
    made: _Builder, groups: Groups, place: int, some: list[int], supply: list[int], sure: float, high: bool
) -> bool:
    """Choose one mix, and make as many grafts of its better kinds as it asks; True when exact."""
    want = groups.wants[place]
    count = still_to_live(want)
    if count == 0:
        return True
    found = columns(count, _most_of_each(groups, some, supply), sure, high)
    chosen = [made.column(1, True) for _ in found.chance]
    made.rows.add([(at, 1.0) for at in chosen], 1, 1)
    for at, chance in zip(chosen, found.chance.tolist(), strict=True):
        made.worth["chance"][at] = weight(want) * chance
    _choose(made, groups, some, found, chosen)
    return found.exact


def _most_of_each(groups: Groups, some: list[int], supply: list[int]) -> dict[float, int]:
    """How many grafts of each chance a want could have, were it alone with its wood."""
    found: dict[float, int] = defaultdict(int)
    for use in (groups.uses[at] for at in some):
        found[use.chance] += supply[use.piece]
    return dict(found)


def _choose(made: _Builder, groups: Groups, some: list[int], found: Columns, chosen: list[int]) -> None:
    kind_of = [(found.place_of[groups.uses[at].chance], at) for at in some]
    for kind in range(found.mixes.shape[1]):
        asked = found.mixes[:, : kind + 1].sum(axis=1).tolist()
        terms = [(at, float(number)) for at, number in zip(chosen, asked, strict=True) if number]
        terms += [(at, -1.0) for place, at in kind_of if place <= kind]
        made.rows.add(terms, -float("inf"), 0)


def _finished(made: _Builder, exact: bool) -> Model:
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
        np.zeros(width),
        np.array(made.most, float),
        worth,
        exact,
    )
