"""What must be known of a graft to say what it wants next, and how that is answered: plain facts in, plain items out.

None always means "not known".
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

# What a look may say that ends all aftercare: there is nothing left to care for.
ENDED = frozenset({"dead", "not-set"})
# What shows that a bud has healed in or gone on from there.
SET = frozenset({"set", "forced", "pushing", "growing"})


@dataclass(frozen=True)
class GraftFacts:
    """A graft as aftercare sees it.

    `unit` is `graft` or `bud`; `state` what was last seen, on `state_on`; `last_look_on` the last look of any kind;
    `cares` what was done, as (day, word) in any order. `tied_on` None means tied when made; `tie` the kind of tie.
    `bench` is True for a graft made at the bench, False in the field. `forced_on` is when a bud was forced, None when
    it was not or only the cares tell. `decided` is True once its take is decided, whatever the last state.
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


@dataclass(frozen=True, slots=True)
class Due:
    """One thing a graft wants.

    `what` is the rule's word (look, rub off, tie check, release tie, judge ...) or `forgotten`; `since` the day it fell
    or falls due; `until` the last day of the time given for it, None when there is no such day; `why` a sentence;
    `basis` and `source` those of the rule.
    """

    code: str
    what: str
    since: date
    until: date | None
    why: str
    basis: str
    source: str
