"""match: which wood fits which stock by which method, best first, with reasons; and what does not, and why."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual, code_list, count, filled
from graftbook.actions.grafts import callus_notes, joints, matching
from graftbook.actions.names import health_flow, shown_names
from graftbook.actions.outcome import alive
from graftbook.actions.trade import own_tables
from graftbook.book import find, wood_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.codes import read_many, read_one
from graftbook.errors import UsageProblem
from graftbook.fit.facts import Range, StockFacts, WoodFacts
from graftbook.fit.gate import Gate
from graftbook.fit.joints import JointAssumptions
from graftbook.fit.match import Judgement, judge_all, judging_best
from graftbook.trade.methods import Method

MOST_PAIRS = 1_000_000
MOST_STATEMENTS = 8
MOST_PAIRS_SHOWN = 40

ALWAYS_READ = ("compatibility", "ratio")
"""Gates whose answer is read also where it is a pass."""

SOUND = ("good", "workable")
"""How a row on a union begins that warns of nothing the verdict does not say."""

FEW_OF_A_STOCK, FEW_PAIRS = 2, 8
"""How many pairs of a stock, and how many in all, are a first answer to what fits what."""

_SENTENCES = re.compile(r"(?<=[a-z0-9)%]{3}\.) (?=[A-Z])")
"""Between two sentences; not after initials and short abbreviations."""


@dataclass(frozen=True)
class MatchRow:
    """A bundle and the stocks alike for which one method is the best. `stock` lists their codes, `stocks` counts them.

    `joint_share` to `cut_mm` are those of the model of joints, None where a diameter is not known or there is no model.
    """

    wood: str
    cultivar: str | None
    scion_mm: str
    stock: str
    stocks: int
    clone: str | None
    stock_mm: str
    method: str
    verdict: str
    why: str
    joint_share: float | None
    shift_mm: float | None
    alignment: str | None
    sides: int | None
    cut_mm: float | None
    shown: ClassVar = ("wood", "stock", "method", "verdict", "why")
    headings: ClassVar = {"why": "cautions"}


@dataclass(frozen=True)
class GateAnswerRow:
    """One gate of one pair by one method, with whose word it is."""

    method: str
    gate: str
    outcome: str
    reason: str
    basis: str
    source: str
    shown: ClassVar = ("gate", "outcome", "reason", "basis")

    @property
    def aside(self) -> bool:
        """Whether it stands in nobody's way; how far the union can be trusted, and which sticks to pick, is always read."""
        return self.outcome == "pass" and self.gate not in ALWAYS_READ


def match(
    desk: Desk, wood: str | None = None, stock: str | None = None, method: str | None = None, on: str | None = None,
    barred: bool = False, limit: int = MOST_PAIRS_SHOWN, reach: str | None = None, few: bool = False,
) -> Report:  # fmt: skip
    """Pairs best first, the best method for each; with `barred`, the pairs that do not go and why instead; with `few`, the
    best few of each stock, with the first sentence of each caution.

    `wood` None means every bundle with sticks left; `stock` None every living stock that carries no open graft; `reach`
    is the gap callus is trusted to bridge, as typed.
    """
    day = desk.day(on, future=True)
    with desk.book.read() as session:
        woods, stocks, methods, own, given = _asked(desk, session, wood, stock, method, day, reach)
        called = _called(session, woods)
    groups = _alike(stocks)
    asked, most = len(woods) * len(groups) * len(methods), f"at most {MOST_PAIRS:,} pairs and methods at once"
    if asked > MOST_PAIRS:
        raise UsageProblem(most, f"{asked:,}", "Narrow it with --wood, --stock or --method")
    judged = tuple(judging_best(woods, [group[0] for group in groups], methods, day, own, desk.settings.units, given))
    best, no = [j for j in judged if j.verdict != "no"], [j for j in judged if j.verdict == "no"]
    codes = {group[0].code: tuple(fact.code for fact in group) for group in groups}
    chosen = sorted(no if barred else best, key=lambda judgement: judgement.score)
    taken = _best_few(chosen) if few else chosen[:limit]
    rows = tuple(
        _row(judgement, called[judgement.wood.code], codes[judgement.stock.code], desk.settings.units, few)
        for judgement in taken
    )
    notes = _notes(woods, stocks, best, no, len(chosen) - len(rows), barred, desk.settings.temperature, few)
    return Report(MatchRow, rows, notes, {"as_of": day}, title=f"What fits what on {day.isoformat()}, best first")


