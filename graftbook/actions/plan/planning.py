"""plan: which piece of which stick goes on which host on a grafting day, saved as one entry and shown with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.plan import plan_cautions, plan_choices, plan_lines, plan_notes, plan_request, plan_trial
from graftbook.actions.plan.circumstances import PlanWords
from graftbook.actions.plan.plan_lines import PlanLine, PlanOfList, TrialLine
from graftbook.actions.plan.plan_request import Asked
from graftbook.actions.plan.plan_trial import Trial
from graftbook.book import asking
from graftbook.book import plan_queries as queries
from graftbook.book.plans import Plan, PlanRow
from graftbook.book.unit import Unit
from graftbook.errors import NotFound, UsageProblem
from graftbook.fit.plan_facts import Pair, SolvedPlan


def make(
    desk: Desk, words: PlanWords, who: str | None = None, note: str | None = None, dry_run: bool = False
) -> Report:
    """Plan a grafting day and keep the plan, unless `dry_run`. The rows are its lines in bench order, the notes what is
    short, what is left over and what it rests on.

    Raises NoPlan, saying what stands in the way and the nearest thing that could be done; UsageProblem and NotFound for
    what cannot be asked.
    """
    trial = None if words.compare is None else plan_trial.read(desk, words.compare, words.seed)
    if trial is None and words.seed is not None:
        raise UsageProblem("--seed together with --compare", "--seed alone")
    asked, found = solve(desk, words, trial)
    others = () if trial is not None else plan_choices.next_best(asked, found)
    costs, holding = plan_choices.holding(asked, found)
    with desk.book.write("plan", desk.person(who)) as unit:
        pairs = plan_lines.in_bench_order(asked, found)
        rows = plan_lines.kept_rows(asked, found, pairs)
        drawn = _drawn(unit.session, desk, trial, rows, asked, pairs)
        plan = _keep(unit, desk, words, asked, found, trial, rows, note)
        shown = plan_lines.show_lines(unit.session, plan, set())
        notes = plan_notes.notes(desk, unit.session, asked, found, shown, (*drawn, *holding), others)
        facts = {"as_of": desk.today, "plan": None if dry_run else plan.number, "day": asked.day,
                 **plan_notes.facts(asked, found, trial), **plan_choices.facts(others, costs), "entry": None}  # fmt: skip
        title = title_of(plan, len(rows), dry_run)
        if not dry_run:
            entry = unit.commit(f"Plan {plan.number}: {_summary(plan, rows, asked)}")
            facts["entry"] = entry.id
    return Report(TrialLine if trial is not None else PlanLine, shown, notes, facts, title=title, group="cultivar")


def _drawn(
    session: Session, desk: Desk, trial: Trial | None, rows: list[dict[str, Any]], asked: Asked, pairs: Sequence[Pair]
) -> tuple[str, ...]:
    """Put the ways of a comparison into the rows, then the cautions of each; what was drawn, in whole sentences."""
    unit = desk.settings.units
    drawn = plan_trial.assign(session, trial, rows, asked, pairs, unit) if trial is not None else ()
    made = [replace(pair, method=row["method"]) for pair, row in zip(pairs, rows, strict=True)]
    for row, cautions in zip(rows, plan_cautions.cautions(session, asked, made, unit), strict=True):
        row["cautions"] = cautions
    return drawn


def solve(desk: Desk, words: PlanWords, trial: Trial | None = None) -> tuple[Asked, SolvedPlan]:
    """The question of a plan and its answer. Raises NoPlan where nothing can be grafted."""
    from graftbook.fit import plan_solve

    with desk.book.read() as session:
        if trial is None:
            asked = plan_request.ask(desk, session, words)
        else:
            asked = plan_trial.ask(desk, session, words, trial)
    found = plan_solve.plan(asked.question)
    if found.status == "none" or not found.pairs:
        raise plan_notes.no_plan(asked, found)
    return asked, found


def _keep(
    unit: Unit, desk: Desk, words: PlanWords, asked: Asked, found: SolvedPlan, trial: Trial | None, rows: list[dict[str, Any]],
    note: str | None,
) -> Plan:  # fmt: skip
    plan = unit.add(
        Plan, number=asking.next_number(unit.session, Plan), on=desk.today, day=asked.day,
        outcome="optimal" if found.status == "optimal" else "gap", message=found.message or None,
        seed=None if trial is None else trial.seed, compare=None if trial is None else trial.text,
        settings=words.settings(), who=unit.entry.who, note=(note or "").strip() or None,
    )  # fmt: skip
    name = f"plan {plan.number}"
    for row in rows:
        row["plan_id"] = plan.id
        if row.get("block") is not None:
            row["trial"] = name
    unit.add_many(PlanRow, rows)
    return plan


def _summary(plan: Plan, rows: list[dict[str, Any]], asked: Asked) -> str:
    used = {row["bundle_id"] for row in rows}
    cultivars = len({stick.label for stick in asked.wood.sticks if asked.wood.bundles[stick.key].id in used})
    what = f"{count(len(rows), 'graft')} of {count(cultivars, 'cultivar')} for {plan.day.isoformat()}"
    return what + (f", comparing {plan.compare} (seed {plan.seed})" if plan.compare else "")


def title_of(plan: Plan, lines: int, dry_run: bool = False) -> str:
    """The line above a plan."""
    name = "Plan, not kept," if dry_run else f"Plan {plan.number}"
    what = f"{name} for {plan.day.isoformat()}: {count(lines, 'graft')} in bench order"
    return what + (f", comparing {plan.compare}, seed {plan.seed}" if plan.compare else "")


def list_plans(desk: Desk, limit: int = 50) -> Report:
    """Plans, newest first."""
    with desk.book.read() as session:
        rows = tuple(
            PlanOfList(plan.number, plan.on, plan.day, lines, plan.outcome, plan.compare, plan.done_on,
                       plan_lines.codes_of(plan, lines), plan.note)
            for plan, lines in queries.plans(session, limit)
        )  # fmt: skip
    notes = () if rows else ("Make one: graftbook plan --on DATE",)
    return Report(PlanOfList, rows, notes, {"as_of": desk.today})


def show(desk: Desk, number: int | None = None) -> Report:
    """One plan as it was kept, the newest when `number` is None. Raises NotFound."""
    with desk.book.read() as session:
        plan = one(session, number)
        rows = plan_lines.show_lines(session, plan)
        done = sum(row.done for row in rows)
        notes = [plan.message] if plan.message else []
        notes.append(_standing(plan, done, len(rows)))
        settings = "; ".join(f"{name.replace('_', ' ')} {value}" for name, value in plan.settings.items())
        notes += [f"Asked with: {settings}."] if settings else []
        notes += [f"Note: {plan.note}"] if plan.note else []
        facts = {"as_of": desk.today, "plan": plan.number, "day": plan.day, "outcome": plan.outcome, "seed": plan.seed,
                 "compare": plan.compare, "done_on": plan.done_on, "done": done}  # fmt: skip
        title = title_of(plan, len(rows))
    kind = TrialLine if plan.compare else PlanLine
    return Report(kind, rows, tuple(notes), facts, title=title, group="cultivar")


def _standing(plan: Plan, done: int, lines: int) -> str:
    if done or plan.done_on is not None:
        when = f" on {plan.done_on.isoformat()}" if plan.done_on is not None else ""
        return f"{count(done, 'line')} of {lines} recorded as made{when}."
    return (f"Not made yet. Print it: graftbook plan sheet {plan.number} -o bench.pdf; record it: graftbook graft --plan "
            f"{plan.number} --done.")  # fmt: skip


def one(session: Session, number: int | None) -> Plan:
    """A plan by its number, the newest when it is None. Raises NotFound."""
    found = queries.plan(session, number)
    if found is None:
        what = "no plan in the book" if number is None else f"no plan {number}"
        raise NotFound(what, next_step="List them with graftbook plan list, or make one: graftbook plan --on DATE")
    return found
