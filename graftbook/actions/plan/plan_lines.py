"""The lines of a plan: from what the solver found into the book, and from the book for people."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk.results import code_list
from graftbook.actions.names import shown_names
from graftbook.actions.plan.plan_request import Asked
from graftbook.actions.tags.tag_fields import SHORT_METHODS
from graftbook.actions.wood import plan_state
from graftbook.book import plan_queries as queries
from graftbook.book.plans import Plan
from graftbook.fit.plan_facts import Pair, SolvedPlan, StickCut


@dataclass(frozen=True)
class PlanLine:
    """One graft of a plan, in bench order. `code` is that of the graft to be, None before a sheet gave codes out; `stick`
    counts among the sticks left of the bundle, `piece` from its butt, which is `scion_mm` thick; `chance` is of `basis`,
    `k` of `n` where it is the grower's own; `done` says whether a graft with this code is in the book. `plan`, `day` and `crew`
    (None: dealt to none) say whose it is, `lot` and the grade what is known of a stock that was not measured."""

    line: int
    code: str | None
    cultivar: str | None
    wood: str
    stick: int
    piece: int
    buds: int
    scion_mm: float | None
    host: str
    clone: str | None
    stock_mm: float | None
    site: str | None
    place: str | None
    spot: int
    method: str
    chance: float
    basis: str
    basis_words: str | None
    k: int | None
    n: int | None
    joint_share: float | None
    want: int | None
    trial: str | None
    block: str | None
    treatment: str | None
    cautions: str | None
    done: bool
    plan: int
    day: date
    crew: int | None
    lot: str | None
    grade_min_mm: float | None
    grade_max_mm: float | None
    shown: ClassVar[tuple[str, ...]] = ("line", "cut", "buds", "scion_mm", "on", "stock_mm", "method", "odds", "want")
    headings: ClassVar = {"cut": "stick/piece", "on": "on", "odds": "chance", "scion_mm": "scion", "stock_mm": "stock"}

    @property
    def cut(self) -> str:
        """`W7 1/2`: the bundle, the stick among those left, and the piece of it."""
        return f"{self.wood} {self.stick}/{self.piece}"

    @property
    def on(self) -> str:
        """`P12 MM.106`."""
        return " ".join(part for part in (self.host, self.clone) if part)

    @property
    def stands(self) -> str | None:
        """The site it is to grow on; where none is recorded the place, which is taken for it."""
        return self.site or self.place

    @property
    def odds(self) -> str:
        """`85 %`, with `own` where it is the grower's own count."""
        return f"{self.chance * 100:.0f} %" + (" own" if self.basis == "own" else "")


class SiteLine(PlanLine):
    """One graft of a plan whose stocks are to grow on several sites."""

    shown: ClassVar = ("line", "cut", "buds", "on", "stands", "stock_mm", "method", "odds", "want")
    headings: ClassVar = {**PlanLine.headings, "stands": "site"}


class TrialLine(PlanLine):
    """One graft of a plan that compares."""

    shown: ClassVar = ("line", "cut", "buds", "on", "stock_mm", "way", "block", "odds")

    @property
    def way(self) -> str:
        """The method, in short beside what the lot gave where that is something else."""
        if self.treatment in (None, self.method):
            return self.method
        return f"{SHORT_METHODS.get(self.method, self.method)}, {self.treatment}"


def in_bench_order(asked: Asked, found: SolvedPlan) -> list[Pair]:
    """Pairs one cultivar at a time, the highest priority first, each stick cut to its end before the next."""
    priority: dict[str, int] = {}
    for want in asked.question.wants:
        priority[want.label] = min(want.priority, priority.get(want.label, want.priority))
    labels = {want.key: want.label for want in asked.question.wants}
    numbers = {key: bundle.number for key, bundle in asked.wood.bundles.items()}

    def place(pair: Pair) -> tuple[Any, ...]:
        label = labels[pair.want]
        in_hand = "/" not in pair.stick
        return priority[label], label, numbers[pair.stick], in_hand, pair.stick_number, pair.piece, pair.position

    return sorted(found.pairs, key=place)


