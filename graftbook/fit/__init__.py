"""Which wood fits which stock by which method, with the reasons."""

from graftbook.fit.facts import KeepingFacts, NoteFacts, StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext
from graftbook.fit.gates import GATES
from graftbook.fit.match import Judgement, best_first, judge, judge_all, judging, judging_best

__all__ = [
    "GATES",
    "Gate",
    "GateContext",
    "Judgement",
    "KeepingFacts",
    "NoteFacts",
    "StockFacts",
    "WoodFacts",
    "best_first",
    "judge",
    "judge_all",
    "judging",
    "judging_best",
]
