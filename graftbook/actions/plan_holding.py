"""What holding a bud back for a later method would cost a plan, want by want."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from graftbook.actions.plan_ask import Asked
from graftbook.actions.results import count
from graftbook.fit.plan_facts import HoldingCost
from graftbook.fit.plan_facts import Plan as Found

# Larger plans are not solved a second time unasked.
MOST_GRAFTS = 400
SECONDS = 10.0


def sentences(asked: Asked, found: Found) -> Iterator[str]:
    """One sentence on what a bud more held back of every cultivar would cost, or on what those held back do cost."""
    from graftbook.fit import plan_hold, plan_solve

    held = asked.question.hold_back
    if len(found.pairs) > MOST_GRAFTS:
        yield "What holding a bud back would cost is not reckoned for so many grafts: try --hold-back 1 --dry-run."
        return
    question = replace(asked.question, hold_back=0, seconds=min(SECONDS, asked.question.seconds))
    whole = plan_solve.plan(question) if held else found
    lost = [_lost(each) for each in plan_hold.holding_costs(question, whole, held or 1) if each.expected_lost > 0.05]
    buds = f"{count(held or 1, 'bud')} of every cultivar"
    if held:
        yield f"Holding {buds} back costs {_several(lost)}." if lost else f"Holding {buds} back costs nothing."
    elif lost:
        yield f"Holding {buds} back for a later method would cost {_several(lost)}."
    else:
        yield f"Holding {buds} back for a later method would cost nothing: --hold-back 1."


def _lost(cost: HoldingCost) -> str:
    chance = ""
    if cost.chance_lost is not None and cost.chance_lost > 0.005:
        chance = f" and {cost.chance_lost * 100:.0f} points of its chance"
    return f"want {cost.want} {cost.expected_lost:.1f} of the trees expected{chance}"


def _several(lost: list[str]) -> str:
    return "; ".join(lost[:6]) + (f"; and {len(lost) - 6} wants more" if len(lost) > 6 else "")
