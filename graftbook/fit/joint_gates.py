"""Gates and joints of very many pairs as arrays: verdict, doubts, trust and what is met, without the sentences.

Woods that differ in nothing but their code are one kind of wood, and so with stocks; each gate is asked once for each
kind that it looks at, and the rule of thickness is worked out as numbers. The tests hold every cell to what `match.judge`
says of the pair.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

from graftbook.fit.facts import Range, StockFacts, WoodFacts
from graftbook.fit.gate import GateContexts, has_limit
from graftbook.fit.gates import GATES, GateRow
from graftbook.fit.joint_curves import for_arrays
from graftbook.fit.joint_kinds import Cut, Sizes, cut_of
from graftbook.fit.joints import USUAL, JointAssumptions, layer, met_of, tenths
from graftbook.fit.sizes import too_thick
from graftbook.trade.methods import Method, Span
from graftbook.trade.pairs import TRUST, PairRow

if TYPE_CHECKING:
    from numpy.typing import NDArray

Key = TypeVar("Key", bound=Hashable)
_Sized = list[tuple[Range | None, str]]
_PASS, _DOUBT, _NO = 0, 1, 2
_CODES = {"pass": _PASS, "caution": _DOUBT, "unknown": _DOUBT, "no": _NO}


@dataclass(frozen=True)
class Grid:
    """One method for every kind of wood (rows) on every kind of stock (columns).

    `verdict` is the place in `match.VERDICTS`, `doubts` how many gates are a caution or unknown. `share` and `met` are
    those of `joints.Joint`, NaN where the pair does not go, a diameter is not known or the method has no model.
    """

    method: Method
    verdict: NDArray[Any]
    doubts: NDArray[Any]
    share: NDArray[Any]
    met: NDArray[Any]


@dataclass(frozen=True)
class JudgedGrids:
    """Grids by method (w kinds of wood x s kinds of stock), the index in `pairs.TRUST` of every cell, and which row each wood
    and which column each stock is."""

    grids: tuple[Grid, ...]
    trust: NDArray[Any]
    wood_row: NDArray[Any]
    stock_column: NDArray[Any]


def judge_many(
    woods: Sequence[WoodFacts],
    stocks: Sequence[StockFacts],
    methods: Sequence[Method],
    on: date,
    own_pairs: Iterable[PairRow] = (),
    given: JointAssumptions = USUAL,
) -> JudgedGrids:
    """Every wood on every stock by every method, as arrays over the kinds of them that differ.

    With w kinds of wood and s kinds of stock every grid is w x s; `wood_row` and `stock_column` say which row and column each
    wood and stock is. `own_pairs` are the grower's own rows of compatibility, `given` the assumptions of the model of joints.
    Raises ValueError as `joints.joint`.
    """
    rows = _numbered(replace(wood, code="") for wood in woods)
    columns = _numbered(replace(stock, code="") for stock in stocks)
    kinds = _Kinds(*rows, *columns, on, GateContexts(own_pairs), given)
    shared = [kinds.outcomes(gate, method) for gate in GATES if "method" not in gate.looks_at for method in methods[:1]]
    trust = kinds.by_group(lambda wood, stock: TRUST.index(kinds.contexts.of(wood, stock).trust))
    grids = tuple(kinds.grid(method, shared) for method in methods)
    return JudgedGrids(grids, trust, kinds.wood_row, kinds.stock_column)


def _numbered(keys: Iterable[Key]) -> tuple[list[Key], NDArray[Any]]:
    """The keys that differ, and the place of each key given among them."""
    import numpy as np

    found: dict[Key, int] = {}
    places = [found.setdefault(key, len(found)) for key in keys]
    return list(found), np.array(places, int)


@dataclass(frozen=True)
class _Kinds:
    """The kinds of wood (rows) and of stock (columns) to be judged, and what is known beside them."""

    rows: list[WoodFacts]
    wood_row: NDArray[Any]
    columns: list[StockFacts]
    stock_column: NDArray[Any]
    on: date
    contexts: GateContexts
    given: JointAssumptions

    def grid(self, method: Method, shared: Sequence[NDArray[Any]]) -> Grid:
        """One method; `shared` are the answers of the gates that do not look at it."""
        import numpy as np

        asked = [self.outcomes(gate, method) for gate in GATES if "method" in gate.looks_at]
        doubts = np.zeros((len(self.rows), len(self.columns)), np.int8)
        barred = np.zeros(doubts.shape, bool)
        for outcome in (*shared, *asked):
            doubts += outcome == _DOUBT
            barred |= outcome == _NO
        verdict = np.where(barred, 2, np.minimum(doubts, 1)).astype(np.int8)
        return Grid(method, verdict, doubts, *self._met(method, ~barred))

    def outcomes(self, gate: GateRow, method: Method) -> NDArray[Any]:
        """The gate's answers, as wide as what it looks at."""
        import numpy as np

        def ask(wood: WoodFacts, stock: StockFacts) -> int:
            return _CODES[gate.judge(wood, stock, method, self.on, self.contexts.of(wood, stock)).outcome]

        rows, columns = self.rows, self.columns
        if not rows or not columns:
            return np.zeros((len(rows), len(columns)), np.int8)
        if gate.name == "ratio":
            return _ratio(rows, columns, method)
        if "stock" not in gate.looks_at:
            return np.array([[ask(wood, columns[0])] for wood in rows], np.int8)
        if "wood" not in gate.looks_at:
            return np.array([[ask(rows[0], stock) for stock in columns]], np.int8)
        return self.by_group(ask)

    def by_group(self, ask: Callable[[WoodFacts, StockFacts], int]) -> NDArray[Any]:
        """Answers that rest on kind, cultivar or clone and notes alone, asked once for each of these."""
        import numpy as np

        woods, row = _numbered((wood.taxon, wood.cultivar, wood.notes) for wood in self.rows)
        stocks, column = _numbered((stock.taxon, stock.clone, stock.notes, stock.union_below) for stock in self.columns)
        firsts = [np.unique(places, return_index=True)[1] for places in (row, column)]
        answers = [ask(self.rows[i], self.columns[j]) for i in firsts[0] for j in firsts[1]]
        return np.array(answers, np.int8).reshape(len(woods), len(stocks))[row[:, None], column[None, :]]

    def _met(self, method: Method, wanted: NDArray[Any]) -> tuple[NDArray[Any], NDArray[Any]]:
        """Share and what is met of every pair wanted, each pair of sizes and kinds computed once."""
        import numpy as np

        (rows, row), (columns, column) = _sized(self.rows), _sized(self.columns)
        table = np.full((2, len(rows), len(columns)), np.nan)
        cut = cut_of(method)
        if cut is not None and rows and columns:
            asked = _any_of(_any_of(wanted, row, len(rows)).T, column, len(columns)).T
            asked &= np.array([size is not None for size, _ in rows])[:, None]
            asked &= np.array([size is not None for size, _ in columns])[None, :]
            at = np.nonzero(asked)
            table[:, at[0], at[1]] = self._best(at, rows, columns, method, cut)
        share, met = (part[row][:, column] for part in table)
        for part in (share, met):
            np.copyto(part, np.nan, where=~wanted)
        return share, met

    def _best(self, at: Any, rows: _Sized, columns: _Sized, method: Method, cut: Cut) -> NDArray[Any]:
        """Share and what is met of the best of the pairs of diameters within both ranges, for the cells named."""
        import numpy as np

        from graftbook.fit.joint_many import best_places

        low, high = (end[at[0]] for end in _ends(size for size, _ in rows))
        thin, thick = (end[at[1]] for end in _ends(size for size, _ in columns))
        least, most = _open(method.scion_ok)
        some, end = np.maximum(low, least), np.minimum(high, most)
        low, high = np.where(some <= end, some, low), np.where(some <= end, end, high)
        shared = np.maximum(low, thin), np.minimum(high, thick)
        middle = np.where(shared[0] <= shared[1], (shared[0] + shared[1]) / 2, np.nan)
        tried = [(d, stand) for d in (low, high) for stand in (thin, thick)] + [(middle, middle)]
        best = np.full((2, len(low)), -1.0)
        for number, (scion, stand) in enumerate(tried):
            new = ~np.isnan(scion)
            for before in tried[:number]:
                new &= (scion != before[0]) | (stand != before[1])
            place = np.flatnonzero(new)
            scions, stands = (part[place].astype(np.float32) for part in (scion, stand))
            bark = (_layers(scions, rows, at[0][place], self.given), _layers(stands, columns, at[1][place], self.given))
            sizes = Sizes(scions, stands, *bark)
            share = best_places(cut, sizes, self.given.reach_mm).share
            met = met_of(cut, sizes, share, for_arrays())
            better = met > best[1, place] + 5e-4
            best[:, place[better]] = share[better], met[better]
        return best


