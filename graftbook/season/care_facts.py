"""What must be known of a graft to say what it wants next, and how that is answered: plain facts in, plain items out.

None always means "not known".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

# What shows that a bud has healed in or gone on from there.
SET = frozenset({"set", "forced", "pushing", "growing"})


@dataclass(frozen=True)
class GraftFacts:
    """A graft as aftercare sees it: one that lives and is here. What ended or left wants nothing, and is not asked about.

    `unit` is `graft` or `bud`; `state` what was last seen, on `state_on`; `last_look_on` the last look of any kind; `cares`
    what was done, as (day, word) in any order. `tied_on` None means tied when made; `tie` the kind of tie. `bench` is True
    for a graft made at the bench, False in the field. `forced_on` is when a bud was forced, None when it was not noted, or
    only the care done shows it. `decided` is True once its take is decided, whatever the last state. `wood` is `dormant` or
    `summer`; `shoots` the lengths in mm its shoot was measured at, as (day, length), oldest first; `stock_stages` the growth
    stages noted of the stock it stands on, as (day, stage), in any order.
    """

    code: str
    method: str
    unit: str
    made_on: date
    tie: str | None = None
    tied_on: date | None = None
    state: str | None = None
    state_on: date | None = None
    last_look_on: date | None = None
    cares: tuple[tuple[date, str], ...] = ()
    place: str | None = None
    bench: bool | None = None
    taxon: str | None = None
    forced_on: date | None = None
    decided: bool = False
    wood: str | None = None
    shoots: tuple[tuple[date, float], ...] = ()
    stock_stages: tuple[tuple[date, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Due:
    """One thing a graft wants.

    `what` is the rule's word (look, rub off, tie check, release tie, judge ...) or `forgotten`; `since` the day it fell
    or falls due; `until` the last day of the time given for it, None when there is no such day; `why` a sentence;
    `basis` and `source` those of the rule; `driven_by` what made it due: `calendar`, `warmth` or `growth`.
    """

    code: str
    what: str
    since: date
    until: date | None
    why: str
    basis: str
    source: str
    driven_by: str = "calendar"


@dataclass(frozen=True, slots=True)
class WarmthReached:
    """Whether a graft has had its warmth: `on` is the day it had, None while it has not. Where the warmth of the days
    since it was made is not known, there is no `WarmthReached` at all."""

    on: date | None


WarmthOf = Callable[[GraftFacts, float, float], WarmthReached | None]
"""When a graft has had so many degree-days in C (third) above a base in C (second) since it was made; None: not known."""
