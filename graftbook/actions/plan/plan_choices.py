"""What the choices of a plan rest on and what others would cost: scions of each want, the next best, and buds held back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from graftbook.actions.desk.results import count, first_of
from graftbook.actions.plan.plan_request import Asked
from graftbook.fit.plan_facts import HoldingCost, NextBest, SolvedPlan, WantFact, WantResult

# Larger plans are not solved a second time unasked, nor those of more wants once for each; others within so many seconds.
MOST_GRAFTS, MOST_WANTS, SECONDS = 400, 12, 10.0

_COSTS = {
    "sites": "on fewer sites", "spread": "on fewer sites", "strong": "weaker joints or shorter scions",
    "wear": "fresher wood or more stocks", "": "as good",
}  # fmt: skip


def percent(chance: float) -> str:
    """A chance in words: `87%`, near certainty `99.4%`, and never certain unless it is."""
    if 0.9995 <= chance < 1:
        return "over 99.9%"
    return f"{chance:.1%}" if 0.98 <= chance < 1 else f"{chance:.0%}"


def scions(mix: Iterable[tuple[int, int]]) -> str:
    """Grafts by buds: `3 of 2 buds and 3 of 1 bud`."""
    parts = [f"{number:,} of {count(buds, 'bud')}" for buds, number in mix]
    return " and ".join(parts) if len(parts) < 3 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def mix_of(found: SolvedPlan, want: str) -> tuple[tuple[int, int], ...]:
    """The grafts of a want by the buds of their scions, most buds first."""
    made = Counter(pair.cut.buds for pair in found.pairs if pair.want == want)
    return tuple(sorted(made.items(), reverse=True))


def next_best(asked: Asked, found: SolvedPlan) -> tuple[NextBest, ...]:
    """What the next best scions of each want would come to; empty for a plan too large to be solved once for each."""
    from graftbook.fit import plan_next_best

    grafted = sum(want.grafts > 0 for want in found.wants)
    if len(found.pairs) > MOST_GRAFTS or grafted > MOST_WANTS or found.timed_out:
        return ()
    return plan_next_best.next_best(asked.question, found, SECONDS)


def next_words(want: WantFact, result: WantResult, other: NextBest) -> str:
    """A sentence on the next best of a want: what it would come to, and what it costs."""
    parts = []
    if result.chance is not None and other.chance is not None and abs(result.chance - other.chance) >= 0.0005:
        parts.append(f"that chance {percent(other.chance)}")
    if min(other.expected, want.number) < min(result.expected, want.number) - 0.05:
        parts.append(f"{other.expected:.1f} trees expected")
    if other.others_lose > 0.05:
        parts.append(f"{other.others_lose:.1f} trees fewer of other wants")
    more = sum(number for _, number in other.scions) - result.grafts
    if not parts and more > 0:
        parts.append(f"{count(more, 'stock')} more for no tree that is wanted")
    if not parts:
        parts.append(_COSTS.get(other.costs, "hardly different"))
    return f"Next best: {scions(other.scions) or 'no graft'}: {', '.join(parts)}."


def holding(asked: Asked, found: SolvedPlan) -> tuple[tuple[HoldingCost, ...], Sequence[str]]:
    """What a bud more held back of every cultivar would cost, or what those held back do cost, and a sentence on it."""
    from graftbook.fit import plan_next_best, plan_solve

    held = asked.question.hold_back
    if len(found.pairs) > MOST_GRAFTS:
        words = "What holding a bud back would cost is not computed for so many grafts: try --hold-back 1 --dry-run."
        return (), (words,)
    question = replace(asked.question, hold_back=0, seconds=min(SECONDS, asked.question.seconds))
    whole = plan_solve.plan(question) if held else found
    costs = () if whole.timed_out else plan_next_best.holding_costs(question, whole, held or 1)
    if asked.question.wants and not costs:
        return (), (
            "What holding a bud back would cost was not found in the time there was: try --hold-back 1 --dry-run.",
        )
    return costs, tuple(_holding_words(asked, whole, costs, held))


def _holding_words(asked: Asked, whole: SolvedPlan, costs: Sequence[HoldingCost], held: int) -> Iterator[str]:
    wants = {want.key: want for want in asked.question.wants}
    results = {want.key: want for want in whole.wants}
    lost = [words for cost in costs if (words := _lost(wants[cost.want], results[cost.want], cost))]
    buds = f"{count(held or 1, 'bud')} of every cultivar"
    if held:
        yield f"Holding {buds} back costs {first_of(lost, 6)}." if lost else f"Holding {buds} back costs nothing."
    elif lost:
        yield f"Holding {buds} back for a later method would cost {first_of(lost, 6)}: --hold-back 1."
    else:
        yield f"Holding {buds} back for a later method would cost no tree that is wanted: --hold-back 1."


def _lost(want: WantFact, result: WantResult, cost: HoldingCost) -> str:
    """What holding back costs one want; '' where it costs nothing that is wanted."""
    parts, trees = [], result.expected - cost.expected_lost
    if cost.chance is not None and cost.chance_held is not None and cost.chance - cost.chance_held >= 0.0005:
        parts.append(f"its chance falls from {percent(cost.chance)} to {percent(cost.chance_held)}")
    if min(result.expected, want.number) - min(trees, want.number) > 0.05:
        parts.append(f"{trees:.1f} trees expected instead of {result.expected:.1f}")
    return f"want {want.key}: {', '.join(parts)}" if parts else ""


def facts(others: Sequence[NextBest], costs: Sequence[HoldingCost]) -> dict[str, Any]:
    """The next best of each want and the cost of holding back, for programs."""
    return {
        "next_best": [
            {"want": int(each.want), "scions": {str(buds): number for buds, number in each.scions},
             "chance": None if each.chance is None else round(each.chance, 6), "expected": round(each.expected, 3),
             "others_lose": round(each.others_lose, 3), "costs": each.costs or None}
            for each in others
        ],
        "holding": [
            {"want": int(each.want), "chance": None if each.chance is None else round(each.chance, 6),
             "chance_held": None if each.chance_held is None else round(each.chance_held, 6),
             "expected_lost": round(each.expected_lost, 3)}
            for each in costs
        ],
    }  # fmt: skip
