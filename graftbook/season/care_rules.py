"""When each kind of aftercare falls due for one graft: one function a kind, all with the same signature, a table last.

Each gives the day a thing fell or falls due, or None when it does not: it is done, or the graft has not come so far.
What can be done only once (a tie released, a stake set) is done whenever it was done; what comes back (rubbing off
stock shoots, seeing to a tie) counts from the last time. A look a few days early still counts: nobody walks the rows on
the very day.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from types import MappingProxyType

from graftbook.season.care_facts import SET, GraftFacts
from graftbook.trade import stages
from graftbook.trade.aftercare import Rule

# A look this many days before the day it was due still counts: a rule of this book.
EARLY = timedelta(days=3)
# A graft not yet decided, or a bud not yet clear, is looked at again after so long: a rule of this book.
JUDGE_AGAIN = timedelta(days=28)
SET_AGAIN = timedelta(days=7)
# A stock seen dormant is looked at again after so long before it is headed back: a rule of this book.
DORMANT_AGAIN = timedelta(days=14)
# A spring bud has set by so long after it was put on, and is headed back then (common practice: three to four weeks).
SPRING_SET = timedelta(days=28)
# Words that name a film which gives way, and say no more of it.
_FILM_WORDS = frozenset(
    {"film", "grafting", "wax", "waxed", "paraffin", "paraffined", "stretch", "stretchy", "self", "sealing"}
)
# Where the buds of a stock begin to swell and where it goes to rest, in the order of stages.
_SWELLING, _RESTING = 10, 100

# Which words of care done meet which rule, beside the rule's own word.
DONE_BY: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "release tie": ("tie-released",),
    "tie check": ("tie-checked",),
    "rub off": ("rubbed-off",),
    "head back": ("headed-back",),
    "stake": ("staked",),
    "keep one shoot": ("one-leader",),
    "lasting tag": ("lasting-tag",),
    "keep cool": ("moved", "kept-cool"),
    "cover": ("covered",),
    "shade": ("shaded",),
    "harden off": ("moved", "potted-on"),
    "pot on": ("potted-on",),
})  # fmt: skip


@dataclass(frozen=True)
class GraftDates:
    """The days that bear on a graft.

    `season_end`: the end of the season it was made in; `deadline`: the season's end by which it must grow; `spring`:
    the first growing day of the season after it was made; `judge_days`: days until a take may be judged.
    """

    season_end: date
    deadline: date
    spring: date
    judge_days: int

    @property
    def sleeps(self) -> bool:
        """Whether it was made so late that it is to grow in the next season only, as summer buds are."""
        return self.deadline > self.season_end


def started(graft: GraftFacts, rule: Rule) -> date:
    """The day from which a rule counts: for ties the day it was tied, else the day it was made."""
    return _tied_on(graft) if rule.rule in ("tie check", "release tie") else graft.made_on


def look(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """A look, met by any look on or after its day or a few days before."""
    since = _by_days(graft.made_on, rule)
    if since is None:
        return None
    return None if graft.last_look_on is not None and graft.last_look_on >= since - EARLY else since


def tie_check(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Seeing whether the tie bites, at each look or of its own, until it is released."""
    since = _by_days(_tied_on(graft), rule)
    if since is None or _has_no_tie(graft, rule):
        return None
    return _again(since, (done(graft, "tie check"), graft.last_look_on), rule)