def _ends(sizes: Iterable[Range | None]) -> tuple[NDArray[Any], NDArray[Any]]:
    import numpy as np

    ends = np.array([(np.nan, np.nan) if size is None else size for size in sizes], float).reshape(-1, 2)
    return ends[:, 0], ends[:, 1]


def _ratio(rows: list[WoodFacts], columns: list[StockFacts], method: Method) -> NDArray[Any]:
    """The gate `sizes.ratio` as numbers."""
    import numpy as np

    if not has_limit(method.ratio_ok):
        return np.zeros((1, 1), np.int8)
    low, high = (end[:, None] for end in _ends(wood.diameter_mm for wood in rows))
    thin, thick = (end[None, :] for end in _ends(stock.diameter_mm for stock in columns))
    least, most = _open(method.ratio_ok), _open(method.scion_ok)
    inside = np.maximum(low / thick, least[0]) <= np.minimum(high / thin, least[1])
    some, end = np.maximum(low, most[0]), np.minimum(high, most[1])
    usable = np.maximum(some / thick, least[0]) <= np.minimum(end / thin, least[1])
    outcome = np.where(inside & (usable | (some > end)), _PASS, _DOUBT)
    outcome = np.where(too_thick((low, high), (thin, thick), method), _NO, outcome)
    return np.where(np.isnan(low) | np.isnan(thin), _DOUBT, outcome).astype(np.int8)


