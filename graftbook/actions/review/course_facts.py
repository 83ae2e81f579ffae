"""What a course of losses or events over time consists of, before it is put into words."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from graftbook.actions.review import graft_stages
from graftbook.actions.review.graft_stages import EVENTS, EventTimes, StageTally
from graftbook.stats.survival import Course


@dataclass
class KindCourse:
    """One kind: its stages, and when each thing happened."""

    tallies: dict[str, StageTally] = field(default_factory=dict)
    spans: dict[str, Counter] = field(default_factory=lambda: {event: Counter() for event in EVENTS})
    unseen: int = 0

    def course(self, event: str, level: float) -> Course:
        """The curve of one event."""
        return graft_stages.course(EventTimes(self.spans[event], self.unseen), level)


@dataclass(frozen=True)
class Courses:
    """Every kind with what was asked; a key holds the factors' values and the unit."""

    by: tuple[str, ...]
    as_of: date
    season: str | None
    level: float
    kinds: dict[tuple[Any, ...], KindCourse]

    @property
    def which(self) -> str:
        """`grafts of 2026-27`."""
        return f"grafts of {self.season}" if self.season is not None else "grafts of all seasons"


def name_of(key: tuple[Any, ...]) -> str:
    """`apple`, or `apple, cleft`; buds say so."""
    words = ", ".join(str(part) if part is not None else "not recorded" for part in key[:-1]) or "all kinds"
    return f"{words} (buds)" if key[-1] == "bud" else words


class KindRow:
    """Rows that people read kind by kind."""

    @property
    def kind(self) -> str:
        """`apple`, or `apple, cleft (buds)`."""
        return name_of((*(getattr(self, name) for name in self.factors), self.unit))