def release_tie(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Taking the tie off, once."""
    if _has_no_tie(graft, rule):
        return None
    return _by_days(_tied_on(graft), rule) if rule.after_from is not None else _when_growing(graft)


def rub_off(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Rubbing off the stock's shoots, from its day or from when a bud was forced, and again."""
    if rule.after_from is not None:
        since = _by_days(graft.made_on, rule)
    elif graft.unit == "bud":
        since = forced_on(graft)
    else:
        since = _when_growing(graft)
    return None if since is None else _again(since, (done(graft, "rub off"),), rule)


def check_set(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Seeing whether a bud has set; a look that left it unclear brings it back a week later."""
    since = _by_days(graft.made_on, rule)
    if since is None or graft.state in SET:
        return None
    looked = graft.last_look_on
    return looked + SET_AGAIN if looked is not None and looked >= since - EARLY else since


def judge(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Judging the take, from the method's judging age and for a bud that slept from when it was forced.

    It stays open: a graft looked at and not decided comes back four weeks later, until its growing season is over.
    """
    start = _judged_from(graft, dates)
    if start is None or graft.decided:
        return None
    days = rule.after_from or dates.judge_days
    since = start + timedelta(days=days if rule.basis == "own" else max(days, dates.judge_days))
    looked = graft.last_look_on
    if graft.state == "growing" and graft.state_on is not None and graft.state_on >= since:
        return None
    if looked is None or looked < since:
        return since
    again = looked + JUDGE_AGAIN
    return again if again <= dates.deadline else None


def head_back(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Cutting the stock back: above a bud that slept when the stock swells in the next spring, above one put on in spring
    when it has knit or moves."""
    if done(graft, "head back") is not None or graft.state == "forced":
        return None
    if graft.unit == "bud" and rule.basis != "own":
        if dates.sleeps:
            return spring_move(graft, dates)[0] if rule.after_from is None else None
        days = [day for day in (_by_days(graft.made_on, rule), _when_growing(graft)) if day is not None]
        return min(days) if days and rule.after_from is not None else None
    return _by_days(graft.made_on, rule) if rule.after_from is not None else _when_growing(graft)


def spring_move(graft: GraftFacts, dates: GraftDates) -> tuple[date, bool]:
    """When the stock of a bud that slept moves, and whether that was seen: the day it was noted swelling or further on; two
    weeks after it was noted dormant still; else the first day of spring by the calendar."""
    noted = [(on, order) for on, word in graft.stock_stages if on > dates.season_end for order in (stages.order(word),)]
    moving = [on for on, order in noted if order is not None and _SWELLING <= order < _RESTING]
    if moving:
        return min(moving), True
    still = max((on for on, order in noted if order == 0), default=None)
    later = still is not None and still + DORMANT_AGAIN > dates.spring
    return (still + DORMANT_AGAIN, True) if still is not None and later else (dates.spring, False)


def with_growth(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """What is done once to a shoot that grows: a stake, one leader, a lasting tag."""
    growing = _when_growing(graft)
    if growing is None or done(graft, rule.rule) is not None:
        return None
    by_days = _by_days(graft.made_on, rule)
    return growing if by_days is None else by_days


def once(graft: GraftFacts, rule: Rule, dates: GraftDates) -> date | None:
    """Anything else that is done once, by days from grafting."""
    return None if done(graft, rule.rule) is not None else _by_days(graft.made_on, rule)


def done(graft: GraftFacts, rule: str) -> date | None:
    """The last day on which care that meets a rule was done, None when it was not."""
    if not graft.cares:
        return None
    last = _last_days(graft.cares)
    found = [last[word] for word in _words_for(rule) if word in last]
    return max(found) if found else None


def forced_on(graft: GraftFacts) -> date | None:
    """When a bud was forced: as stated, else by the stock headed back above it, or by the look that says so."""
    if graft.forced_on is not None:
        return graft.forced_on
    return done(graft, "head back") or (graft.state_on if graft.state == "forced" else None)


@lru_cache(maxsize=4096)
def _last_days(cares: tuple[tuple[date, str], ...]) -> Mapping[str, date]:
    """The last day of each word of care; rows of grafts are cared for together, so the same tuples come again."""
    return {_plain(what): on for on, what in sorted(cares)}


@lru_cache(maxsize=256)
def _words_for(rule: str) -> tuple[str, ...]:
    return _plain(rule), *DONE_BY.get(rule, ())


@lru_cache(maxsize=1024)
def _plain(word: str) -> str:
    return word.strip().casefold().replace("_", "-").replace(" ", "-")


def _by_days(start: date, rule: Rule) -> date | None:
    return None if rule.after_from is None else start + timedelta(days=rule.after_from)


def _when_growing(graft: GraftFacts) -> date | None:
    """Since when it is known to grow; None when it was not seen growing."""
    return graft.state_on if graft.state in ("pushing", "growing") else None


def _tied_on(graft: GraftFacts) -> date:
    return graft.made_on if graft.tied_on is None else graft.tied_on


def _has_no_tie(graft: GraftFacts, rule: Rule) -> bool:
    tie = (graft.tie or "").strip().casefold()
    if tie in ("none", "no", "no tie", "-") or (rule.basis != "own" and gives_way(tie)):
        return True
    released = done(graft, "release tie")
    return released is not None and released >= _tied_on(graft)


@lru_cache(maxsize=256)
def gives_way(tie: str) -> bool:
    """Whether a tie is grafting film alone, which stretches and breaks in the sun, so that nobody need release it.

    Film of polyethylene or vinyl binds, as do tape, rubber, string and raffia: common practice.
    """
    words = set(re.findall(r"[a-z]+", tie))
    return "film" in words and words <= _FILM_WORDS


def _again(since: date, met: tuple[date | None, ...], rule: Rule) -> date | None:
    """The day itself, or when met on or about it the next one; None when met and it does not come back."""
    last = max((day for day in met if day is not None), default=None)
    if last is None or (rule.repeat_days is None and last < since - EARLY):
        return since
    return None if rule.repeat_days is None else max(since, last + timedelta(days=rule.repeat_days))


def _judged_from(graft: GraftFacts, dates: GraftDates) -> date | None:
    if graft.unit != "bud":
        return graft.made_on
    forced = forced_on(graft)
    return forced if forced is not None or dates.sleeps else graft.made_on + SPRING_SET


CareFunction = Callable[[GraftFacts, Rule, GraftDates], "date | None"]

RULES: Mapping[str, CareFunction] = MappingProxyType({
    "look": look,
    "tie check": tie_check,
    "release tie": release_tie,
    "rub off": rub_off,
    "check set": check_set,
    "judge": judge,
    "head back": head_back,
    "stake": with_growth,
    "keep one shoot": with_growth,
    "lasting tag": with_growth,
    "keep cool": once,
    "cover": once,
    "shade": once,
    "harden off": with_growth,
    "pot on": with_growth,
})  # fmt: skip
