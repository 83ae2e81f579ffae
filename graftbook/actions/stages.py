"""The stages of a graft's course, and how many were lost between each and the next.

made, set (buds only), moved, took, standing at leaf fall, established. Each stage counts only those that reached the one
before: k reached it, n are those of whom that is known, and what lies between is lost, by whose fault where it was said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from graftbook.actions.endpoints import Frame, standing
from graftbook.actions.outcomes import Followed
from graftbook.book.seen import Seen

STAGES = ("made", "set", "moved", "took", "standing at leaf fall", "established")
_GONE = frozenset({"dead", "not-set"})
_NOT_SEEN_ALIVE = frozenset({*_GONE, "not-found"})


@dataclass
class Tally:
    """One stage of one kind: how many reached it, were lost before it (by fault), and are not known."""

    reached: int = 0
    union: int = 0
    not_union: int = 0
    unsure: int = 0
    not_known: int = 0

    @property
    def lost(self) -> int:
        """All that were lost before the stage."""
        return self.union + self.not_union + self.unsure

    @property
    def known(self) -> int:
        """All of whom it is known whether they reached it."""
        return self.reached + self.lost


def standing_at_leaf_fall(graft: Followed) -> str:
    """Whether it was alive at the end of its first growing season: one of graftbook.actions.endpoints.OUTCOMES.

    Alive at any look after leaf fall, it was; else by its looks up to then. Nothing is said before leaf fall of one that
    lives.
    """
    frame = graft.frame
    if any(look[0] > frame.season_end and look[1] not in _NOT_SEEN_ALIVE for look in graft.looks):
        return "yes"
    before = [look for look in graft.looks if look[0] <= frame.season_end]
    found = standing(before, Frame(frame.made_on, frame.judge_from, frame.season_end, frame.season_end))
    if found == "yes" and frame.as_of < frame.season_end:
        found = "waiting"
    return "unknown" if found == "waiting" and graft.home else found


def passed(graft: Followed) -> Iterator[tuple[str, str]]:
    """Each stage after the first that its outcome is asked of, up to the first it did not reach."""
    for stage in STAGES[1:]:
        if stage == "set" and graft.unit != "bud":
            continue
        found = standing_at_leaf_fall(graft) if stage == STAGES[4] else graft.outcome(stage)
        yield stage, found
        if found != "yes":
            return


def blame(looks: tuple[Seen, ...] | list[Seen]) -> str:
    """`union`, `not_union` or `unsure`: what the last look that found it gone said; unsure where nothing was said."""
    for look in reversed(looks):
        if look[1] in _GONE:
            return {"yes": "union", "no": "not_union"}.get(look[2], "unsure")
    return "unsure"


def count_into(tallies: dict[str, Tally], graft: Followed) -> None:
    """Add grafts with one story to the tallies of their kind, stage by stage."""
    tallies.setdefault("made", Tally()).reached += graft.times
    for stage, found in passed(graft):
        tally = tallies.setdefault(stage, Tally())
        if found == "yes":
            tally.reached += graft.times
        elif found in ("failed", "lost"):
            fault = blame(graft.looks)
            setattr(tally, fault, getattr(tally, fault) + graft.times)
        else:
            tally.not_known += graft.times
