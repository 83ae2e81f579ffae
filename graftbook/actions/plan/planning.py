"""plan: which piece of which stick goes on which host on a grafting day, saved as one entry and shown with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, count
from graftbook.actions.plan import (
    plan_cautions,
    plan_choices,
    plan_dealing,
    plan_lines,
    plan_notes,
    plan_request,
    plan_totals,
    plan_trial,
)
from graftbook.actions.plan.circumstances import PlanWords
from graftbook.actions.plan.plan_dealing import Share
from graftbook.actions.plan.plan_lines import PlanOfList
from graftbook.actions.plan.plan_request import Asked
from graftbook.actions.plan.plan_trial import Trial
from graftbook.actions.wood import plan_state
from graftbook.book import asking
from graftbook.book import plan_queries as queries
from graftbook.book.plans import Plan, PlanRow
from graftbook.book.unit import Unit
from graftbook.errors import NotFound, UsageProblem
from graftbook.fit.plan_facts import Pair, SolvedPlan


def make(
    desk: Desk,
    words: PlanWords,
    who: str | None = None,
    note: str | None = None,
    dry_run: bool = False,
    every: bool = True,
) -> Report:
    """Plan a grafting day, or a season of them, and keep the plans, unless `dry_run`. The rows are the lines in bench order
    (not `every`: totals where they are many), the notes what is short, what is left over and what it rests on.

    Raises NoPlan, saying what stands in the way and the nearest thing that could be done; UsageProblem and NotFound for
    what cannot be asked.
    """
    trial = None if words.compare is None else plan_trial.read(desk, words.compare, words.seed)
    if trial is None and words.seed is not None:
        raise UsageProblem("--seed together with --compare", "--seed alone")
    plan_dealing.check(words)
    asked, found = solve(desk, words, trial)
    others = () if trial is not None else plan_choices.next_best(asked, found)
    costs, holding = plan_choices.holding(asked, found)
    with desk.book.write("plan", desk.person(who)) as unit:
        pairs = plan_lines.in_bench_order(asked, found)
        rows = plan_lines.kept_rows(asked, found, pairs)
        drawn = _drawn(unit.session, desk, trial, rows, asked, pairs)
        plans = [
            _keep(unit, desk, words, asked, found, trial, share, note)
            for share in plan_dealing.dealt(words, asked, rows, pairs)
        ]
        shown = tuple(line for plan in plans for line in plan_lines.show_lines(unit.session, plan, set()))
        notes = plan_notes.notes(desk, unit.session, asked, found, shown, (*drawn, *holding), others)
        facts = {"as_of": desk.today, "plan": None if dry_run else plans[0].number, "day": asked.day,
                 "plans": [] if dry_run else [plan.number for plan in plans],
                 **plan_notes.facts(asked, found, trial), **plan_choices.facts(others, costs), "entry": None}  # fmt: skip
        title = title_of(plans, len(rows), dry_run)
        if not dry_run:
            entry = unit.commit(f"{_names(plans)}: {_summary(plans, rows, asked)}")
            facts["entry"] = entry.id
    return plan_totals.report(shown, notes, facts, title, every, desk.settings.units)


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
    unit: Unit,
    desk: Desk,
    words: PlanWords,
    asked: Asked,
    found: SolvedPlan,
    trial: Trial | None,
    share: Share,
    note: str | None,
) -> Plan:
    plan = unit.add(
        Plan, number=asking.next_number(unit.session, Plan), on=desk.today, day=share.day, crew=share.crew,
        outcome="optimal" if found.status == "optimal" else "gap", message=found.message or None,
        seed=None if trial is None else trial.seed, compare=None if trial is None else trial.text,
        settings=words.settings(), who=unit.entry.who, note=(note or "").strip() or None,
    )  # fmt: skip
    name = f"plan {plan.number}"
    for row in share.rows:
        row["plan_id"] = plan.id
        if row.get("block") is not None:
            row["trial"] = name
    unit.add_many(PlanRow, share.rows)
    return plan


def _names(plans: Sequence[Plan]) -> str:
    """`Plan 3`, `Plans 3-38`."""
    first, last = plans[0].number, plans[-1].number
    return f"Plan {first}" if first == last else f"Plans {first}-{last}"


def _when(plans: Sequence[Plan]) -> str:
    """`2027-03-14`, `2027-03-01 to 2027-03-12, 3 crews`."""
    first, last = plans[0].day.isoformat(), plans[-1].day.isoformat()
    crews = max((plan.crew or 0 for plan in plans), default=0)
    who = f", crew {crews}" if len(plans) == 1 else f", {count(crews, 'crew')}"
    return (first if first == last else f"{first} to {last}") + (who if crews else "")


def _summary(plans: Sequence[Plan], rows: list[dict[str, Any]], asked: Asked) -> str:
    used = {row["bundle_id"] for row in rows}
    cultivars = len({stick.label for stick in asked.wood.sticks if asked.wood.bundles[stick.key].id in used})
    what = f"{count(len(rows), 'graft')} of {count(cultivars, 'cultivar')} for {_when(plans)}"
    return what + (f", comparing {plans[0].compare} (seed {plans[0].seed})" if plans[0].compare else "")


def title_of(plans: Sequence[Plan], lines: int, dry_run: bool = False) -> str:
    """The line above a plan, or above those that a season was dealt out to."""
    name = "Plan, not kept," if dry_run else _names(plans)
    what = f"{name} for {_when(plans)}: {count(lines, 'graft')} in bench order"
    return what + (f", comparing {plans[0].compare}, seed {plans[0].seed}" if plans[0].compare else "")


def list_plans(desk: Desk, limit: int = 50) -> Report:
    """Plans, newest first."""
    with desk.book.read() as session:
        rows = tuple(
            PlanOfList(plan.number, plan.on, plan.day, lines, plan.outcome, plan.compare, plan.done_on,
                       plan_state.codes_of(plan, lines), plan.note, plan.crew, plan_state.state(plan, desk.today),
                       plan.dropped_on)
            for plan, lines in queries.plans(session, limit)
        )  # fmt: skip
    notes = () if rows else ("Make one: graftbook plan --on DATE",)
    return Report(PlanOfList, rows, notes, {"as_of": desk.today})


def show(desk: Desk, number: int | None = None, every: bool = True) -> Report:
    """One plan as it was kept, the newest when `number` is None; not `every`: in totals where lines are many. Raises NotFound."""
    with desk.book.read() as session:
        plan = one(session, number)
        rows = plan_lines.show_lines(session, plan)
        done = sum(row.done for row in rows)
        notes = [plan.message] if plan.message else []
        notes.append(_standing(plan, done, len(rows), desk.today))
        settings = "; ".join(f"{name.replace('_', ' ')} {value}" for name, value in plan.settings.items())
        notes += [f"Asked with: {settings}."] if settings else []
        notes += [f"Note: {plan.note}"] if plan.note else []
        facts = {"as_of": desk.today, "plan": plan.number, "day": plan.day, "outcome": plan.outcome, "seed": plan.seed,
                 "compare": plan.compare, "done_on": plan.done_on, "dropped_on": plan.dropped_on, "crew": plan.crew,
                 "state": plan_state.state(plan, desk.today), "done": done}  # fmt: skip
        title = title_of([plan], len(rows))
    return plan_totals.report(rows, tuple(notes), facts, title, every, desk.settings.units)


def _standing(plan: Plan, done: int, lines: int, today: date) -> str:
    if plan.dropped_on is not None:
        return f"Dropped on {plan.dropped_on.isoformat()}; {count(done, 'line')} of {lines} made before."
    if done or plan.done_on is not None:
        when = f" on {plan.done_on.isoformat()}" if plan.done_on is not None else ""
        return f"{count(done, 'line')} of {lines} recorded as made{when}."
    past = " Its day is past, so it keeps no stock or stick for itself." if plan.day < today else ""
    return (f"Not made yet.{past} Print it: graftbook plan sheet {plan.number} -o bench.pdf; record it: graftbook graft --plan "
            f"{plan.number} --done; give it up: graftbook plan drop {plan.number}.")  # fmt: skip


def drop(desk: Desk, number: int, on: str | None = None, who: str | None = None, note: str | None = None) -> Recorded:
    """Give up a plan, so that its stocks and sticks are free for others. Raises NotFound, Refused for one that is over."""
    day = desk.day(on)
    with desk.book.write("plan drop", desk.person(who)) as unit:
        plan = one(unit.session, number)
        plan_state.refuse_over(plan)
        lines = queries.plan_lines(unit.session, plan.id)
        codes = [code for line in lines if (code := plan_state.code_of(plan, line.row.line))]
        made = len(queries.codes_in_use(unit.session, codes))
        notes = "\n".join(part for part in (plan.note, (note or "").strip()) if part)
        unit.amend(plan, dropped_on=day, note=notes or None)
        free = f"; {count(made, 'line')} made before" if made else ""
        entry = unit.commit(
            f"Dropped plan {plan.number} for {plan.day.isoformat()}, {count(len(lines), 'graft')}{free}"
        )
    again = "Its stocks and sticks are free for other plans."
    sheets = ("Throw its sheet away: the codes on it are not given out again.",) if codes else ()
    return Recorded(f"{entry.summary}.", entry.id, (), (again, *sheets))


def one(session: Session, number: int | None) -> Plan:
    """A plan by its number, the newest when it is None. Raises NotFound."""
    found = queries.plan(session, number)
    if found is None:
        what = "no plan in the book" if number is None else f"no plan {number}"
        raise NotFound(what, next_step="List them with graftbook plan list, or make one: graftbook plan --on DATE")
    return found
