"""How a plan stands on a day, and which codes its grafts have."""

from __future__ import annotations

from datetime import date

from graftbook.book.plans import Plan
from graftbook.errors import Refused


def state(plan: Plan, today: date) -> str:
    """`done`, `dropped`, `past` (its day), `printed` or `open`; the last two keep their stocks and sticks."""
    if plan.done_on is not None or plan.dropped_on is not None:
        return "done" if plan.done_on is not None else "dropped"
    return "past" if plan.day < today else "open" if plan.first_graft is None else "printed"


def refuse_over(plan: Plan) -> None:
    """Refuse a plan that is done or dropped, with the day."""
    for how, on in (("done", plan.done_on), ("dropped", plan.dropped_on)):
        if on is not None:
            raise Refused(f"plan {plan.number} was {how} on {on.isoformat()}")


def code_of(plan: Plan, line: int) -> str | None:
    """The code of the graft that a line is to be; None before codes were given out."""
    return None if plan.first_graft is None else f"G{plan.first_graft + line - 1}"


def codes_of(plan: Plan, lines: int) -> str | None:
    """The codes of the grafts of a plan, such as `G101-G112`; None before they were given out."""
    if plan.first_graft is None or not lines:
        return None
    return f"G{plan.first_graft}-G{plan.first_graft + lines - 1}" if lines > 1 else f"G{plan.first_graft}"
