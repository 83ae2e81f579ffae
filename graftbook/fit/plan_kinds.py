"""From sticks, stocks and judged joints to what a plan is asked: ways of cutting, kinds of size, what is possible."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from graftbook.errors import UsageProblem
from graftbook.fit.cutting import BUDS, Piece, Rules, Stick, patterns
from graftbook.fit.joint_gates import Many
from graftbook.fit.plan_facts import PieceFact, Possible, WayFact
from graftbook.trade.methods import Method

# Sizes within half a step of one another are one kind, in mm: as near as a gauge with holes reads.
STEP_MM = 0.5


def size_class(mm: float, step_mm: float = STEP_MM) -> float:
    """The middle of the class a diameter in mm falls into, classes being `step_mm` (above 0) wide.

    A piece and a stock judged by their classes may each be half a step thicker or thinner than told: judge what is chosen
    once more by its own size. Raises UsageProblem for a step of 0 or less.
    """
    if not step_mm > 0:
        raise UsageProblem("a step above 0 mm", f"{step_mm:g}")
    return round(round(mm / step_mm) * step_mm, 6)


def ways_of(
    stick: Stick, methods: Sequence[Method], kind: Callable[[Piece], str], buds: Sequence[int] = BUDS
) -> tuple[WayFact, ...]:
    """Every way to cut a stick for any of the methods, with pieces named by `kind`; longer scions nearer the butt.

    For methods that take a single bud it is cut bud by bud. A way is cut by one method's lengths throughout; its pieces
    may be used by another where they are long enough. Raises as `cutting.check`.
    """
    found: dict[WayFact, None] = {}
    done = set()
    for method in methods:
        rules = Rules((1,) if method.is_bud else tuple(buds), method)
        lengths = tuple(rules.shortest(each) for each in (stick.butt_mm, stick.tip_mm))
        if (rules.buds, lengths) in done:
            continue
        done.add((rules.buds, lengths))
        for way in patterns(stick, rules):
            if way.pieces:
                found.setdefault(tuple(_fact(piece, kind) for piece in way.pieces))
    return tuple(found)


def _fact(piece: Piece, kind: Callable[[Piece], str]) -> PieceFact:
    return PieceFact(kind(piece), piece.buds, piece.lost, piece.butt_mm, piece.tip_mm, piece.length_mm)


def possible_of(
    pieces: Sequence[str],
    hosts: Sequence[str],
    many: Many,
    chance: Callable[[int, int, Method], tuple[float, str]],
    lengths: Mapping[str, float] | None = None,
    buds: Mapping[str, int] | None = None,
) -> tuple[Possible, ...]:
    """Every kind of piece on every kind of host by every method that no gate forbids.

    `pieces` and `hosts` name the kinds in the order in which their facts were judged (`joint_gates.judge_many`).
    `chance(row, column, method)` gives the chance and its basis, rows and columns being places in these lists; it is
    asked once for each kind of wood and stock that the gates tell apart. With `lengths`, in mm by kind, a piece too
    short for a method is left out, as is one of several `buds` for a method that takes one. Doubts are left to be asked
    of the pairs chosen.
    """
    import numpy as np

    found: list[Possible] = []
    for grid in many.grids:
        method = grid.method
        able = np.array([_may(name, method, lengths, buds) for name in pieces], bool)
        verdict = grid.verdict[many.wood_row][:, many.stock_column]
        told: dict[tuple[int, int], tuple[float, str]] = {}
        share = grid.share
        rows, columns = np.nonzero((verdict < 2) & able[:, None])
        for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
            key = (int(many.wood_row[row]), int(many.stock_column[column]))
            if key not in told:
                told[key] = chance(row, column, method)
            met = float(share[key])
            found.append(
                Possible(
                    pieces[row], hosts[column], method.method, told[key][0], None if met != met else met, told[key][1]
                )
            )
    return tuple(found)


def _may(name: str, method: Method, lengths: Mapping[str, float] | None, buds: Mapping[str, int] | None) -> bool:
    if buds is not None and method.is_bud and buds[name] != 1:
        return False
    if lengths is None:
        return True
    return lengths[name] >= Rules((1,), method).shortest(0.0) - 1e-6
