"""What became of a graft, beyond the endpoint asked about: false takes, late takes, and what losses were put down to.

- A false take moved, on stored sap alone, and then died without ever having taken.
- A late take showed nothing at its first look, or was called dead, and took afterwards.
- A loss is a graft last seen dead (or a bud not set), whenever that was; what was to blame is what was said of the union then.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from graftbook.actions.endpoints import MOVED, RULES, Frame, blame, ending, took
from graftbook.book.seen import Seen

NOTHING_YET = frozenset({"no-movement", "shrivelled", "dead"})
BLAMES = ("union", "not_union", "unsure")
_BLAMED = {"yes": "union", "no": "not_union"}


class Fate(NamedTuple):
    """`outcome`: one of endpoints.OUTCOMES. `loss`: what a loss was put down to, one of BLAMES (None: not lost); where
    nothing was said it is unsure, and `said_unsure` when that was said of the last look."""

    outcome: str
    false_take: bool = False
    late_take: bool = False
    loss: str | None = None
    said_unsure: bool = False


def fate(looks: Sequence[Seen], days: Frame, endpoint: str, home: bool) -> Fate:
    """What became of one graft by its looks; `home` when it left the place and was not looked at since."""
    outcome = RULES[endpoint][0](looks, days)
    if outcome == "waiting" and home:
        outcome = "unknown"
    if not looks:
        return Fate(outcome)
    took_it = (outcome if endpoint == "took" else took(looks, days)) == "yes"
    said = blame(looks)
    gone = ending(looks) in ("failed", "lost")
    return Fate(
        outcome,
        gone and not took_it and any(look[1] in MOVED for look in looks),
        took_it and looks[0][1] in NOTHING_YET,
        _BLAMED.get(said or "", "unsure") if gone else None,
        said == "unsure",
    )
