"""How a stick can be cut into scions, with the thickness of each piece.

A stick runs from its thick butt to its tip, thinning evenly. Its sound buds are taken to stand evenly along it below the
soft tip, which is left (common practice: all discard it); a cut falls midway between two buds. A piece keeps one to three
buds. Where they stand so close that the piece would be too short for its method, the wood below is taken too, and the
buds on that wood are lost to the cut. Pieces follow one another from the butt, so what is left over is at the tip, and a
way is whole: no further piece could be had from what is left.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from graftbook.errors import UsageProblem
from graftbook.fit.joint_kinds import cut_of
from graftbook.trade.methods import Method

BUDS = (1, 2, 3)
# The share of a stick at its tip that is too soft to use (from memory).
SOFT_TIP = 0.1
# Buds of the trees that are grafted stand no closer than this, in mm (from memory).
CLOSEST_BUDS_MM = 4.0
# Wood above the cut that the lowest bud kept and the fingers need, and the shortest scion of any method, in mm (from memory).
ABOVE_CUT_MM = 15.0
SHORTEST_MM = 40.0
# The shortest chip and shield that are printed: 19 mm (North Carolina State University; University of Florida).
SHORTEST_BUD_MM = 19.0


@dataclass(frozen=True)
class Stick:
    """A stick: diameters in mm over bark at butt and tip, length in mm, sound buds below the soft tip."""

    butt_mm: float
    tip_mm: float
    length_mm: float
    buds: int

    @property
    def sound_mm(self) -> float:
        """The length below the soft tip."""
        return self.length_mm * (1 - SOFT_TIP)

    def diameter_at(self, from_butt_mm: float) -> float:
        """Thickness in mm so far from the butt, thinning evenly to the tip."""
        return self.butt_mm + (self.tip_mm - self.butt_mm) * from_butt_mm / self.length_mm


@dataclass(frozen=True)
class Piece:
    """A scion of a stick: where it starts and ends in mm from the butt, the buds it keeps and those its cut takes, and
    its diameters in mm at either end."""

    from_mm: float
    to_mm: float
    buds: int
    lost: int
    butt_mm: float
    tip_mm: float

    @property
    def length_mm(self) -> float:
        """Length of the piece in mm."""
        return self.to_mm - self.from_mm


@dataclass(frozen=True)
class Way:
    """One way to cut a stick, from the butt on; `left_over` buds stay at the tip."""

    pieces: tuple[Piece, ...]
    left_over: int

    @property
    def buds(self) -> int:
        """Buds on all scions together."""
        return sum(piece.buds for piece in self.pieces)


@dataclass(frozen=True)
class Rules:
    """What scions may be: numbers of buds, each 1 or more, and the method they are for (None: any)."""

    buds: tuple[int, ...] = BUDS
    method: Method | None = None

    def shortest(self, diameter_mm: float) -> float:
        """The least length in mm of a scion so thick at its butt: its cut as long as the handbooks ask, and wood above."""
        if self.method is None:
            return SHORTEST_MM
        if self.method.is_bud:
            return SHORTEST_BUD_MM
        cut = cut_of(self.method)
        return SHORTEST_MM if cut is None else max(SHORTEST_MM, cut.length(diameter_mm) + ABOVE_CUT_MM)


def check(stick: Stick, rules: Rules) -> None:
    """Raises UsageProblem naming everything about a stick or the scions wanted that cannot be."""
    faults = []
    for name, value in (("butt", stick.butt_mm), ("tip", stick.tip_mm), ("length", stick.length_mm)):
        if not 0 < value < math.inf:
            faults.append((f"a {name} above 0 mm", f"{value:g} mm"))
    if stick.buds < 1:
        faults.append(("a stick with at least one sound bud", f"{stick.buds}"))
    if stick.tip_mm > stick.butt_mm:
        faults.append(("a tip no thicker than the butt", f"butt {stick.butt_mm:g} mm and tip {stick.tip_mm:g} mm"))
    holds = int(stick.sound_mm / CLOSEST_BUDS_MM) if 0 < stick.length_mm < math.inf else stick.buds
    if stick.buds > holds:
        faults.append((f"at most {holds} sound buds on {stick.length_mm:g} mm", f"{stick.buds}"))
    if not rules.buds or min(rules.buds) < 1:
        faults.append(("scions of one bud or more", ", ".join(map(str, rules.buds)) or "none"))
    if rules.method is not None and rules.method.is_bud and set(rules.buds) != {1}:
        faults.append((f"one bud for {rules.method.method}", ", ".join(map(str, rules.buds))))
    if faults:
        raise UsageProblem("; ".join(wanted for wanted, _ in faults), "; ".join(found for _, found in faults))


def next_piece(stick: Stick, rules: Rules, used: int, buds: int) -> Piece | None:
    """The next scion of so many buds when the first `used` buds from the butt are gone; None where too little is left."""
    apart = stick.sound_mm / stick.buds
    start = used * apart
    wanted = rules.shortest(stick.diameter_at(start))
    lost = 0
    while (buds + lost) * apart < wanted - 1e-9:
        lost += 1
    end = start + (buds + lost) * apart
    if used + buds + lost > stick.buds:
        return None
    return Piece(start, end, buds, lost, stick.diameter_at(start), stick.diameter_at(end))


def patterns(stick: Stick, rules: Rules = Rules()) -> tuple[Way, ...]:
    """The ways that differ in how many scions of each number of buds they give, one each, longer scions nearer the butt.

    Raises as `check`.
    """
    check(stick, rules)
    return tuple(_patterns(stick, rules, sorted(set(rules.buds), reverse=True), (), 0))


def _patterns(stick: Stick, rules: Rules, sizes: Sequence[int], taken: tuple[Piece, ...], used: int) -> Iterator[Way]:
    if not sizes:
        if all(next_piece(stick, rules, used, buds) is None for buds in rules.buds):
            yield Way(taken, stick.buds - used)
        return
    yield from _patterns(stick, rules, sizes[1:], taken, used)
    piece = next_piece(stick, rules, used, sizes[0])
    if piece is not None:
        yield from _patterns(stick, rules, sizes, (*taken, piece), used + piece.buds + piece.lost)
