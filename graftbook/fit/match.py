"""Which wood on which stock by which method: all gates of a pair, one verdict, and the order from best to worst.

The verdict is `no` when any gate says no, `caution` when any is a caution or could not be answered, else `yes`. The
order of pairs is by verdict, then by how far the union can be trusted, then by how few doubts there are, then by how
well the two cut faces can meet (`joints`: equal is best, a little thinner next, thicker worse: common practice), then by
which wood goes off first. Where a method has no model of its joint, how near the scion's thickness can come to the
stock's stands in for it. It is an order for a worklist and no forecast of take: no trial gives take against difference in
diameter.

Between methods shares say little, since each cuts another face and a wedge in a split only ever meets with one edge. So
for one pair the methods keep the order of the table, once gates and doubts are alike: a scion of dormant wood goes before
a single bud of it, which has none to spare, and a bud of summer wood before a scion of it (common practice); a method
whose joint would meet less than a third of what it sets out to meet goes last.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext, GateContexts, overlap
from graftbook.fit.gates import GATES, GateRow
from graftbook.fit.joint_batch import Joints
from graftbook.fit.joints import THICKER_COSTS, USUAL, Joint, JointAssumptions
from graftbook.trade.methods import Method
from graftbook.trade.pairs import TRUST, PairRow

VERDICTS = ("yes", "caution", "no")
# A joint that meets less than this share of what its method sets out to meet is a poor one (from memory).
POOR = 1 / 3
_NOT_KNOWN_DAYS = 100_000

Score = tuple[float, ...]


@dataclass(frozen=True)
class Judgement:
    """One wood on one stock by one method, judged.

    `gates` are in the order of the table of gates; `verdict` is one of VERDICTS. `score` sorts best first: place of the
    verdict, trust in the union, number of doubts, what cannot be met of the joint (0 nothing, 1 all or not known), days
    of usual keeping left. `choice` sorts the methods of one pair, best first, those alike keeping the order of the table.
    `joint` is None where a diameter is not known, where the method has no model of its joint, and for pairs that do not go.
    """

    wood: WoodFacts
    stock: StockFacts
    method: Method
    gates: tuple[Gate, ...]
    verdict: str
    score: Score
    choice: Score = ()
    joint: Joint | None = None

    def reasons(self, *outcomes: str) -> tuple[str, ...]:
        """The reasons of the gates with these outcomes, or of all when none is named."""
        return tuple(gate.reason for gate in self.gates if not outcomes or gate.outcome in outcomes)


def judge_all(
    woods: Sequence[WoodFacts],
    stocks: Sequence[StockFacts],
    methods: Sequence[Method],
    on: date,
    own_pairs: Iterable[PairRow] = (),
    unit: str = "mm",
    given: JointAssumptions | None = USUAL,
) -> tuple[Judgement, ...]:
    """Every wood on every stock by every method, in that order.

    `own_pairs` are the grower's own rows of compatibility, `unit` (mm or in) the unit of lengths in the reasons, `given`
    what the grower set for the model of joints; None leaves the joints out, for whoever wants the gates alone.
    """
    joints = None if given is None else Joints(given)
    found: list[Judgement] = []
    for pairs_of_wood in _gated(woods, stocks, methods, on, own_pairs, unit):
        row = [gated for by_method in pairs_of_wood for gated in by_method]
        if joints is not None:
            joints.prepare((gated.wood, gated.stock, gated.method) for gated in row if gated.verdict != "no")
        found += [gated.judged(joints) for gated in row]
    return tuple(found)


def judging_best(
    woods: Sequence[WoodFacts],
    stocks: Sequence[StockFacts],
    methods: Sequence[Method],
    on: date,
    own_pairs: Iterable[PairRow] = (),
    unit: str = "mm",
    given: JointAssumptions = USUAL,
) -> Iterator[Judgement]:
    """Every wood on every stock by the method that is best for it, one at a time; nothing where there is no method.

    The same as the first by `choice` of all its methods, without working out the joints of methods that cannot be it.
    """
    joints = Joints(given)
    for pairs_of_wood in _gated(woods, stocks, methods, on, own_pairs, unit):
        hopeful = [_hopeful(by_method) for by_method in pairs_of_wood if by_method]
        first = (each[0] for each in hopeful)
        joints.prepare((gated.wood, gated.stock, gated.method) for gated in first if gated.verdict != "no")
        for each in hopeful:
            yield _best(each, joints)


def _gated(
    woods: Sequence[WoodFacts],
    stocks: Sequence[StockFacts],
    methods: Sequence[Method],
    on: date,
    own_pairs: Iterable[PairRow],
    unit: str,
) -> Iterator[list[list[_Gated]]]:
    """A wood at a time: for every stock, the pair through its gates by every method."""
    contexts, answers = GateContexts(own_pairs, unit), _Answers()
    for wood_at, wood in enumerate(woods):
        row = []
        for stock_at, stock in enumerate(stocks):
            known = contexts.of(wood, stock)
            by_method = []
            for method_at, method in enumerate(methods):
                places = {"wood": wood_at, "stock": stock_at, "method": method_at}
                gates = tuple(answers.of(gate, places, (wood, stock, method, on, known)) for gate in GATES)
                by_method.append(_Gated(wood, stock, method, gates, known.trust))
            row.append(by_method)
        yield row


def _hopeful(by_method: Sequence[_Gated]) -> list[_Gated]:
    """The methods of a pair that are equal but for their joints, in the order of the table."""
    least = min(gated.suits for gated in by_method)
    return [gated for gated in by_method if gated.suits == least]


def _best(hopeful: Sequence[_Gated], joints: Joints) -> Judgement:
    """The first whose joint is not a poor one, or else the best of the poor."""
    seen = []
    for gated in hopeful:
        seen.append(gated.judged(joints))
        if not seen[-1].choice[-2]:
            return seen[-1]
    return min(seen, key=lambda judgement: judgement.choice)


def mismatch(wood: WoodFacts, stock: StockFacts, method: Method) -> float:
    """How far the best scion to be had is from the stock's thickness, as a share of it: 0 none, at most 1.

    Equal is 0, thinner by a tenth 0.1, thicker by a tenth 0.2, but 0 where the method is made for thicker scions. 1
    when either diameter is not known.
    """
    if wood.diameter_mm is None or stock.diameter_mm is None:
        return 1.0
    shares = (wood.diameter_mm[0] / stock.diameter_mm[1], wood.diameter_mm[1] / stock.diameter_mm[0])
    low, high = overlap(shares, method.ratio_ok) or shares
    if high < 1:
        return round(1 - high, 3)
    top = method.ratio_ok[1]
    if low <= max(1.0, 1.0 if top is None else top):
        return 0.0
    return round(min(1.0, THICKER_COSTS * (low - 1)), 3)


class _Answers:
    """Gates answered once for all pairs that differ in nothing the gate looks at."""

    def __init__(self) -> None:
        self._found: dict[tuple[object, ...], Gate] = {}

    def of(
        self, row: GateRow, places: dict[str, int], pair: tuple[WoodFacts, StockFacts, Method, date, GateContext]
    ) -> Gate:
        if len(row.looks_at) == len(places):
            return row.judge(*pair)
        key = (row.name, *(places[what] for what in row.looks_at))
        found = self._found.get(key)
        if found is None:
            found = self._found[key] = row.judge(*pair)
        return found


class _Gated:
    """A pair through its gates, its joint not looked at yet."""

    def __init__(self, wood: WoodFacts, stock: StockFacts, method: Method, gates: tuple[Gate, ...], trust: str) -> None:
        outcomes = [gate.outcome for gate in gates]
        self.wood, self.stock, self.method, self.gates = wood, stock, method, gates
        self.doubts = outcomes.count("caution") + outcomes.count("unknown")
        self.verdict = "no" if "no" in outcomes else "caution" if self.doubts else "yes"
        self._order = VERDICTS.index(self.verdict), TRUST.index(trust), self.doubts

    @property
    def suits(self) -> Score:
        """What sorts the methods of a pair before their joints are looked at."""
        unusual = self.wood.kind == ("dormant" if self.method.is_bud else "summer")
        return *self._order, int(unusual)

    def judged(self, joints: Joints | None) -> Judgement:
        """The judgement, with the joint of a pair that goes where joints are wanted."""
        joint = None
        if joints is not None and self.verdict != "no":
            joint = joints.of(self.wood, self.stock, self.method)
        unmet = mismatch(self.wood, self.stock, self.method) if joint is None else round(1 - joint.met, 3)
        poor = (1 - unmet if joint is None else joint.of_aim) < POOR or self.verdict == "no"
        score = (*self._order, unmet, _days_left(self.wood))
        choice = (*self.suits, int(poor), unmet if poor else 0.0)
        return Judgement(self.wood, self.stock, self.method, self.gates, self.verdict, score, choice, joint)


def _days_left(wood: WoodFacts) -> int:
    usual = None if wood.keeping is None else wood.keeping.usual_days
    if usual is None or (wood.age_days is None and usual >= (wood.least_days or 0)):
        return _NOT_KNOWN_DAYS
    return usual - (wood.surely_days or 0)
