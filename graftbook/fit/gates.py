"""The gates a pair must pass before a knife is taken out, each with its reason.

Limits printed for grafting methods disagree by a factor of two to four, so a size outside them is a caution and never a
bar. A gate says no only where nothing could come of it: an impossible union, a dead stock, no wood left, a scion
thicker than what it is to stand on, bark that must lift and does not. The grower's own notes are repeated in the
grower's words.

One function a gate, all with the same signature; `GATES` at the end holds them in the order they are read. Adding one
is a function and a row. Each row says what its gate looks at, so that among thousands of pairs none is asked twice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from graftbook.fit.bark import bark_and_stage
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext, recorded
from graftbook.fit.notes import health_note, rights_note
from graftbook.fit.sizes import ratio, scion_diameter, stock_diameter
from graftbook.fit.wood import condition, keeping, sticks_left, wood_dormant
from graftbook.trade import taxa
from graftbook.trade.methods import Method
from graftbook.trade.pairs import TRUST, UNKNOWN, PairRow, Verdict, statement, whose

_RANK = ("pass", "unknown", "caution", "no")

_WORDS = {
    "good": "known to go together",
    "workable": "workable",
    "delayed": "apt to part after months or years, so a first-season take proves nothing",
    "poor": "known to take poorly or to join weakly",
    "no": "known to fail",
}


def compatibility(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the two kinds are known to join and to last, and the union below, where the host is itself a graft.

    Only what is recorded of this very pair passes; what is borrowed from other rootstocks, cultivars or kinds is a
    caution however good it sounds, and what no row covers is unknown.
    """
    verdict = known.verdict
    pair = f"{taxa.common_name(wood.taxon)} on {_stands_on(stock)}"
    caveats = "".join(f" {caveat.rstrip('.')}." for caveat in verdict.caveats if caveat)
    outcome, reason = _outcome(verdict), f"{_said(verdict, pair)}.{caveats}"
    if known.below is not None and _RANK.index(_outcome(known.below)) > 0:
        # It stands already, so that it is a caution at most.
        outcome = max(outcome, min(_outcome(known.below), "caution", key=_RANK.index), key=_RANK.index)
        reason += f" {_said(known.below, f'the union below {stock.code}')}."
    rows = () if known.below is None else known.below.rows
    statements = tuple(dict.fromkeys(statement(row) for row in (*verdict.rows, *rows)))
    return Gate("compatibility", outcome, reason, verdict.basis, verdict.source, statements)


def _outcome(verdict: Verdict) -> str:
    if verdict.word == UNKNOWN:
        return "no" if verdict.unrelated else "unknown"
    if verdict.word == "no" and verdict.barring:
        return "no"
    return "pass" if verdict.word == "good" and verdict.certain and not verdict.alone else "caution"


def _said(verdict: Verdict, pair: str) -> str:
    """What is known of a pair, and how sure that is, as a sentence without its stop."""
    start = f"{pair[:1].upper()}{pair[1:]}"
    if verdict.unrelated:
        return f"Nothing is recorded of {pair}, and as far as is known they are not of one genus"
    if verdict.word == UNKNOWN or (verdict.by_kinship and not verdict.certain):
        return f"Nothing is recorded of {pair}: ask before relying on it"
    if verdict.differs:
        words = " and ".join(dict.fromkeys(_whose_word(row) for row in verdict.rows if not row.condition))
        return f"{start} is {_WORDS[verdict.word]}, by the more cautious of sources that differ: {words}"
    warned = verdict.barring and verdict.word not in TRUST[:2]
    if verdict.certain or verdict.exceptions or warned:
        alone = (
            "" if not verdict.alone else ", from memory" if verdict.basis == "from memory" else ", by one source alone"
        )
        return f"{start} is {_WORDS[verdict.word]} ({verdict.level}{alone})"
    return f"Nothing is recorded of {pair} itself; of {verdict.level}: {verdict.word}. Ask before relying on it"


def _whose_word(row: PairRow) -> str:
    return f"{row.word} ({whose(row)})" if row.basis == "own" else row.word


def _stands_on(stock: StockFacts) -> str:
    kind = taxa.common_name(stock.taxon) or stock.taxon
    if not stock.clone:
        return kind
    return f"{kind} seedling" if stock.clone == "seedling" else f"{kind} ({stock.clone})"


def stock_alive(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the stock lives."""
    if stock.alive:
        return recorded("stock alive", "pass", f"{stock.code} is alive as far as the book knows.")
    return recorded("stock alive", "no", f"{stock.code} is recorded as dead.")


GateFunction = Callable[[WoodFacts, StockFacts, Method, date, GateContext], Gate]


@dataclass(frozen=True)
class GateRow:
    """A gate and what it looks at: any of `wood`, `stock`, `method`, beside the day."""

    name: str
    judge: GateFunction
    looks_at: tuple[str, ...]


GATES = (
    GateRow("compatibility", compatibility, ("wood", "stock")),
    GateRow("stock diameter", stock_diameter, ("stock", "method")),
    GateRow("scion diameter", scion_diameter, ("wood", "method")),
    GateRow("ratio", ratio, ("wood", "stock", "method")),
    GateRow("bark and stage", bark_and_stage, ("stock", "method")),
    GateRow("wood dormant", wood_dormant, ("wood", "method")),
    GateRow("keeping", keeping, ("wood",)),
    GateRow("condition", condition, ("wood",)),
    GateRow("sticks left", sticks_left, ("wood",)),
    GateRow("health note", health_note, ("wood", "stock")),
    GateRow("rights note", rights_note, ("wood", "stock")),
    GateRow("stock alive", stock_alive, ("stock",)),
)