def _best_few(ranked: Sequence[Judgement]) -> list[Judgement]:
    """The best pairs of each stock, in the order of all; every stock has its best before one has its second."""
    held: Counter[str] = Counter()
    taken: list[tuple[int, int]] = []
    for place, judgement in enumerate(ranked):
        held[judgement.stock.code] += 1
        if held[judgement.stock.code] <= FEW_OF_A_STOCK:
            taken.append((held[judgement.stock.code], place))
    return [ranked[place] for place in sorted(place for _turn, place in sorted(taken)[:FEW_PAIRS])]


def _in_short(gate: Gate) -> str:
    """The first sentence of what a gate says, with an ellipsis for the others; all of it where it is in the grower's words."""
    first, *rest = _SENTENCES.split(gate.reason, 1)
    return f"{first} …" if rest and gate.basis != "own" else gate.reason


def _asked(
    desk: Desk, session: Session, wood: str | None, stock: str | None, method: str | None, day: date, reach: str | None
) -> tuple[list[WoodFacts], list[StockFacts], list[Method], Any, JointAssumptions]:
    """Wood, stocks and methods to judge, the grower's own pairs to judge them by, and what is assumed of joints."""
    woods, stocks, methods = _woods(session, wood, day), _stocks(session, stock, day), _methods(session, method)
    return woods, stocks, methods, own_tables.own_pairs(session), joints.given(desk, session, reach)


def _woods(session: Session, text: str | None, day: date) -> list[WoodFacts]:
    if text is None:
        facts = matching.wood_facts(session, [b for b in wood_queries.bundles(session) if b.taxon is not None], day)
        return [fact for fact in facts if fact.sticks_left or fact.buds_in_hand]
    return matching.wood_facts(session, _rows(session, text, Bundle, "a bundle of wood, such as W7"), day)


def _stocks(session: Session, text: str | None, day: date) -> list[StockFacts]:
    if text is None:
        hosts: Sequence[Any] = alive.free_stocks(session, day)
    else:
        hosts = _rows(session, text, (Plant, Graft), "a plant or a graft, such as P12 or G5")
    return matching.stock_facts(session, hosts, day)


def _rows(session: Session, text: str, kinds: Any, expected: str) -> list[Any]:
    rows = find.many(session, read_many(text))
    for row in rows:
        if not isinstance(row, kinds):
            raise UsageProblem(expected, row.code)
    return rows


def _methods(session: Session, text: str | None) -> list[Method]:
    if text is not None:
        return [own_tables.method_named(session, name) for name in text.split(",")]
    return [method for method in own_tables.all_methods(session).values() if method.stock_ok != (None, None)]


def _alike(stocks: Sequence[StockFacts]) -> list[list[StockFacts]]:
    """Stocks that differ in nothing but their code, together: fifty of one grade are judged once."""
    groups: dict[StockFacts, list[StockFacts]] = {}
    for fact in stocks:
        groups.setdefault(replace(fact, code=""), []).append(fact)
    return list(groups.values())


def _called(session: Session, woods: Sequence[WoodFacts]) -> dict[str, str | None]:
    """What each bundle is or might be by all that is known now, by its code."""
    bundles = find.known(session, [read_one(wood.code) for wood in woods])
    names = shown_names.of(session, bundles)
    return {bundle.code: names.of(bundle).cultivar for bundle in bundles}


def _row(judgement: Judgement, called: str | None, codes: tuple[str, ...], unit: str, short: bool = False) -> MatchRow:
    wood, stock = judgement.wood, judgement.stock
    outcomes = ("no",) if judgement.verdict == "no" else ("caution", "unknown")
    said = [gate for gate in judgement.gates if gate.outcome in outcomes]
    return MatchRow(
        wood.code, called, _size(wood.diameter_mm, unit), code_list(codes), len(codes),
        stock.clone, _size(stock.diameter_mm, unit), judgement.method.method,
        judgement.verdict, _once([_in_short(gate) if short else gate.reason for gate in said]), **joints.facts(judgement.joint),
    )  # fmt: skip


def _size(ends: Range | None, unit: str) -> str:
    return units.show_range(*ends, unit) if ends is not None else ""


