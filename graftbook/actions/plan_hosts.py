"""The hosts a plan may use, alike ones together, and which kinds of pieces may go on which kinds of hosts, by which method."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions import joints, matching, own_tables, plan_wood
from graftbook.actions.desk import Desk
from graftbook.actions.plan_chances import Chance, Chances
from graftbook.actions.plan_wood import PieceKind
from graftbook.actions.results import code_list, count
from graftbook.book import find, match_queries
from graftbook.book.plants import Plant
from graftbook.codes import read_many
from graftbook.errors import UsageProblem
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.match import TRUST
from graftbook.fit.plan_facts import HostFact, Possible
from graftbook.trade.methods import Method
from graftbook.units import show_range

# Unions that are not planned unless the grower asks for doubtful ones: nothing known, apt to part later, or poor.
DOUBTFUL = ("unknown", "delayed", "poor")
# Chances by two methods are taken for alike within this; then the better joint decides which method is planned.
ALIKE = 0.05
# Between two methods a doubt weighs as much as so much chance (a choice of ours).
DOUBT_COSTS = 0.1
_NO_WOOD = WoodFacts("", "")


@dataclass
class Hosts:
    """The hosts of a plan: `plants` by the key of their fact, `kinds` as the gates ask for them, by key; `notes` whole
    sentences on what was assumed."""

    facts: list[HostFact] = field(default_factory=list)
    plants: dict[str, Plant] = field(default_factory=dict)
    kinds: dict[str, StockFacts] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class HostWords:
    """Which hosts: at a place or site, only those named, how many grafts each of these takes, and those left out."""

    place: str | None = None
    named: str | None = None
    positions: int = 1
    left_out: frozenset[str] = frozenset()


def gather(
    session: Session, words: HostWords, methods: Sequence[Method], day: date, despite_notes: bool, unit: str
) -> Hosts:
    """Living stocks without an open graft, or the plants named. Raises NotFound and UsageProblem for codes that are none."""
    hosts = Hosts()
    plants = [plant for plant in _plants(session, words, day) if plant.code not in words.left_out]
    asked = plan_wood._Asked(methods, day, despite_notes)
    keys: dict[Any, str] = {}
    for plant, facts in zip(plants, matching.stock_facts(session, plants, day), strict=True):
        size = facts.diameter_mm
        if size is not None and size[0] == size[1]:
            size = (plan_wood.size_class(size[0]),) * 2
        kind = replace(facts, code="", diameter_mm=size)
        key = keys.setdefault(kind, f"host kind {len(keys) + 1}")
        hosts.kinds.setdefault(key, kind)
        barred = tuple(_barred(facts, asked))
        grade = "" if size is None else show_range(*size, unit)
        site = plant.site or plant.place or ""
        hosts.plants[plant.code] = plant
        hosts.facts.append(HostFact(
            plant.code, key, site, plant.clone or "", grade, words.positions if words.named else 1, facts.taxon,
            None if facts.diameter_mm is None else facts.diameter_mm[0], (), barred,
        ))  # fmt: skip
    bare = tuple(plant.code for plant in plants if plant.diameter_mm is None and plant.grade_min_mm is None)
    if bare:
        hosts.notes.append(f"The diameter of {code_list(bare)} is not known: measure before the day with graftbook stock measure "
                           f"{bare[0]} 8mm.")  # fmt: skip
    graded = sum(plant.diameter_mm is None and plant.grade_min_mm is not None for plant in plants)
    if graded:
        hosts.notes.append(
            f"{count(graded, 'stock is', 'stocks are')} planned by grade, not by calliper: match each by eye."
        )
    return hosts


def _plants(session: Session, words: HostWords, day: date) -> list[Plant]:
    if words.named is not None:
        rows = find.many(session, read_many(words.named))
        stray = [row.code for row in rows if not isinstance(row, Plant)]
        if stray:
            raise UsageProblem("plants to graft on, such as P12-P20", ", ".join(stray))
        return rows
    free = match_queries.living_stocks(session, day, match_queries.open_hosts(session, day))
    plants = [plant for plant in free if plant.acquired_on is None or plant.acquired_on <= day]
    if words.place is None:
        return plants
    wanted = words.place.strip().casefold()
    return [plant for plant in plants if wanted in ((plant.place or "").casefold(), (plant.site or "").casefold())]


def _barred(facts: StockFacts, asked: Any) -> Iterator[str]:
    if not facts.alive:
        yield f"{facts.code} is recorded as dead."
    if not facts.taxon:
        yield f"What {facts.code} is of is not recorded."
    if not asked.despite_notes:
        yield from plan_wood.noted(_NO_WOOD, facts, asked)


@dataclass(frozen=True)
class Allowed:
    """What may go on what: `possible` for the solver; by piece kind, host kind and method the `chances` behind each and the
    `shares` of their joints; and how many pairs of kinds were left out as `doubtful` or `barred` by a gate."""

    possible: tuple[Possible, ...]
    chances: dict[tuple[str, str, str], Chance]
    shares: dict[tuple[str, str, str], float | None]
    doubtful: int
    barred: int


def allowed(
    desk: Desk, session: Session, kinds: Sequence[PieceKind], hosts: Hosts, methods: Sequence[Method], day: date,
    chances: Chances, doubtful: bool, every_method: bool = False,
) -> Allowed:  # fmt: skip
    """Which kinds of pieces may go on which kinds of hosts: no gate says no, and the union is neither poor nor unknown
    unless `doubtful`. Of several methods the one with the best chance, less a little for each doubt, then the best joint;
    all of them with `every_method`."""
    from graftbook.fit.joint_gates import judge_many

    host_keys = list(hosts.kinds)
    if not kinds or not host_keys:
        return Allowed((), {}, {}, 0, 0)
    woods = [replace(kind.facts, code=str(at)) for at, kind in enumerate(kinds)]
    many = judge_many(
        woods,
        list(hosts.kinds.values()),
        methods,
        day,
        own_tables.own_pairs(session),
        joints.given(desk, session, None),
    )
    return _chosen(many, kinds, host_keys, chances, doubtful, every_method)


def _chosen(
    many: Any, kinds: Sequence[PieceKind], host_keys: list[str], chances: Chances, doubtful: bool, every_method: bool
) -> Allowed:
    import numpy as np

    trusted = np.isin(many.trust, [TRUST.index(w) for w in TRUST if w != "no" and (doubtful or w not in DOUBTFUL)])
    row, column = np.asarray(many.wood_row), np.asarray(many.stock_column)
    rank, found, behind, shares = _Ranked(len(kinds), len(host_keys)), [], {}, {}
    gone = np.zeros((len(kinds), len(host_keys)), bool)
    for at, grid in enumerate(many.grids):
        fits = np.array([grid.method.method in kind.methods for kind in kinds])
        goes = grid.verdict[np.ix_(row, column)] != 2
        gone |= goes & ~trusted[np.ix_(row, column)]
        usable = goes & trusted[np.ix_(row, column)] & fits[:, None]
        each = np.array([chances.of(kind.facts.taxon, grid.method, kind.buds).value for kind in kinds])
        rank.offer(at, usable, grid.doubts[np.ix_(row, column)], each, grid.share[np.ix_(row, column)], every_method)
    for piece, host, at, share in rank.best():
        method, kind = many.grids[at].method, kinds[piece]
        chance = chances.of(kind.facts.taxon, method, kind.buds)
        key = kind.key, host_keys[host], method.method
        behind[key], shares[key] = chance, None if share is None else round(share, 4)
        found.append(Possible(kind.key, host_keys[host], method.method, chance.value, share, chance.words))
    open_pairs = rank.open_pairs()
    return Allowed(tuple(found), behind, shares, int((gone & ~open_pairs).sum()), int((~gone & ~open_pairs).sum()))


class _Ranked:
    """The best method of every pair of kinds so far, or every method that goes."""

    def __init__(self, pieces: int, hosts: int) -> None:
        import numpy as np

        self._score = np.full((pieces, hosts), -np.inf)
        self._at = np.full((pieces, hosts), -1)
        self._share = np.full((pieces, hosts), np.nan)
        self._open = np.zeros((pieces, hosts), bool)
        self._all: list[tuple[int, Any, Any]] = []

    def offer(self, at: int, usable: Any, doubts: Any, chance: Any, share: Any, every: bool) -> None:
        import numpy as np

        self._open |= usable
        if every:
            self._all.append((at, usable, share))
            return
        score = -DOUBT_COSTS * doubts + np.round(chance / ALIKE)[:, None] * ALIKE + 0.01 * np.nan_to_num(share, nan=0.5)
        better = usable & (score > self._score)
        self._score[better] = score[better]
        self._at[better] = at
        self._share[better] = share[better]

    def open_pairs(self) -> Any:
        return self._open

    def best(self) -> Iterator[tuple[int, int, int, float | None]]:
        import numpy as np

        layers = self._all or [
            (at, self._at == at, self._share) for at in sorted(set(self._at[self._at >= 0].tolist()))
        ]
        for at, chosen, share in layers:
            places = np.nonzero(chosen)
            shares = share[places].tolist()
            for piece, host, value in zip(places[0].tolist(), places[1].tolist(), shares, strict=True):
                yield piece, host, at, None if value != value else min(1.0, max(0.0, value))
