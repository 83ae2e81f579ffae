"""graft --plan N --done: a planned day recorded as made, with its exceptions, all in one entry that draws down the wood."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.grafts import graft_cautions, graft_text, matching
from graftbook.actions.grafts.graft_text import GraftWords
from graftbook.actions.outcome import alive
from graftbook.actions.outcome.plant_days import why_absent
from graftbook.actions.plan import plan_batches, plan_departures, plan_lines, plan_sheet, planning
from graftbook.actions.plan.plan_departures import Exceptions, ExceptionWords
from graftbook.actions.plants import stage_notes
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import drawing, plan_state
from graftbook.actions.wood.drawing import InHand
from graftbook.book import graft_queries
from graftbook.book import plan_queries as queries
from graftbook.book.grafts import Graft
from graftbook.book.plan_queries import PlannedGraft
from graftbook.book.plans import Plan, PlanRow
from graftbook.book.plants import Plant
from graftbook.book.unit import Unit
from graftbook.book.wood import Movement
from graftbook.errors import BadData, Refused
from graftbook.fit.match import judge_all
from graftbook.season import turn
from graftbook.trade.methods import Method


@dataclass(frozen=True)
class Made:
    """A line as it was made: on which host, by which method, with which code."""

    line: PlannedGraft
    host: Plant
    method: Method
    code: str
    cautions: str | None


@dataclass(frozen=True)
class _Day:
    desk: Desk
    plan: Plan
    day: date
    words: Mapping[str, Any]
    changes: Exceptions
    lines: Sequence[PlannedGraft]

    @cached_property
    def planned(self) -> Counter[tuple[int, int]]:
        """The buds that the plan takes from each stick of each bundle, whether or not every scion of it was made."""
        buds: Counter[tuple[int, int]] = Counter()
        for line in self.lines:
            buds[line.bundle.id, line.row.stick] += line.row.buds
        return buds


def record(
    desk: Desk, number: int, words: GraftWords, otherwise: ExceptionWords, *, on: str | None = None, who: str | None = None,
    yes: bool = False,
) -> Recorded:  # fmt: skip
    """Record the lines of a plan as grafts, as one entry. `on` None is the day of the plan, or today while that is ahead.

    Of a comparison of dates only the lines of that day are made. Raises NotFound for a plan there is not, Refused for one
    that is done, BadData with everything that cannot be: lines, hosts, methods, wood; pairs that the tables call impossible
    only unless `yes`.
    """
    with desk.book.write("graft", desk.person(who)) as unit:
        plan = planning.one(unit.session, number)
        plan_state.refuse_over(plan)
        day = desk.day(on) if on is not None else min(plan.day, desk.today)
        lines = queries.plan_lines(unit.session, plan.id)
        done = plan_batches.batched(plan_lines.show_lines(unit.session, plan, set())).batches if otherwise.made else ()
        batches = [[line.line for line in batch.lines] for batch in done]
        exceptions = plan_departures.read(unit.session, plan.number, len(lines), otherwise, batches)
        values = graft_text.read(desk, words)
        graft_text.check_tied(values, day)
        job = _Day(desk, plan, day, values, exceptions, lines)
        codes = plan_sheet.reserve(unit, desk, plan)
        mine, later = _of_the_day(plan, lines, day, queries.codes_in_use(unit.session, codes), codes)
        made = _made(unit, job, mine, codes, yes)
        hands = drawing.in_hand(unit.session, [line.bundle for line in mine])
        rows = list(_rows(unit, job, made))
        if exceptions.problems:
            raise BadData(exceptions.problems, f"plan {plan.number}", "Say it again with these put right")
        before = _grafted_before(unit, desk, day)
        unit.add_many(Graft, rows)
        discarded = _discard_dry(unit, job, mine, made, hands)
        unit.amend(plan, **({} if later else {"done_on": day}))
        entry = unit.commit(_summary(job, made, mine, later))
    safety = _safety(made, values.get("seal"), before)
    codes = tuple(one.code for one in made)
    return Recorded(f"{entry.summary}.", entry.id, codes, _notes(job, made, discarded), safety)


def _of_the_day(
    plan: Plan, lines: Sequence[PlannedGraft], day: date, used: set[str], codes: Sequence[str]
) -> tuple[list[PlannedGraft], int]:
    """The lines that may be made now, and how many belong to another day of a comparison of dates."""
    left = [line for line in lines if codes[line.row.line - 1] not in used]
    if not (plan.compare or "").startswith("date="):
        return left, 0
    mine = [line for line in left if line.row.treatment in (None, day.isoformat())]
    return mine, len(left) - len(mine)


def _made(unit: Unit, job: _Day, lines: Sequence[PlannedGraft], codes: Sequence[str], yes: bool) -> list[Made]:
    """The lines as made; everything that stands in the way is noted."""
    known = own_tables.all_methods(unit.session)
    numbers = {line.row.line for line in lines}
    for stray in sorted((job.changes.hosts.keys() | job.changes.methods.keys()) - numbers):
        job.changes.object_to(stray, "", "a line that is made already or belongs to another day", "a line of this day")
    found = []
    for line in lines:
        number = line.row.line
        if job.changes.made(number):
            method = job.changes.methods.get(number) or known.get(line.row.method)
            host = job.changes.hosts.get(number, line.host)
            if method is None:
                accepted = "a method the tables have; say --other LINE=METHOD"
                job.changes.object_to(number, "method", line.row.method, accepted)
                continue
            if method.is_bud and line.row.buds != 1:
                accepted = f"a method for a scion of {line.row.buds} buds"
                job.changes.object_to(number, "--other", method.method, accepted)
            found.append(Made(line, host, method, codes[number - 1], line.row.cautions))
    _hosts_fit(unit, job, found)
    return _judged(unit, job, found, yes)


def _hosts_fit(unit: Unit, job: _Day, made: Sequence[Made]) -> None:
    taken = alive.alive_at(unit.session, job.day).open_hosts()
    on = Counter(one.host.code for one in made if one.host.kind == "stock")
    room = Counter(one.line.host.code for one in made if one.line.host.id == one.host.id)
    for one in made:
        host, wrong = one.host, []
        why = why_absent(host, job.day, last_day=False)
        if why is not None:
            wrong.append((why, "a host that lived and was there; --swap or --except"))
        if host.kind == "stock" and host.id in taken:
            wrong.append(("which carries an open graft", "a free stock; --swap or --except"))
        elif on[host.code] > max(1, room[host.code]):
            wrong.append(("which is taken by another line", "each stock once"))
        for what, accepted in wrong:
            job.changes.object_to(one.line.row.line, "on", f"{host.code}, {what}", accepted)


def _judged(unit: Unit, job: _Day, made: Sequence[Made], yes: bool) -> list[Made]:
    """Lines made otherwise than planned, judged anew: their cautions, and what cannot be."""
    own = own_tables.own_pairs(unit.session)
    found = []
    for one in made:
        number = one.line.row.line
        as_planned = number not in job.changes.hosts and number not in job.changes.methods
        if as_planned or one.line.bundle.taxon is None:
            found.append(one)
            continue
        (wood,) = matching.wood_facts(unit.session, [one.line.bundle], job.day)
        (stock,) = matching.stock_facts(unit.session, [one.host], job.day)
        (judged,) = judge_all((wood,), (stock,), (one.method,), job.day, own, job.desk.settings.units, None)
        gates = [gate for gate in judged.gates if gate.name not in ("sticks left", "stock alive")]
        barred = [gate.reason for gate in gates if gate.outcome == "no"]
        if barred and not yes:
            accepted = "a graft that can be made; if it was made all the same, --yes"
            job.changes.object_to(number, "", " ".join(barred), accepted)
        cautions = [gate.reason for gate in gates if gate.outcome in ("no", "caution")]
        found.append(replace(one, cautions="\n".join(cautions)[:4000] or None))
    return found


def _rows(unit: Unit, job: _Day, made: Sequence[Made]) -> Iterator[dict[str, Any]]:
    drawn = _drawn(unit, job, made)
    noted = stage_notes.on_day(unit.session, [one.host for one in made], job.day)
    who = unit.entry.who
    for one in made:
        row, host = one.line.row, one.host
        sticks, left = drawn[row.line]
        compared = (job.plan.compare or "").startswith("tie=") and row.block is not None
        tie = row.treatment if compared else job.words.get("tie")
        values = {**job.words, **({"tie": tie} if tie is not None else {})}
        if tie is not None:
            values.setdefault("tied_on", job.day)
        yield {
            "place": host.place, "stage": noted[host.id].stage, "position": row.position, **values,
            "number": int(one.code[1:]), "code": one.code, "bundle_id": one.line.bundle.id, "host_plant_id": host.id,
            "method": one.method.method, "unit": "bud" if one.method.is_bud else "graft", "made_on": job.day, "who": who,
            "buds": row.buds, "trial": row.trial, "block": row.block, "cautions": one.cautions, "sticks_drawn": sticks,
            "buds_left": left,
        }  # fmt: skip


def _drawn(unit: Unit, job: _Day, made: Sequence[Made]) -> dict[int, tuple[int, int | None]]:
    """Sticks newly opened for each line, and the buds then left on that stick; wood that does not reach is noted."""
    bundles = {one.line.bundle.id: one.line.bundle for one in made}
    hands = drawing.in_hand(unit.session, bundles.values())
    cut: dict[tuple[int, int], list[PlanRow]] = defaultdict(list)
    for one in made:
        cut[one.line.bundle.id, one.line.row.stick].append(one.line.row)
    had = {bundle_id: hand.left for bundle_id, hand in hands.items()}
    opens = Counter(key[0] for key in cut if not drawing.is_hand(hands[key[0]], job.planned[key], key[1] == 1))
    found: dict[int, tuple[int, int | None]] = {}
    short: set[int] = set()
    for (bundle_id, stick), rows in cut.items():
        try:
            planned = job.planned[bundle_id, stick]
            drawn = drawing.draw_cut(hands[bundle_id], [row.buds for row in rows], planned, stick == 1)
        except Refused as error:
            code, takes = bundles[bundle_id].code, opens[bundle_id]
            if takes <= had[bundle_id]:
                job.changes.object_to(rows[0].line, "wood", error.found, error.expected)
            elif bundle_id not in short:
                first = next(one.line.row.line for one in made if one.line.bundle.id == bundle_id)
                job.changes.object_to(first, "wood", f"{count(had[bundle_id], 'stick')} of {code} left",
                                   f"the {takes} this takes: graftbook wood count {code} STICKS")  # fmt: skip
            short.add(bundle_id)
            continue
        found.update((row.line, (each.sticks, each.buds_left)) for row, each in zip(rows, drawn, strict=True))
    _wood_may_be_used(unit, job, made)
    return {one.line.row.line: found.get(one.line.row.line, (0, None)) for one in made}


def _wood_may_be_used(unit: Unit, job: _Day, made: Sequence[Made]) -> None:
    bundles = {one.line.bundle.id: one.line.bundle for one in made}
    for bundle_id, (what, on) in drawing.unfit_on(unit.session, bundles.values(), job.day).items():
        first = next(one.line.row.line for one in made if one.line.bundle.id == bundle_id)
        accepted = "living wood" if what == drawing.SEEN_DEAD else "wood of that day or before"
        found = f"{bundles[bundle_id].code}, {what} on {on.isoformat()}"
        job.changes.object_to(first, "wood", found, f"{accepted}; --dry or --except its lines")


def _discard_dry(
    unit: Unit, job: _Day, lines: Sequence[PlannedGraft], made: Sequence[Made], hands: Mapping[int, InHand]
) -> tuple[str, ...]:
    """Take the sticks that were dry out of the wood, but those of which a scion was made. `hands` is the wood before."""
    cut = {(one.line.bundle.id, one.line.row.stick) for one in made}
    dry: dict[int, set[int]] = defaultdict(set)
    names: dict[int, str] = {}
    for line in lines:
        key = line.bundle.id, line.row.stick
        if line.row.line in job.changes.dry and key not in cut:
            dry[line.bundle.id].add(line.row.stick)
            names[line.bundle.id] = line.bundle.code
    sentences = []
    for bundle_id, sticks in dry.items():
        hand = 1 in sticks and drawing.is_hand(hands[bundle_id], job.planned[bundle_id, 1], True)
        whole = len(sticks) - hand
        if whole or not any(one.line.bundle.id == bundle_id for one in made):
            unit.add(Movement, bundle_id=bundle_id, on=job.day, kind="discarded", sticks=-whole, who=unit.entry.who,
                     note=f"Dry at the bench (plan {job.plan.number})")  # fmt: skip
        sentences.append(f"{names[bundle_id]}: {count(len(sticks), 'dry stick')} thrown away.")
    return tuple(sentences)


def _summary(job: _Day, made: Sequence[Made], lines: Sequence[PlannedGraft], later: int) -> str:
    ways = Counter(one.method.method for one in made)
    how = ", ".join(f"{number} by {name}" for name, number in ways.most_common())
    line = f"Plan {job.plan.number} made: {count(len(made), 'graft')} {code_list(tuple(one.code for one in made))}"
    line += f" ({how})" if made else ""
    line += f", {job.day.isoformat()}"
    out = [planned.row.line for planned in lines if not job.changes.made(planned.row.line)]
    if out:
        line += f"; not made: {plan_lines.numbers_words(out)}"
    return line + (f"; {count(later, 'line')} for another day" if later else "")


def _notes(job: _Day, made: Sequence[Made], discarded: tuple[str, ...]) -> tuple[str, ...]:
    notes = list(discarded)
    swapped = [f"line {one.line.row.line} on {one.host.code} instead of {one.line.host.code}" for one in made
               if one.host.id != one.line.host.id]  # fmt: skip
    other = [f"line {one.line.row.line} by {one.method.method} instead of {one.line.row.method}" for one in made
             if one.method.method != one.line.row.method]  # fmt: skip
    if swapped or other:
        notes.append(f"Otherwise than planned: {'; '.join((*swapped, *other))}.")
    if job.plan.compare and any(one.line.row.block is not None for one in made) and other:
        stay = "Lines made by another method than the lot gave them stay in their block"
        notes.append(f"{stay}; take compare counts them as made.")
    wants = Counter(one.line.want.number for one in made if one.line.want is not None)
    notes += [f"Want {number}: {count(grafts, 'graft')} made." for number, grafts in sorted(wants.items())]
    notes.append("Look at them from a month on: graftbook look CODES STATE; graftbook due says when.")
    return tuple(notes)


def _grafted_before(unit: Unit, desk: Desk, day: date) -> frozenset[str | None]:
    """The kinds grafted earlier in the season of a day, for which cautions were given already."""
    season = turn.season_of(day, desk.settings.hemisphere)
    return graft_queries.kinds_grafted(unit.session, *turn.season_bounds(season, desk.settings.hemisphere))


def _safety(made: Sequence[Made], seal: str | None, before: frozenset[str | None]) -> tuple[str, ...]:
    kinds = (*{one.line.bundle.taxon for one in made}, *{one.host.taxon for one in made})
    return graft_cautions.safety(kinds, seal, before) if made else ()
