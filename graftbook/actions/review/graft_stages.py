"""The course of a graft read off its looks: which stages it reached, and in which interval of days each event came.

Stages are made, set (buds only), moved, took, standing at leaf fall, established. Each counts only those that reached the
one before: k reached it, n are those of whom that is known, and what lies between is lost, by whose fault where it was
stated. Events are push, growth and loss. A look shows only that an event came since the look before, so its time is
interval-censored, and right-censored after the last look.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil, inf, isfinite

from graftbook.actions.outcome import endpoints
from graftbook.actions.outcome.alive import DEAD, NOT_ALIVE
from graftbook.actions.outcome.endpoints import Frame, standing
from graftbook.actions.takes.early import Waits, is_early
from graftbook.actions.takes.judging import GraftHistory
from graftbook.stats.survival import CensoredInterval, Course, kaplan_meier, turnbull

STAGES = ("made", "set", "moved", "took", "standing at leaf fall", "established")
EVENTS = ("push", "growth", "loss")
GAP_DAYS = 7
"""Looks no further apart than this give the day well enough, and looks within so many days are of one round: a rule of this
book."""
ONE_AGE, ONE_AGE_DAYS = 0.1, 28
"""What was seen in one round counts as of one age where ages differ by no more than this share of the older, and no more than
so many days: a rule of this book. `tests/bench/course_coverage.py` prints what it is good for."""
MOST_INTERVALS = 400
_SEEN = {"push": frozenset({"pushing", "growing"}), "growth": frozenset({"growing"})}
_RULE = {"push": "moved", "growth": "took"}


@dataclass
class StageTally:
    """One stage of one kind: how many reached it, were lost before it (by fault), and are not known; `waits` of the last those
    that still wait, by the state they were last seen in."""

    reached: int = 0
    union: int = 0
    not_union: int = 0
    unsure: int = 0
    not_known: int = 0
    waits: Waits = field(default_factory=Counter)

    @property
    def lost(self) -> int:
        """All that were lost before the stage."""
        return self.union + self.not_union + self.unsure

    @property
    def known(self) -> int:
        """All of whom it is known whether they reached it."""
        return self.reached + self.lost

    @property
    def early(self) -> bool:
        """Whether it is too early for a rate."""
        return is_early(self.reached, self.known, self.waits)


def standing_at_leaf_fall(graft: GraftHistory) -> str:
    """Whether it was alive at the end of its first growing season: one of outcome.endpoints.OUTCOMES.

    Alive at any look after leaf fall, it was; else by its looks up to then. Nothing is said before leaf fall of one that
    lives.
    """
    frame = graft.frame
    if any(look[0] > frame.season_end and look[1] not in NOT_ALIVE for look in graft.looks):
        return "yes"
    before = [look for look in graft.looks if look[0] <= frame.season_end]
    found = standing(before, Frame(frame.made_on, frame.judge_from, frame.season_end, frame.season_end))
    if found == "yes" and frame.as_of < frame.season_end:
        found = "waiting"
    if found != "waiting" or graft.ended is None:
        return found
    return "lost" if graft.ended.dead and graft.ended.on <= frame.season_end else "unknown"


def passed(graft: GraftHistory) -> Iterator[tuple[str, str]]:
    """Each stage after the first that its outcome is asked of, up to the first it did not reach."""
    for stage in STAGES[1:]:
        if stage == "set" and graft.unit != "bud":
            continue
        found = standing_at_leaf_fall(graft) if stage == STAGES[4] else graft.outcome(stage)
        yield stage, found
        if found != "yes":
            return


def count_into(tallies: dict[str, StageTally], graft: GraftHistory) -> None:
    """Add grafts with one story to the tallies of their kind, stage by stage."""
    tallies.setdefault("made", StageTally()).reached += graft.times
    for stage, found in passed(graft):
        tally = tallies.setdefault(stage, StageTally())
        if found == "yes":
            tally.reached += graft.times
        elif found in ("failed", "lost"):
            fault = endpoints.put_down_to(graft.looks, graft.ended)
            setattr(tally, fault, getattr(tally, fault) + graft.times)
        else:
            tally.not_known += graft.times
            if found == "waiting":
                tally.waits[graft.looks[-1][1] if graft.looks else None] += graft.times


def span(graft: GraftHistory, event: str) -> tuple[float, float] | None:
    """The interval in which an event came: after which day since grafting and by which. (inf, inf) for what never will come,
    (day, inf) where it had not by the last look alive (right-censored); None for a graft never looked at."""
    days = [_day(graft, look[0]) for look in graft.looks]
    died = graft.ended is not None and graft.ended.dead
    if not days and not (died and event == "loss"):
        return None
    return _loss(graft, days) if event == "loss" else _beginning(graft, days, event)


def marked_on(graft: GraftHistory, interval: tuple[float, float]) -> date | None:
    """The day of the look that closed an interval, or of the last look alive where it is open; None where neither was."""
    mark = interval[1] if isfinite(interval[1]) else interval[0]
    return graft.frame.made_on + timedelta(days=mark) if isfinite(mark) and mark > 0 else None


def one_round(found: Mapping[tuple[float, float, date | None], int]) -> Counter[tuple[float, float]]:
    """Intervals, with how many grafts have each; what was last seen alive in a round in which an event was found on older
    grafts is followed up to their age.

    Grafts of one batch are made over some days and looked at in one round. Six of ten found dead at 406 days while thirty
    made a week later live at 399 are six of forty, not six of the ten that alone reached the age of 406.
    """
    events = sorted({(on, by) for _after, by, on in found if on is not None and isfinite(by)})
    joined: Counter[tuple[float, float]] = Counter()
    for (after, by, on), many in found.items():
        if on is not None and not isfinite(by):
            ages = [age for seen, age in events if abs((seen - on).days) <= GAP_DAYS and _of_one_age(after, age)]
            after = max(ages, default=after)
        joined[after, by] += many
    return joined


def _of_one_age(younger: float, older: float) -> bool:
    return younger < older <= younger + min(ONE_AGE * older, ONE_AGE_DAYS)


def _day(graft: GraftHistory, on: date) -> int:
    return max((on - graft.frame.made_on).days, 0)


def _beginning(graft: GraftHistory, days: list[int], event: str) -> tuple[float, float]:
    for place, look in enumerate(graft.looks):
        if look[1] in _SEEN[event]:
            return float(days[place - 1] if place else 0), float(days[place])
    if graft.outcome(_RULE[event]) in ("failed", "lost"):
        return inf, inf
    return _last_alive(graft, days), inf


def _last_alive(graft: GraftHistory, days: list[int]) -> float:
    alive = [day for day, look in zip(days, graft.looks, strict=True) if look[1] not in NOT_ALIVE]
    return float(alive[-1]) if alive else 0.0


def _loss(graft: GraftHistory, days: list[int]) -> tuple[float, float]:
    states = [look[1] for look in graft.looks]
    alive = max((place for place, state in enumerate(states) if state not in NOT_ALIVE), default=-1)
    gone = next((place for place in range(alive + 1, len(states)) if states[place] in DEAD), None)
    last = float(days[alive]) if alive >= 0 else 0.0
    if gone is not None:
        return last, float(days[gone])
    return (last, float(_day(graft, graft.ended.on))) if graft.ended is not None and graft.ended.dead else (last, inf)


def course(spans: Counter[tuple[float, float]], level: float) -> Course:
    """The share to which an event has come by each day, from how many grafts have each interval in days since grafting: the
    estimate of Kaplan and Meier where looks were close together, else that of Turnbull for interval-censored times.

    Where there are more than MOST_INTERVALS different intervals, they are widened to whole weeks. Raises UsageProblem for a
    level outside (0, 1).
    """
    if all(by - after <= GAP_DAYS for after, by in spans if isfinite(by)):
        every = [
            (by if isfinite(by) else after, isfinite(by)) for (after, by), many in spans.items() for _ in range(many)
        ]
        return kaplan_meier([time for time, _ in every], [yes for _, yes in every], level)
    if len(spans) > MOST_INTERVALS:
        weeks: Counter[tuple[float, float]] = Counter()
        for (after, by), many in spans.items():
            weeks[after if not isfinite(after) else after // 7 * 7, by if not isfinite(by) else ceil(by / 7) * 7] += (
                many
            )
        spans = weeks
    return turnbull([CensoredInterval(after, by, many) for (after, by), many in sorted(spans.items())], level)
