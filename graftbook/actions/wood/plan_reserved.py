"""What other plans keep for themselves: a stock or a stick is planned once.

A plan keeps what it uses until it is done, dropped or past its day. One that is printed always does; one that is not keeps it
against other days alone: for its own day it is a draft that a new plan may replace, and that is said.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk.results import code_list, count, first_of
from graftbook.actions.wood import drawing, plan_state
from graftbook.actions.wood.drawing import InHand
from graftbook.book import plan_queries as queries
from graftbook.book.plan_queries import HeldLine
from graftbook.book.plans import Plan


@dataclass(frozen=True)
class KeptByPlan:
    """A plan with the lines of it that are not made yet."""

    plan: Plan
    lines: Sequence[HeldLine]

    @property
    def stocks(self) -> tuple[str, ...]:
        """The stocks it uses, by number."""
        return tuple(sorted({line.host for line in self.lines if line.kind == "stock"}, key=lambda code: int(code[1:])))

    @property
    def words(self) -> str:
        """`Plan 3 (printed, for 2027-03-14) keeps 6 stocks (P1-P6) and 2 sticks of W1`."""
        printed = "printed, " if self.plan.first_graft is not None else ""
        sticks = Counter(wood for wood, _ in {(line.wood, line.stick) for line in self.lines})
        wood = [f"{count(number, 'stick')} of {code}" for code, number in sorted(sticks.items())]
        held = f"{count(len(self.stocks), 'stock')} ({code_list(self.stocks, 4)}) and {first_of(wood, 3, ', ')}"
        return f"Plan {self.plan.number} ({printed}for {self.plan.day.isoformat()}) keeps {held}"


@dataclass(frozen=True)
class Reserved:
    """What other plans keep (`plans`), and the plans of the same day that are not printed (`drafts`)."""

    plans: tuple[KeptByPlan, ...] = ()
    drafts: tuple[KeptByPlan, ...] = ()
    stocks: frozenset[str] = field(default=frozenset())

    def take_sticks(self, hands: Mapping[int, InHand]) -> None:
        """Take the sticks that are kept out of what is in hand, bundle by bundle."""
        for kept in self.plans:
            buds: dict[tuple[int, int], int] = defaultdict(int)
            for line in kept.lines:
                buds[line.bundle_id, line.stick] += line.buds
            for (bundle_id, stick), planned in buds.items():
                hand = hands.get(bundle_id)
                if hand is not None and drawing.is_hand(hand, planned, stick == 1):
                    hand.buds_left = None
                elif hand is not None:
                    hand.left = max(0, hand.left - 1)

    @property
    def words(self) -> Sequence[str]:
        """What is kept, a sentence a plan, and how to free it."""
        most = 4
        sentences = [f"{kept.words}: not planned again. To free them: graftbook plan drop {kept.plan.number}."
                     for kept in self.plans[:most] if kept.lines]  # fmt: skip
        more = self.plans[most:]
        if more:
            stocks = sum(len(kept.stocks) for kept in more)
            sentences.append(f"{count(len(more), 'more plan')} keep {count(stocks, 'stock')}: graftbook plan list.")
        return sentences

    def shared(self, hosts: Collection[str]) -> Iterator[str]:
        """Which drafts of the same day use some of these stocks too."""
        for draft in self.drafts:
            both = [code for code in draft.stocks if code in hosts]
            if both:
                number = draft.plan.number
                yield (f"Plan {number} for the same day, not printed, has {count(len(both), 'stock')} of these too "
                       f"({code_list(both, 4)}): drop it with graftbook plan drop {number}, or print one of the two.")  # fmt: skip


def kept_for_others(session: Session, day: date, hosts: Collection[str]) -> Iterator[str]:
    """Which open plans, for this day or a later one, have some of these stocks in lines that are not made yet: a sentence a
    plan, for one who grafts on them otherwise."""
    held = reserved(session, day, day)
    for kept in (*held.plans, *held.drafts):
        both = [code for code in kept.stocks if code in hosts]
        if both:
            number = kept.plan.number
            yield (
                f"Plan {number} (for {kept.plan.day.isoformat()}) has {code_list(both, 4)} too. If this was its graft, undo this "
                f"and record it with graftbook graft --plan {number} --done. To free its stocks: graftbook plan drop {number}."
            )


def reserved(session: Session, today: date, day: date, but: int | None = None) -> Reserved:
    """What open plans keep from a plan for `day`; `but` is the number of a plan to leave out."""
    plans = [plan for plan in queries.open_plans(session, today) if plan.number != but]
    lines: dict[int, list[HeldLine]] = {plan.id: [] for plan in plans}
    by_id = {plan.id: plan for plan in plans}
    every = [(plan_state.code_of(by_id[line.plan_id], line.line), line) for line in queries.held_lines(session, lines)]
    made = queries.codes_in_use(session, [code for code, _ in every if code is not None])
    for code, line in every:
        if code not in made:
            lines[line.plan_id].append(line)
    keeps: list[KeptByPlan] = []
    drafts: list[KeptByPlan] = []
    for plan in plans:
        printed = plan_state.state(plan, today) == "printed"
        (keeps if printed or plan.day != day else drafts).append(KeptByPlan(plan, tuple(lines[plan.id])))
    stocks = frozenset(code for kept in keeps for code in kept.stocks)
    return Reserved(tuple(keeps), tuple(drafts), stocks)
