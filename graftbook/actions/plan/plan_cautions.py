"""What is to be minded of each pair of a plan: the gates that are a caution or could not be answered, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.grafts import matching
from graftbook.actions.plan.plan_request import Asked
from graftbook.actions.trade import own_tables
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.gate import GateContext
from graftbook.fit.gates import GATES
from graftbook.fit.plan_facts import Pair
from graftbook.trade import pairs as trade_pairs

_HERE = "⟨host⟩"


def cautions(session: Session, asked: Asked, pairs: Sequence[Pair], unit: str) -> list[str | None]:
    """What is to be minded of each pair, one sentence a line, each kind of pair asked once."""
    minds = _Minds(asked, tuple(own_tables.own_pairs(session)), unit)
    plants = list({pair.host: asked.hosts.plants[pair.host] for pair in pairs}.values())
    stands = matching.stock_facts(session, plants, asked.day)
    facts = {plant.code: replace(stock, code=_HERE) for plant, stock in zip(plants, stands, strict=True)}
    return [
        "\n".join(line.replace(_HERE, pair.host) for line in minds.of(pair, facts[pair.host]))[:4000] or None
        for pair in pairs
    ]


class _Minds:
    """The gates asked once of each kind of pair, for the sentences of those that are a caution or could not be answered."""

    def __init__(self, asked: Asked, own: tuple[Any, ...], unit: str) -> None:
        self._asked, self._own, self._unit = asked, own, unit
        self._methods = {method.method: method for method in asked.methods}
        self._found: dict[Any, tuple[str, ...]] = {}
        self._known: dict[Any, GateContext] = {}

    def of(self, pair: Pair, stock: StockFacts) -> tuple[str, ...]:
        bundle = self._asked.wood.bundles[pair.stick]
        key = pair.cut.kind, pair.cut.butt_mm, bundle.code, stock, pair.method
        if key not in self._found:
            wood = replace(self._asked.wood.kinds[pair.cut.kind].facts, code=bundle.code)
            if pair.cut.length_mm is not None and pair.cut.butt_mm is not None:
                wood = replace(wood, diameter_mm=(round(pair.cut.butt_mm, 1),) * 2)
            self._found[key] = tuple(self._reasons(wood, stock, self._methods[pair.method]))
        return self._found[key]

    def _reasons(self, wood: WoodFacts, stock: StockFacts, method: Any) -> Iterator[str]:
        kinds = wood.taxon, wood.cultivar, stock.taxon, stock.clone
        if kinds not in self._known:
            self._known[kinds] = GateContext(trade_pairs.verdict(*kinds, own=self._own), self._unit)
        for gate in GATES:
            said = gate.judge(wood, stock, method, self._asked.day, self._known[kinds])
            if said.outcome in ("caution", "unknown"):
                yield said.reason


def go_on_days(session: Session, asked: Asked, pairs: Sequence[Pair], days: Sequence[str]) -> list[int]:
    """Places of the pairs that no gate says no to on any of the days."""
    barred: set[int] = set()
    methods = {method.method: method for method in asked.methods}
    own = tuple(own_tables.own_pairs(session))
    bundles = list({asked.wood.bundles[pair.stick].code: asked.wood.bundles[pair.stick] for pair in pairs}.values())
    plants = list({pair.host: asked.hosts.plants[pair.host] for pair in pairs}.values())
    for day in (date.fromisoformat(text) for text in days):
        woods = {wood.code: wood for wood in matching.wood_facts(session, bundles, day)}
        stands = {stock.code: stock for stock in matching.stock_facts(session, plants, day)}
        for at, pair in enumerate(pairs):
            wood, stock = woods[asked.wood.bundles[pair.stick].code], stands[pair.host]
            known = GateContext(trade_pairs.verdict(wood.taxon, wood.cultivar, stock.taxon, stock.clone, own=own))
            gates = (gate.judge(wood, stock, methods[pair.method], day, known).outcome for gate in GATES)
            if any(outcome == "no" for outcome in gates):
                barred.add(at)
    return [at for at in range(len(pairs)) if at not in barred]