def _sized(facts: Sequence[WoodFacts] | Sequence[StockFacts]) -> tuple[_Sized, NDArray[Any]]:
    return _numbered((each.diameter_mm and tenths(each.diameter_mm), each.taxon) for each in facts)


def _any_of(wanted: NDArray[Any], group: NDArray[Any], many: int) -> NDArray[Any]:
    """For each group of rows, which is numbered and has at least one, whether any of them is wanted."""
    import numpy as np

    order = np.argsort(group, kind="stable")
    return np.logical_or.reduceat(wanted[order], np.searchsorted(group[order], np.arange(many)), axis=0)


def _open(limits: Span) -> tuple[float, float]:
    """Limits with infinity where there is none."""
    low, high = limits
    return -math.inf if low is None else low, math.inf if high is None else high


def _layers(sizes: NDArray[Any], kinds: _Sized, which: NDArray[Any], given: JointAssumptions) -> NDArray[Any]:
    """Bark of stems of these sizes, each of the kind at its place in `kinds`; every size of a taxon looked up once."""
    import numpy as np

    taxa = list(dict.fromkeys(taxon for _, taxon in kinds))
    kind = np.array([taxa.index(taxon) for _, taxon in kinds], int)[which]
    layers = np.empty(len(sizes), np.float32)
    for number, taxon in enumerate(taxa):
        here = np.flatnonzero(kind == number)
        distinct, back = np.unique(sizes[here], return_inverse=True)
        layers[here] = np.array([layer(size, taxon, given.own_bark) for size in distinct.tolist()], float)[back]
    return layers
