"""When things happened to grafts, as stretches of days since grafting between two looks, and the curve over them.

push: the buds opened. growth: the shoot lengthened. loss: it was seen gone, and not alive again after. What died of whatever
cause, or never grew in time, will never push or grow and stays among all; what is not found or still waiting is followed to
its last look alive.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import ceil, inf, isfinite

from graftbook.actions.outcomes import Followed
from graftbook.stats.survival import Course, Span, kaplan_meier, turnbull

EVENTS = ("push", "growth", "loss")
_SEEN = {"push": frozenset({"pushing", "growing"}), "growth": frozenset({"growing"})}
_RULE = {"push": "moved", "growth": "took"}
_GONE = frozenset({"dead", "not-set"})
GAP_DAYS = 7
"""Looks no further apart than this tell the day well enough: a rule of this book."""
MOST_STRETCHES = 400


@dataclass(frozen=True)
class Times:
    """The stretches of one kind and one event: how many of each, and how many grafts were never looked at."""

    spans: Counter[tuple[float, float]]
    unseen: int = 0


def span(graft: Followed, event: str) -> tuple[float, float] | None:
    """After which day since grafting and by which it happened; (inf, inf) for what never will, (day, inf) for what had not
    by the last look alive; None for a graft never looked at."""
    days = [max((look[0] - graft.frame.made_on).days, 0) for look in graft.looks]
    if not days:
        return None
    return _loss(graft, days) if event == "loss" else _beginning(graft, days, event)


def _beginning(graft: Followed, days: list[int], event: str) -> tuple[float, float]:
    for place, look in enumerate(graft.looks):
        if look[1] in _SEEN[event]:
            return float(days[place - 1] if place else 0), float(days[place])
    if graft.outcome(_RULE[event]) in ("failed", "lost"):
        return inf, inf
    return _last_alive(graft, days), inf


def _last_alive(graft: Followed, days: list[int]) -> float:
    alive = [
        day for day, look in zip(days, graft.looks, strict=True) if look[1] not in _GONE and look[1] != "not-found"
    ]
    return float(alive[-1]) if alive else 0.0


def _loss(graft: Followed, days: list[int]) -> tuple[float, float]:
    states = [look[1] for look in graft.looks]
    alive = max(
        (place for place, state in enumerate(states) if state not in _GONE and state != "not-found"), default=-1
    )
    gone = next((place for place in range(alive + 1, len(states)) if states[place] in _GONE), None)
    last = float(days[alive]) if alive >= 0 else 0.0
    return (last, inf) if gone is None else (last, float(days[gone]))


def course(times: Times, level: float = 0.95) -> Course:
    """The share that it has happened to by each day: Kaplan and Meier's where looks were close together, else Turnbull's.

    Where there are more than MOST_STRETCHES different stretches, they are widened to whole weeks.
    """
    spans = times.spans
    if all(by - after <= GAP_DAYS for after, by in spans if isfinite(by)):
        every = [
            (by if isfinite(by) else after, isfinite(by)) for (after, by), many in spans.items() for _ in range(many)
        ]
        return kaplan_meier([time for time, _ in every], [yes for _, yes in every], level)
    if len(spans) > MOST_STRETCHES:
        weeks: Counter[tuple[float, float]] = Counter()
        for (after, by), many in spans.items():
            weeks[after if not isfinite(after) else after // 7 * 7, by if not isfinite(by) else ceil(by / 7) * 7] += (
                many
            )
        spans = weeks
    return turnbull([Span(after, by, many) for (after, by), many in sorted(spans.items())], level)
