"""plan sheet: a plan on paper for the bench; the codes of its grafts are given out with the first sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file, written
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.plan import plan_lines, plan_totals, planning
from graftbook.actions.plan.plan_batches import PlanBatch, batched
from graftbook.actions.plan.plan_lines import PlanLine
from graftbook.actions.tags import tag_fields
from graftbook.actions.wood import plan_reserved, plan_state
from graftbook.actions.wood.plan_reserved import Reserved
from graftbook.book.plans import Plan
from graftbook.book.tags import ReservedCode
from graftbook.book.unit import Unit
from graftbook.paper import bench_sheet
from graftbook.paper.bench_sheet import BatchLine, BenchGroup, BenchLine, BenchSheet, CutLine
from graftbook.trade import cautions
from graftbook.units import show_length

BATCHES = "A batch is one line: write how many were made into its box, and enter it with --made BATCH=COUNT, such as --made 1=196."

NOTES = (
    "Print at 100 %, not to fit the page. Pieces are counted from the butt; the soft tip is left.",
    "A word beside a line says what was otherwise: P14 for another stock, cleft for another method, dry for a dead stick.",
    "Enter the day with: graftbook graft --plan {plan} --done, and --except, --swap 7=P14, --other 9=cleft or --dry 12.",
)


def sheet(
    desk: Desk, number: int | None, output: Path, paper: str = "a4", who: str | None = None, progress: Any = None
) -> Recorded:
    """Write a plan, the newest when `number` is None, as a PDF; codes are given out ahead with the first sheet, as one entry.

    Raises NotFound for a plan there is not, Refused for one that is done, CannotWrite; then no code is given out.
    """
    with desk.book.write("plan sheet", desk.person(who)) as unit:
        plan = planning.one(unit.session, number)
        number = plan.number
        plan_state.refuse_over(plan)
        new = plan.first_graft is None
        codes = reserve(unit, desk, plan)
        lines = plan_lines.show_lines(unit.session, plan, set())
        kept = plan_reserved.reserved(unit.session, desk.today, plan.day, plan.number)
        pdf = bench_sheet.draw(_drawn(desk, plan, lines), paper, progress)
        line = f"Plan {plan.number} on paper, {count(len(lines), 'graft')} {code_list(codes)}"
        entry_id = None
        if new:
            with written(output, pdf):
                entry_id = unit.commit(f"{line}, their codes given out").id
        else:
            write_file(output, pdf)
    notes = ("Print at 100 %, not fitted to the page.",
             f"Record the day with: graftbook graft --plan {number} --done",
             *_twice(kept, {line.host for line in lines}))  # fmt: skip
    return Recorded(f"{line}: {output}.", entry_id, codes, notes)


def _twice(kept: Reserved, hosts: set[str]) -> Iterator[str]:
    """Which stocks another plan keeps too."""
    for other in (*kept.plans, *kept.drafts):
        both = tuple(code for code in other.stocks if code in hosts)
        if both:
            number = other.plan.number
            yield (f"Plan {number} has {count(len(both), 'stock')} of these too ({code_list(both, 4)}); only one of the two can be "
                   f"made. Drop the other: graftbook plan drop {number}.")  # fmt: skip


def reserve(unit: Unit, desk: Desk, plan: Plan) -> tuple[str, ...]:
    """The codes of the grafts of a plan by line, given out ahead now where they were not yet."""
    lines = len(plan_lines.show_lines(unit.session, plan, set()))
    first = plan.first_graft
    if first is None:
        first = unit.next_number("G", lines)
        unit.amend(plan, first_graft=first)
        purpose = f"plan {plan.number}"
        given = [{"code": f"G{first + at}", "on": desk.today, "purpose": purpose} for at in range(lines)]
        unit.add_many(ReservedCode, given)
    return tuple(f"G{first + at}" for at in range(lines))


def _drawn(desk: Desk, plan: Plan, lines: Sequence[PlanLine]) -> BenchSheet:
    unit, site = desk.settings.units, desk.settings.site
    done = batched(lines)
    single: dict[str, list[PlanLine]] = defaultdict(list)
    batches: dict[str, list[PlanBatch]] = defaultdict(list)
    for line in done.single:
        single[_called(line)].append(line)
    for batch in done.batches:
        batches[_called(batch.lines[0])].append(batch)
    names = dict.fromkeys(map(_called, lines))
    groups = tuple(
        BenchGroup(name, tuple(_line(line, unit, site) for line in single[name]),
                   tuple(_batch(batch, unit) for batch in batches[name]))
        for name in names
    )  # fmt: skip
    cuts = tuple((name, tuple(_cuts([line for line in lines if _called(line) == name], unit))) for name in names)
    crew = "" if plan.crew is None else f", crew {plan.crew}"
    title = f"{desk.settings.name}: plan {plan.number} for {plan.day.isoformat()}{crew}, {count(len(lines), 'graft')}"
    knife = cautions.get("knife")
    notes = (*((BATCHES,) if done.batches else ()), *(note.format(plan=plan.number) for note in NOTES),
             *((knife.words,) if knife is not None else ()))  # fmt: skip
    if plan.compare:
        drawn_by_lot = f"keep to the way each line says, drawn by lot (seed {plan.seed})"
        notes = (f"A comparison of {plan.compare}: {drawn_by_lot}.", *notes)
    return BenchSheet(title, groups, cuts, notes)


def _called(line: PlanLine) -> str:
    return line.cultivar or "cultivar not recorded"


def _line(line: PlanLine, unit: str, site: str) -> BenchLine:
    tag = tag_fields.tag(line.code or "", (), site)
    size = f"{count(line.buds, 'bud')}" + (f", {show_length(round(line.scion_mm, 1), unit)}" if line.scion_mm else "")
    stands = [line.clone or "", show_length(line.stock_mm, unit)]
    drawn = line.treatment if line.treatment != line.method else None
    how = ", ".join(part for part in (drawn, line.method, *_where(line)) if part)
    host = line.host + (f" no. {line.spot}" if line.spot > 1 else "")
    return BenchLine(line.line, tag.head, tag.payload, f"{line.wood} {line.stick}/{line.piece}", size, host,
                     ", ".join(part for part in stands if part), how)  # fmt: skip


def _where(line: PlanLine) -> Iterator[str]:
    """Where the stock is now, and on which site it is to grow."""
    if line.place is not None and line.place != line.site:
        yield line.place
    if line.site is not None:
        yield f"for {line.site}"


def _batch(batch: PlanBatch, unit: str) -> BatchLine:
    first, codes = batch.lines[0], [line.code for line in batch.lines if line.code is not None]
    numbers = plan_lines.number_list([line.line for line in batch.lines])
    how = ", ".join((first.method, *_where(first), *((f"lot {first.lot}",) if first.lot else ())))
    return BatchLine(batch.number, len(batch.lines), code_list(codes, 4), first.wood, count(first.buds, "bud"),
                     f"on {plan_totals.stock_words(first, unit)}", how, numbers)  # fmt: skip


def _cuts(lines: Sequence[PlanLine], unit: str) -> Iterator[CutLine]:
    """How sticks are cut, those of a bundle that are cut alike as one line."""
    sticks: dict[tuple[str, int], list[PlanLine]] = defaultdict(list)
    for line in lines:
        sticks[line.wood, line.stick].append(line)
    alike: dict[tuple[str, str], list[tuple[int, list[PlanLine]]]] = defaultdict(list)
    for (wood, stick), held in sticks.items():
        pieces = " + ".join(count(line.buds, "bud") for line in sorted(held, key=lambda line: line.piece))
        thick = held[0].scion_mm
        size = f" (butt {show_length(round(thick, 1), unit)})" if thick is not None and held[0].piece == 1 else ""
        alike[wood, pieces + size].append((stick, held))
    for (wood, pieces), some in alike.items():
        numbers = plan_lines.number_list([stick for stick, _ in some])
        what = f"{wood} stick {numbers}" if len(some) == 1 else f"{wood} sticks {numbers}"
        yield CutLine(what, pieces, plan_lines.number_list([line.line for _, held in some for line in held]))
