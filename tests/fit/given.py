"""Wood and stocks for the tests of fit: an apple bundle and an apple stock between which nothing stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from graftbook.fit.facts import KeepingFacts, StockFacts, WoodFacts
from graftbook.fit.match import Judgement, judge_all
from graftbook.trade import methods
from graftbook.trade.methods import Method

ON = date(2027, 3, 20)
_WOOD = WoodFacts(
    "W7", "Malus domestica", None, (8.0, 8.0), "dormant", date(2027, 1, 14), 65, "sound", 12, KeepingFacts(120, 180)
)
_STOCK = StockFacts("P12", "Malus domestica", "MM.106", (8.0, 8.0), "dormant", "tight")


def wood(**changes: Any) -> WoodFacts:
    """The bundle W7, changed as said."""
    return replace(_WOOD, **changes)


def stock(**changes: Any) -> StockFacts:
    """The stock P12, changed as said."""
    return replace(_STOCK, **changes)


def method(name: str) -> Method:
    """A method under one of its names."""
    found = methods.find(name)
    assert found is not None, name
    return found


def judge(wood: WoodFacts, stock: StockFacts, method: Method, on: date, *own: Any, **how: Any) -> Judgement:
    """One pair judged by itself; `own` and `how` go to `judge_all`."""
    return judge_all((wood,), (stock,), (method,), on, *own, **how)[0]


def best_first(judgements: Iterable[Judgement]) -> tuple[Judgement, ...]:
    """Judgements by score, equal ones in the order given."""
    return tuple(sorted(judgements, key=lambda judgement: judgement.score))
