"""Grafts of a plan that are one batch at the bench: of one wood, with as many buds, on stocks that were never told apart.

Bare-root stocks come by the hundred and by grade; they have numbers in the book and none on the roots. So they are planned as
a lot, stand on the sheet as one line with a box for the count, and are recorded by that count.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from graftbook.actions.plan.plan_lines import PlanLine

# From so many grafts alike on, they are a batch.
LEAST = 5


@dataclass(frozen=True)
class PlanBatch:
    """Lines of a plan that are done as one batch, numbered from 1 within the plan."""

    number: int
    lines: tuple[PlanLine, ...]


@dataclass(frozen=True)
class BatchedLines:
    """The lines of a plan: batches, and those that are done one by one, both in bench order."""

    batches: tuple[PlanBatch, ...]
    single: tuple[PlanLine, ...]


def batched(lines: Sequence[PlanLine]) -> BatchedLines:
    """The lines of one plan by batch; a line on a stock of its own size, or of a comparison, stands by itself."""
    held: dict[Any, list[PlanLine]] = {}
    for line in lines:
        if line.stock_mm is None and line.grade_min_mm is not None and line.treatment is None and line.spot == 1:
            held.setdefault(_alike(line), []).append(line)
    large = [some for some in held.values() if len(some) >= LEAST]
    in_batch = {line.line for some in large for line in some}
    batches = tuple(PlanBatch(number, tuple(some)) for number, some in enumerate(large, start=1))
    return BatchedLines(batches, tuple(line for line in lines if line.line not in in_batch))


def _alike(line: PlanLine) -> tuple[Any, ...]:
    stock = line.clone, line.grade_min_mm, line.grade_max_mm, line.lot, line.site, line.place
    return line.cultivar, line.wood, line.buds, line.method, *stock
