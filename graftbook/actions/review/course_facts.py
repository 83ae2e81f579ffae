"""What a course consists of, before it is put into words: the stages and event times of each kind, and the rows they become."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, make_dataclass
from datetime import date
from functools import lru_cache
from typing import Any, ClassVar

from graftbook.actions.desk.results import count
from graftbook.actions.review import graft_stages
from graftbook.actions.review.graft_stages import EVENTS, STAGES, EventTimes, StageTally
from graftbook.actions.takes import factors
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

    factors: ClassVar[tuple[str, ...]]
    unit: str

    @property
    def kind(self) -> str:
        """`apple`, or `apple, cleft (buds)`."""
        return name_of((*(getattr(self, name) for name in self.factors), self.unit))


class StageRowText(KindRow):
    """What people read of a stage."""

    stage: str
    k: int
    n: int
    rate: float | None
    low: float | None
    high: float | None

    @property
    def k_of_n(self) -> str:
        """`52 of 61`."""
        if self.stage == STAGES[0]:
            return count(self.k, self.unit)
        return f"{self.k} of {self.n}" if self.n else "none yet"

    @property
    def rate_and_range(self) -> str:
        """`85% (74-92)`."""
        if self.rate is None or self.low is None or self.high is None:
            return ""
        return f"{self.rate * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})"


class MomentRowText(KindRow):
    """What people read of the share at one day since grafting."""

    k: int
    n: int
    share: float
    low: float
    high: float

    @property
    def share_and_range(self) -> str:
        """`62% (51-73)`."""
        return f"{self.share * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})"

    @property
    def k_of_n(self) -> str:
        """`31 of 50`."""
        return f"{self.k} of {self.n}"


@lru_cache(maxsize=64)
def stage_type(by: tuple[str, ...]) -> type:
    """The class of a stage's row."""
    numbers = ("k", "n", "lost", "lost_union", "lost_not_union", "lost_unsure", "not_known")
    fields: list[Any] = [*_keys(by), ("stage", str), *((name, int) for name in numbers)]
    fields += [(name, "float | None", field(default=None)) for name in ("rate", "low", "high")]
    fields.append(("level", float, field(default=0.95)))
    shown = ("stage", "k_of_n", "rate_and_range", "lost_union", "lost_not_union", "lost_unsure", "not_known")
    headings = {"k_of_n": "of those before", "rate_and_range": "rate (range)", "lost_union": "lost: union",
                "lost_not_union": "lost: other", "lost_unsure": "lost: unsure", "not_known": "not known"}  # fmt: skip
    return _made("StageRow", by, fields, StageRowText, shown, headings)


@lru_cache(maxsize=64)
def moment_type(by: tuple[str, ...], event: str) -> type:
    """The class of a row with the share at one day of an event's curve."""
    fields: list[Any] = [*_keys(by), ("event", str), ("days", int), ("k", int), ("n", int), ("share", float), ("low", float),
                         ("high", float), ("method", str), ("level", float)]  # fmt: skip
    headings = {"days": "by day", "k_of_n": f"{event} seen, of those known", "share_and_range": "share (range)"}
    return _made("MomentRow", by, fields, MomentRowText, ("days", "k_of_n", "share_and_range"), headings)


def _keys(by: tuple[str, ...]) -> list[Any]:
    return [*((factors.field_name(name), "str | None") for name in by), ("unit", str)]


def _made(
    name: str, by: tuple[str, ...], fields: list[Any], base: type, shown: tuple[str, ...], headings: dict[str, str]
) -> type:
    spaces = {"shown": shown, "headings": headings, "factors": tuple(factors.field_name(one) for one in by),
              "__annotations__": dict.fromkeys(("shown", "headings", "factors"), ClassVar)}  # fmt: skip
    return make_dataclass(name, fields, bases=(base,), frozen=True, namespace=spaces)