def _once(reasons: Sequence[str]) -> str:
    """The reasons as one text, a sentence that several gates say said once."""
    sentences = [part for reason in reasons for part in reason.replace(". ", ".\n").splitlines()]
    return " ".join(dict.fromkeys(sentences))


def _notes(
    woods: Sequence[WoodFacts], stocks: Sequence[StockFacts], best: Sequence[Judgement], no: Sequence[Judgement],
    more: int, barred: bool, temperature: str, few: bool = False,
) -> tuple[str, ...]:  # fmt: skip
    notes = [f"Looked at {count(len(woods), 'bundle')} and {count(len(stocks), 'free stock')}."]
    if not woods:
        notes.append("There is no wood with sticks left: graftbook wood list --empty shows what there was.")
    if not stocks:
        notes.append("There is no living stock without an open graft: graftbook stock add, or name one with --stock.")
    if more > 0:
        how = "--all" if few else f"--limit {more + MOST_PAIRS_SHOWN} shows them"
        notes.append(f"{count(more, 'pair')} more: {how}.")
    if no and not barred:
        reasons = Counter(gate.name for judgement in no for gate in judgement.gates if gate.outcome == "no")
        gates = ", ".join(f"{name} {number}" for name, number in reasons.most_common(4))
        notes.append(f"{count(len(no), 'pair')} will not go by any method ({gates}): --barred shows them with reasons.")
    written = (*(wood.notes for wood in woods), *(stock.notes for stock in stocks))
    if any(note.kind == "health" and note.status == "suspect" for each in written for note in each):
        notes.append(health_flow.DECIDES)
    if best and not barred:
        notes += callus_notes.of_kinds([wood.taxon for wood in woods], temperature)
        notes.append("The whole reasoning for one pair: graftbook match --why STOCK WOOD.")
    return tuple(notes)


def why(
    desk: Desk, stock: str, wood: str, method: str | None = None, on: str | None = None, reach: str | None = None,
    drawing: Path | None = None,
) -> Report:  # fmt: skip
    """One pair in full: every gate with its reason, basis and source, and its joint, by the best method or the one named.

    `drawing` is a file to draw the joint in, None for no drawing. Raises as `joints.draw`.
    """
    day, unit = desk.day(on, future=True), desk.settings.units
    if read_one(stock).letter == "W":
        stock, wood = wood, stock
    with desk.book.read() as session:
        woods, stocks, methods, own, given = _asked(desk, session, wood, stock, method, day, reach)
    ranked = sorted(judge_all(woods, stocks, methods, day, own, unit, given), key=lambda judgement: judgement.choice)
    best = ranked[0]
    found = joints.of_pair(best, given)
    drawn = () if drawing is None else (joints.draw(best, found, drawing, unit),)
    rows = tuple(filled(GateAnswerRow, gate, method=best.method.method, gate=gate.name) for gate in best.gates)
    warm = callus_notes.in_full(best.wood.taxon, desk.settings.temperature)
    notes = (*joints.notes(best, found, unit), *drawn, *warm, *_why_notes(ranked))
    facts = {"as_of": day, "verdict": best.verdict, "method": best.method.method, **joints.facts(found)}
    title = f"{best.wood.code} on {best.stock.code} by {best.method.method}: {best.verdict}"
    return Report(GateAnswerRow, rows, notes, facts, title)


def _why_notes(ranked: Sequence[Judgement]) -> tuple[str, ...]:
    from graftbook.trade import sources

    union = ranked[0].gates[0]
    statements = sorted(union.statements, key=lambda statement: statement.startswith(SOUND))
    recorded = (
        Usual(f"Recorded: {statement}") if statement.startswith(SOUND) else f"Recorded: {statement}"
        for statement in statements[:MOST_STATEMENTS]
    )
    over = len(union.statements) - MOST_STATEMENTS
    more = (Usual(f"{count(over, 'row')} more: graftbook trade pairs."),) if over > 0 else ()
    keys = dict.fromkeys(gate.source for gate in ranked[0].gates if gate.source and gate is not union)
    cited = (Usual(f"Source: {sources.cite(key)}") for key in keys)
    others = ", ".join(f"{judgement.method.method} ({judgement.verdict})" for judgement in ranked[1:6])
    return (*recorded, *more, *cited, *((f"Other methods, best first: {others}.",) if others else ()))
