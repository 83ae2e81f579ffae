"""The answer of one gate for one pair, and what gates need to know beside the pair itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from graftbook.fit.facts import Range, StockFacts, Union, WoodFacts
from graftbook.trade import pairs
from graftbook.trade.methods import Method, Span
from graftbook.trade.pairs import TRUST, PairRow, Verdict
from graftbook.units import show_range

OUTCOMES = ("pass", "caution", "no", "unknown")


@dataclass(frozen=True)
class Gate:
    """What one gate says: `outcome` one of OUTCOMES, `reason` whole sentences, `basis` and `source` of the rule.

    `unknown` means that something must be looked at or measured before the gate can speak.
    """

    name: str
    outcome: str
    reason: str
    basis: str
    source: str
    statements: tuple[str, ...] = ()


@dataclass(frozen=True)
class GateContext:
    """What gates need to know beside wood, stock, method and day.

    `verdict` is what the table of pairs says of these two kinds, `below` what it says of the union under a host that is
    itself a graft, None under a plant; `unit`, mm or in, is that of lengths in reasons.
    """

    verdict: Verdict
    unit: str = "mm"
    below: Verdict | None = None

    @property
    def trust(self) -> str:
        """How far the union, and one below it, can be trusted: the lesser of the two."""
        both = (self.verdict, self.below) if self.below is not None else (self.verdict,)
        return max((verdict.trust for verdict in both), key=TRUST.index)


class GateContexts:
    """The context of every pair, compatibility looked up once for each pair of kinds; `own` are the grower's own rows."""

    def __init__(self, own: Iterable[PairRow], unit: str = "mm") -> None:
        self._own, self._unit = tuple(own), unit
        self._found: dict[tuple[str, str | None, str, str | None, Union | None], GateContext] = {}

    def of(self, wood: WoodFacts, stock: StockFacts) -> GateContext:
        """What gates need to know of one pair beside the pair itself."""
        key = (wood.taxon, wood.cultivar, stock.taxon, stock.clone, stock.union_below)
        if key not in self._found:
            below = None if stock.union_below is None else pairs.verdict(*stock.union_below, own=self._own)
            self._found[key] = GateContext(pairs.verdict(*key[:4], own=self._own), self._unit, below)
        return self._found[key]


def _gate(name: str, outcome: str, reason: str, basis: str, source: str) -> Gate:
    return Gate(name, outcome, reason[:1].upper() + reason[1:], basis, source)


def practice(name: str, outcome: str, reason: str) -> Gate:
    """A gate that rests on common practice, with no source."""
    return _gate(name, outcome, reason, "common practice", "")


def recorded(name: str, outcome: str, reason: str) -> Gate:
    """A gate that rests on the grower's own record."""
    return _gate(name, outcome, reason, "own", "")


def by_method(name: str, outcome: str, reason: str, method: Method) -> Gate:
    """A gate that rests on the method's row in the trade's tables."""
    return _gate(name, outcome, reason, method.basis, method.source)


def overlap(size: Range, limits: Span) -> Range | None:
    """The part of a size that lies inside limits in the same unit, a None limit being none; None when no part does."""
    low = size[0] if limits[0] is None else max(size[0], limits[0])
    high = size[1] if limits[1] is None else min(size[1], limits[1])
    return (low, high) if low <= high else None


def has_limit(limits: Span) -> bool:
    """Whether at least one of the two limits is set."""
    return limits[0] is not None or limits[1] is not None


def limits_words(limits: Span, unit: str) -> str:
    """Limits in mm for people: `6-13 mm`, `up to 64 mm`, `at least 25 mm`."""
    low, high = limits
    if low is None or high is None:
        return f"up to {show_range(high, high, unit)}" if low is None else f"at least {show_range(low, low, unit)}"
    return show_range(low, high, unit)


def share_words(limits: Span) -> str:
    """Limits of a ratio for people, in per cent of the stock's diameter."""
    low, high = limits
    if low is None or high is None:
        return f"up to {high:.0%}" if low is None else f"at least {low:.0%}"
    return f"{low:.0%} to {high:.0%}"
