"""What the gates say of each pair of a plan: cautions and what could not be answered in sentences, and whether it goes on a day."""

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
from graftbook.fit.gate import Gate, GateContexts
from graftbook.fit.gates import GATES
from graftbook.fit.plan_facts import Pair

_HERE = "⟨host⟩"


def cautions(session: Session, asked: Asked, pairs: Sequence[Pair], unit: str) -> list[str | None]:
    """The cautions of each pair, one sentence a line, each kind of pair asked once."""
    gates = _Gates(session, asked, unit)
    stands = {code: replace(stock, code=_HERE) for code, stock in _stands(session, asked, pairs, asked.day).items()}
    found: dict[Any, str] = {}
    sentences: list[str | None] = []
    for pair in pairs:
        bundle, stock, cut = asked.wood.bundles[pair.stick].code, stands[pair.host], pair.cut
        key = cut.kind, cut.butt_mm, bundle, stock, pair.method
        if key not in found:
            wood = replace(asked.wood.kinds[cut.kind].facts, code=bundle)
            if cut.length_mm is not None and cut.butt_mm is not None:
                wood = replace(wood, diameter_mm=(round(cut.butt_mm, 1),) * 2)
            answers = gates.of(wood, stock, pair.method, asked.day)
            found[key] = "\n".join(gate.reason for gate in answers if gate.outcome in ("caution", "unknown"))
        sentences.append(found[key].replace(_HERE, pair.host)[:4000] or None)
    return sentences


def go_on(session: Session, asked: Asked, pairs: Sequence[Pair], day: date) -> list[bool]:
    """Of each pair, whether no gate says no to it on a day."""
    gates, stands = _Gates(session, asked), _stands(session, asked, pairs, day)
    bundles = list({asked.wood.bundles[pair.stick].code: asked.wood.bundles[pair.stick] for pair in pairs}.values())
    woods = {wood.code: wood for wood in matching.wood_facts(session, bundles, day)}
    return [
        all(
            gate.outcome != "no"
            for gate in gates.of(woods[asked.wood.bundles[pair.stick].code], stands[pair.host], pair.method, day)
        )
        for pair in pairs
    ]


class _Gates:
    """The gates asked of single pairs, by the methods of a plan."""

    def __init__(self, session: Session, asked: Asked, unit: str = "mm") -> None:
        self._contexts = GateContexts(own_tables.own_pairs(session), unit)
        self._methods = {method.method: method for method in asked.methods}

    def of(self, wood: WoodFacts, stock: StockFacts, method: str, day: date) -> Iterator[Gate]:
        known = self._contexts.of(wood, stock)
        return (gate.judge(wood, stock, self._methods[method], day, known) for gate in GATES)


def _stands(session: Session, asked: Asked, pairs: Sequence[Pair], day: date) -> dict[str, StockFacts]:
    """What is known of the hosts of the pairs on a day, by code."""
    plants = list({pair.host: asked.hosts.plants[pair.host] for pair in pairs}.values())
    return {stock.code: stock for stock in matching.stock_facts(session, plants, day)}
