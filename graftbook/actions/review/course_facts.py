"""What a course consists of, before it is put into words: the stages and event times of each kind, and the rows they become."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from graftbook.actions.desk.results import count
from graftbook.actions.review import graft_stages
from graftbook.actions.review.graft_stages import EVENTS, STAGES, StageTally
from graftbook.actions.takes.question import TakeQuestion
from graftbook.actions.takes.take_rows import SHARE, TOO_EARLY, CountedRow, percent_and_range, row_class
from graftbook.stats.survival import Course


@dataclass
class KindCourse:
    """One kind: its stages, and when each thing happened."""

    tallies: dict[str, StageTally] = field(default_factory=dict)
    spans: dict[str, Counter[tuple[float, float]]] = field(
        default_factory=lambda: {event: Counter() for event in EVENTS}
    )
    unseen: int = 0

    def course(self, event: str, level: float) -> Course:
        """The curve of one event."""
        return graft_stages.course(self.spans[event], level)


@dataclass(frozen=True)
class Courses:
    """Every kind with what was asked; a key holds the factors' values and the unit."""

    asked: TakeQuestion
    by: tuple[str, ...]
    level: float
    kinds: dict[tuple[Any, ...], KindCourse]


class StageRowText(CountedRow):
    """What people read of a stage."""

    stage: str
    rate: float | None

    @property
    def counted(self) -> str:
        """`52 of 61`; for the first stage how many there are."""
        return count(self.k, self.unit) if self.stage == STAGES[0] else self.k_of_n

    @property
    def rate_and_range(self) -> str:
        """`85% (74-92)`; says so where it is too early for a rate."""
        known = self.rate is not None or self.stage == STAGES[0] or not self.n
        return percent_and_range(self.rate, self.low, self.high) if known else TOO_EARLY


class MomentRowText(CountedRow):
    """What people read of the share at one day since grafting."""

    share: float | None
    between_looks: bool

    @property
    def share_and_range(self) -> str:
        """`62% (51-73)`; `33% or more (10-97)` on a day between two looks; says so where it would rest on almost nobody."""
        text = percent_and_range(self.share, self.low, self.high)
        return (text.replace("%", "% or more", 1) if self.between_looks else text) if text else "too few followed"


@lru_cache(maxsize=64)
def stage_type(by: tuple[str, ...]) -> type:
    """The class of a stage's row."""
    numbers = ("k", "n", "lost", "lost_union", "lost_not_union", "lost_unsure", "not_known")
    fields = {
        "stage": str,
        **dict.fromkeys(numbers, int),
        **dict.fromkeys(("rate", "low", "high"), SHARE),
        "level": float,
    }
    headings = {"counted": "of those before", "rate_and_range": "rate (range)", "lost_union": "lost: union",
                "lost_not_union": "lost: other", "lost_unsure": "lost: unsure", "not_known": "not known"}  # fmt: skip
    return row_class(StageRowText, by, fields, ("stage", *headings), headings)


@lru_cache(maxsize=64)
def moment_type(by: tuple[str, ...], event: str) -> type:
    """The class of a row with the share at one day of an event's curve."""
    fields = {"event": str, **dict.fromkeys(("days", "k", "n"), int), **dict.fromkeys(("share", "low", "high"), SHARE),
              "method": str, "level": float, "between_looks": bool}  # fmt: skip
    headings = {"days": "by day", "k_of_n": f"{event} seen, of those known", "share_and_range": "share (range)"}
    return row_class(MomentRowText, by, fields, tuple(headings), headings)
