"""plan sheet: a plan on paper for the bench; the codes of its grafts are given out with the first sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file, written
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.plan import plan_lines, planning
from graftbook.actions.plan.plan_lines import PlanLine
from graftbook.actions.tags import tag_fields
from graftbook.book.plans import Plan
from graftbook.book.tags import ReservedCode
from graftbook.book.unit import Unit
from graftbook.errors import Refused
from graftbook.paper import bench_sheet
from graftbook.paper.bench_sheet import BenchGroup, BenchLine, BenchSheet, CutLine
from graftbook.trade import cautions
from graftbook.units import show_length

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
        if plan.done_on is not None:
            raise Refused(f"plan {plan.number} was done on {plan.done_on.isoformat()}")
        new = plan.first_graft is None
        codes = reserve(unit, desk, plan)
        lines = plan_lines.show_lines(unit.session, plan, set())
        pdf = bench_sheet.draw(_drawn(desk, plan, lines), paper, progress)
        line = f"Plan {plan.number} on paper, {count(len(lines), 'graft')} {code_list(codes)}"
        entry_id = None
        if new:
            with written(output, pdf):
                entry_id = unit.commit(f"{line}, their codes given out").id
        else:
            write_file(output, pdf)
    notes = ("Print at 100 %, not fitted to the page.",
             f"Record the day with: graftbook graft --plan {number} --done")  # fmt: skip
    return Recorded(f"{line}: {output}.", entry_id, codes, notes)


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
    groups: dict[str, list[PlanLine]] = defaultdict(list)
    for line in lines:
        groups[line.cultivar or "cultivar not recorded"].append(line)
    drawn = tuple(BenchGroup(name, tuple(_line(line, unit, site) for line in held)) for name, held in groups.items())
    cuts = tuple((name, tuple(_cuts(held, unit))) for name, held in groups.items())
    title = f"{desk.settings.name}: plan {plan.number} for {plan.day.isoformat()}, {count(len(lines), 'graft')}"
    knife = cautions.get("knife")
    notes = (*(note.format(plan=plan.number) for note in NOTES), *((knife.words,) if knife is not None else ()))
    if plan.compare:
        drawn_by_lot = f"keep to the way each line says, drawn by lot (seed {plan.seed})"
        notes = (f"A comparison of {plan.compare}: {drawn_by_lot}.", *notes)
    return BenchSheet(title, drawn, cuts, notes)


def _line(line: PlanLine, unit: str, site: str) -> BenchLine:
    tag = tag_fields.tag(line.code or "", (), site)
    size = f"{count(line.buds, 'bud')}" + (f", {show_length(round(line.scion_mm, 1), unit)}" if line.scion_mm else "")
    stands = [line.clone or "", show_length(line.stock_mm, unit)]
    drawn = line.treatment if line.treatment != line.method else None
    how = ", ".join(part for part in (drawn, line.method, None if drawn else line.place or line.site) if part)
    host = line.host + (f" no. {line.spot}" if line.spot > 1 else "")
    return BenchLine(line.line, tag.head, tag.payload, f"{line.wood} {line.stick}/{line.piece}", size, host,
                     ", ".join(part for part in stands if part), how)  # fmt: skip


def _cuts(lines: Sequence[PlanLine], unit: str) -> Iterator[CutLine]:
    sticks: dict[tuple[str, int], list[PlanLine]] = defaultdict(list)
    for line in lines:
        sticks[line.wood, line.stick].append(line)
    for (wood, stick), held in sticks.items():
        pieces = " + ".join(count(line.buds, "bud") for line in sorted(held, key=lambda line: line.piece))
        thick = held[0].scion_mm
        size = f" (butt {show_length(round(thick, 1), unit)})" if thick is not None and held[0].piece == 1 else ""
        yield CutLine(f"{wood} stick {stick}", pieces + size, plan_lines.number_list([line.line for line in held]))
