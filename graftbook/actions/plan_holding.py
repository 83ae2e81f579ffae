"""What holding a bud back for a later method would cost a plan, want by want."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from graftbook.actions.plan_ask import Asked
from graftbook.fit.plan_facts import Plan as Found

# Larger plans are not solved a second time unasked.
MOST_GRAFTS = 400
SECONDS = 10.0


def sentences(asked: Asked, found: Found) -> Iterator[str]:
    """One sentence on what a bud more held back of every cultivar would cost, or what those held back do."""
    from graftbook.fit import plan_solve

    held = asked.question.hold_back
    if len(found.pairs) > MOST_GRAFTS:
        yield "What holding a bud back would cost is not reckoned for so many grafts: try --hold-back 1 --dry-run."
        return
    other = replace(asked.question, hold_back=0 if held else 1, seconds=min(SECONDS, asked.question.seconds))
    again = plan_solve.plan(other)
    more, fewer = (again, found) if held else (found, again)
    lost = list(_lost(more, fewer))
    buds = f"{held or 1} bud{'s' if (held or 1) > 1 else ''} of every cultivar"
    if not lost:
        yield (
            f"Holding {buds} back costs nothing."
            if held
            else f"Holding {buds} back for a later method would cost nothing: --hold-back 1."
        )
    else:
        verb = "costs" if held else "for a later method would cost"
        yield f"Holding {buds} back {verb}: {'; '.join(lost[:6])}{' and more' if len(lost) > 6 else ''}."


def _lost(more: Found, fewer: Found) -> Iterator[str]:
    left = {want.key: want for want in fewer.wants}
    for want in more.wants:
        other = left[want.key]
        if want.expected - other.expected > 0.05:
            chance = ""
            if want.chance is not None and other.chance is not None:
                chance = f", the chance {want.chance:.0%} to {other.chance:.0%}"
            yield f"want {want.key} {want.expected - other.expected:.1f} trees to be expected{chance}"