def kept_rows(asked: Asked, found: SolvedPlan, pairs: Sequence[Pair]) -> list[dict[str, Any]]:
    """The lines as their table holds them, all but plan, trial, block and cautions."""
    wants = {str(want.number): want.id for want in asked.wants}
    starts = _starts(found.cuts)
    rows = []
    for line, pair in enumerate(pairs, start=1):
        bundle, host = asked.wood.bundles[pair.stick], asked.hosts.plants[pair.host]
        chance = asked.allowed.chances[pair.cut.kind, asked.host_kinds[pair.host], pair.method]
        begin, length = starts.get((pair.stick, pair.stick_number, pair.piece)), pair.cut.length_mm
        ends = (round(begin, 2), round(begin + length, 2)) if begin is not None and length is not None else None
        rows.append({
            "line": line, "want_id": wants[pair.want], "bundle_id": bundle.id, "host_plant_id": host.id,
            "stick": _stick_number(asked, pair), "piece": pair.piece, "buds": pair.cut.buds,
            "from_mm": ends[0] if ends is not None else None, "to_mm": ends[1] if ends is not None else None,
            "scion_mm": pair.cut.butt_mm if ends is not None else None, "spot": pair.position, "method": pair.method,
            "chance": round(pair.chance, 6), **chance.columns,
            "joint_share": None if pair.share is None else round(pair.share, 4),
        })  # fmt: skip
    return rows


def _stick_number(asked: Asked, pair: Pair) -> int:
    """The stick among those left: the stick in hand, where there is one, is number 1."""
    bundle = asked.wood.bundles[pair.stick]
    opened = f"{bundle.code}/hand" in asked.wood.bundles and "/" not in pair.stick
    return pair.stick_number + opened


def _starts(cuts: Sequence[StickCut]) -> dict[tuple[str, int, int], float | None]:
    """Where each piece of each stick starts, in mm from the butt of what is left of it; None where not measured."""
    found: dict[tuple[str, int, int], float | None] = {}
    for cut in cuts:
        at: float | None = 0.0
        for number, piece in enumerate(cut.pieces, start=1):
            found[cut.stick, cut.stick_number, number] = at
            at = None if at is None or piece.length_mm is None else at + piece.length_mm
    return found


def show_lines(session: Session, plan: Plan, used: set[str] | None = None) -> tuple[PlanLine, ...]:
    """The lines of a plan as people see them, in bench order."""
    lines = queries.plan_lines(session, plan.id)
    codes = [plan_state.code_of(plan, line.row.line) for line in lines]
    made = queries.codes_in_use(session, [code for code in codes if code]) if used is None else used
    kind = TrialLine if plan.compare else PlanLine
    names = shown_names.of(session, [line.bundle for line in lines])
    return tuple(
        _line(kind, plan, line, names.of(line.bundle).cultivar, code, code in made)
        for line, code in zip(lines, codes, strict=True)
    )


def _line(
    kind: type[PlanLine], plan: Plan, line: queries.PlannedGraft, called: str | None, code: str | None, done: bool
) -> PlanLine:
    row, bundle, host = line.row, line.bundle, line.host
    return kind(
        row.line, code, called, bundle.code, row.stick, row.piece, row.buds, row.scion_mm, host.code, host.clone,
        host.diameter_mm, host.site, host.place, row.spot, row.method, row.chance, row.basis, row.basis_words, row.k, row.n,
        row.joint_share, None if line.want is None else line.want.number, row.trial, row.block, row.treatment, row.cautions, done,
        plan.number, plan.day, plan.crew, host.lot, host.grade_min_mm, host.grade_max_mm,
    )  # fmt: skip


@dataclass(frozen=True)
class PlanOfList:
    """One plan of the list: `lines` grafts for `day`, `done_on` None until it was recorded as done; `crew` None where it was
    dealt to none, `state` as `plan_state.state` says it."""

    plan: int
    on: date
    day: date
    lines: int
    outcome: str
    compare: str | None
    done_on: date | None
    codes: str | None
    note: str | None
    crew: int | None = None
    state: str = "open"
    dropped_on: date | None = None
    shown: ClassVar = ("plan", "day", "crew", "lines", "outcome", "compare", "codes", "stands")
    headings: ClassVar = {"day": "for", "lines": "grafts", "outcome": "solver", "stands": "state"}

    @property
    def stands(self) -> str:
        """Its state, with the day on which it was done or dropped."""
        on = self.done_on or self.dropped_on
        return self.state if on is None else f"{self.state} {on.isoformat()}"


def numbers_words(numbers: Sequence[int]) -> str:
    """Numbers of lines in words: `line 3`, `lines 1-4, 9`."""
    return f"line{'s' if len(numbers) > 1 else ''} {number_list(numbers)}"


def number_list(numbers: Sequence[int]) -> str:
    """Numbers as codes are listed: `1-4, 9`."""
    return code_list(tuple(f"L{number}" for number in numbers)).replace("L", "")
