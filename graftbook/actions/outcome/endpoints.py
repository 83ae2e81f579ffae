"""What became of a graft by a day: the written rules, as functions of its looks.

An endpoint is never stored. Each rule reads the looks up to the as-of day and says one of

- `yes`: it got there,
- `failed`: it died or never grew, with the union or nothing known to blame (an unsure cause counts here),
- `lost`: it went before it could be judged, for a cause that was not the union,
- `waiting`: not yet decided, or not looked at: never a failure,
- `unknown`: not found, or gone home.

The rules

- moved: buds opened (pushing) or a shoot lengthened (growing) at any look.
- took: the shoot was lengthening (growing) at a look at or after the judging age, or at looks on two days. What never
  grew by the end of its first growing season, and was looked at when old enough to judge, has failed.
- set (buds only): healed in at a look, or anything later that only a set bud does.
- standing: alive at the as-of day, by a look no more than 120 days before it.
- established: growing in a season after the first growing season.

A dead look can be followed by a living one; the later look counts and both stay. Shrivelled is a sign, not an end.

What stood on a dead plant or graft is dead with it, whatever was last seen of it (graftbook.actions.outcome.alive): it is
lost, unless it had failed before, or got there before it died; standing nobody does then. What went home unseen since is
unknown in the same way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from graftbook.actions.outcome.alive import DEAD, End
from graftbook.book.seen import StoryLook
from graftbook.season import turn

ENDPOINTS = ("took", "moved", "set", "standing", "established")

OUTCOMES = ("yes", "failed", "lost", "waiting", "unknown")

STANDING_DAYS = 120

MOVED = frozenset({"pushing", "growing"})

_SET = frozenset({"set", "forced", "pushing", "growing"})

_NOT_GROWING = frozenset({"no-movement", "swelling", "pushing", "stalled", "shrivelled"})


@dataclass(frozen=True, slots=True)
class Frame:
    """The days a graft is judged by: when it was made, from when a take may be judged, the end of its first growing
    season, and the day as of which the question is put."""

    made_on: date
    judge_from: date
    season_end: date
    as_of: date


@lru_cache(maxsize=256)
def judge_days(method: str) -> int:
    """Days after which a take by this method may be judged: from the table, 60 where it lacks the method."""
    from graftbook.trade import methods

    found = methods.find(method)
    return found.judge_days if found is not None else methods.USUAL_JUDGE_DAYS


@lru_cache(maxsize=8192)
def frame(made_on: date, days: int, hemisphere: str, as_of: date) -> Frame:
    """The days a graft made on a day is judged by."""
    return Frame(made_on, made_on + timedelta(days=days), turn.growth_deadline(made_on, hemisphere), as_of)


def end_outcome(looks: Sequence[StoryLook]) -> str | None:
    """The outcome when the last look is an end of some kind, else None. Not found is unknown, unless it had been seen dead
    before."""
    if not looks:
        return None
    gone = next((look for look in reversed(looks) if look[1] != "not-found"), None)
    if gone is not None and gone[1] in DEAD:
        return "lost" if gone[1] == "dead" and blame(looks) == "no" else "failed"
    return "unknown" if looks[-1][1] == "not-found" else None


def blame(looks: Sequence[StoryLook]) -> str | None:
    """What was last said of the union while it was seen gone; a later look that says nothing takes nothing back."""
    for _, state, fault in reversed(looks):
        if state != "not-found" and state not in DEAD:
            return None
        if fault is not None and state != "not-found":
            return fault
    return None


def put_down_to(looks: Sequence[StoryLook], ended: End | None = None) -> str:
    """What the loss of a graft is put down to, one of BLAMES; unsure where it was seen gone and nothing was said, and not the
    union where it died with what it stood on."""
    if ended is not None and ended.dead and end_outcome(looks) not in ("failed", "lost"):
        return "not_union"
    return _BLAMED.get(blame(looks) or "", "unsure")


def moved(looks: Sequence[StoryLook], frame: Frame) -> str:
    """Whether the buds opened."""
    if any(look[1] in MOVED for look in looks):
        return "yes"
    return end_outcome(looks) or _never(looks, frame)


def took(looks: Sequence[StoryLook], frame: Frame) -> str:
    """Whether the union lives and the shoot lengthens."""
    forced = next((look[0] for look in looks if look[1] == "forced"), None)
    days = [look[0] for look in looks if look[1] == "growing"]
    if days and has_taken(min(days), max(days), forced or frame.made_on, frame.judge_from - frame.made_on):
        return "yes"
    return end_outcome(looks) or _never(looks, frame)


def has_taken(first: date, last: date, start: date, age: timedelta) -> bool:
    """Whether a shoot seen growing first and last on these days decides a take: on two days, or at the judging `age` counted
    from `start`, when it was made or, for a bud that slept, forced."""
    return first < last or last >= start + age


def _never(looks: Sequence[StoryLook], frame: Frame) -> str:
    """Never grew by the end of its first growing season and looked at when old enough; otherwise still waiting."""
    if not looks or frame.as_of <= frame.season_end:
        return "waiting"
    on, state, _ = looks[-1]
    return "failed" if state in _NOT_GROWING and on >= frame.judge_from else "waiting"


def healed_in(looks: Sequence[StoryLook], frame: Frame) -> str:
    """Whether a bud set."""
    if any(look[1] in _SET for look in looks):
        return "yes"
    return end_outcome(looks) or "waiting"


def standing(looks: Sequence[StoryLook], frame: Frame) -> str:
    """Whether it was alive at the as-of day."""
    end = end_outcome(looks)
    if end is not None:
        return end
    if not looks or looks[-1][1] == "shrivelled":
        return "waiting"
    return "yes" if looks[-1][0] >= frame.as_of - timedelta(days=STANDING_DAYS) else "waiting"


def established(looks: Sequence[StoryLook], frame: Frame) -> str:
    """Whether it grew in a season after the first."""
    if any(look[1] == "growing" and look[0] > frame.season_end for look in looks):
        return "yes"
    return end_outcome(looks) or "waiting"


Rule = Callable[[Sequence[StoryLook], Frame], str]

RULES: dict[str, tuple[Rule, str]] = {
    "took": (took, "Took: the shoot was lengthening at or after the judging age, or at looks on two days."),
    "moved": (
        moved,
        "Moved: the buds opened or a shoot lengthened, which stored sap alone can do; it is not yet a take.",
    ),
    "set": (healed_in, "Set: the bud had healed in. Grafts of more than a bud are not counted here."),
    "standing": (standing, f"Standing: alive by a look no more than {STANDING_DAYS} days before the day asked about."),
    "established": (established, "Established: growing in a season after the first growing season."),
}

COUNTED_AS_KNOWN = frozenset({"standing", "established"})
"""Endpoints whose n is everything of known fate, losses that were not the union included."""

NOTHING_YET = frozenset({"no-movement", "shrivelled", "dead"})

BLAMES = ("union", "not_union", "unsure")

_BLAMED = {"yes": "union", "no": "not_union"}


class Fate(NamedTuple):
    """`outcome`: one of endpoints.OUTCOMES. `loss`: what a loss was put down to, one of BLAMES (None: not lost); where
    nothing was said it is unsure, and `said_unsure` when that was said of the last look. `waits`: the state in which what is
    waiting was last seen (None: never seen, or not waiting)."""

    outcome: str
    false_take: bool = False
    late_take: bool = False
    loss: str | None = None
    said_unsure: bool = False
    waits: str | None = None


def outcome_by(endpoint: str, looks: Sequence[StoryLook], days: Frame, ended: End | None) -> str:
    """What became of one graft by one endpoint, one of OUTCOMES; `ended` as graftbook.actions.outcome.alive.ended_unseen says
    it, None where its own looks are all there is."""
    found = RULES[endpoint][0](looks, days)
    if ended is None or found in ("failed", "lost") or (found == "yes" and endpoint != "standing"):
        return found
    return "lost" if ended.dead else "unknown"


def fate(looks: Sequence[StoryLook], days: Frame, endpoint: str, ended: End | None) -> Fate:
    """What became of one graft by its looks, and by what it stood on (`ended` as `outcome_by` takes it)."""
    outcome = outcome_by(endpoint, looks, days, ended)
    gone = end_outcome(looks) in ("failed", "lost")
    loss = put_down_to(looks, ended) if gone or (ended is not None and ended.dead) else None
    if not looks:
        return Fate(outcome, loss=loss)
    took_it = (outcome if endpoint == "took" else took(looks, days)) == "yes"
    return Fate(
        outcome,
        gone and not took_it and any(look[1] in MOVED for look in looks),
        took_it and looks[0][1] in NOTHING_YET,
        loss,
        blame(looks) == "unsure",
        looks[-1][1] if outcome == "waiting" else None,
    )
