"""Grafts with their looks, those that are alike counted together: for reports that ask more than one thing of each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import Any

from sqlmodel import Session

from graftbook.actions import judging
from graftbook.actions.endpoints import RULES, Frame
from graftbook.book import seen
from graftbook.book.seen import Seen


@dataclass(frozen=True, slots=True)
class Followed:
    """Grafts with one story: `graft` or `bud`, their looks in order, the days they are judged by, whether they went home
    unreported, and how many they are."""

    unit: str
    looks: Sequence[Seen]
    frame: Frame
    home: bool = False
    times: int = 1

    def outcome(self, endpoint: str) -> str:
        """What became of them: one of graftbook.actions.endpoints.OUTCOMES."""
        found = RULES[endpoint][0](self.looks, self.frame)
        return "unknown" if found == "waiting" and self.home else found


def each(session: Session, asked: judging.Question, names: Sequence[str]) -> Iterator[tuple[tuple[Any, ...], Followed]]:
    """Every graft the question is about, those alike together: the values of the factors named and the unit, then what there
    is to follow."""
    stories, home = seen.stories(session, asked.as_of), seen.gone_home(session, asked.as_of)
    held: Counter[tuple[Any, ...]] = Counter()
    for columns in judging.about(session, asked, names, asked.span):
        groups = [judging.said(columns, name) for name in names]
        gone = map(home.__contains__, columns["id"]) if home else repeat(False)
        told = map(stories.get, columns["id"])
        held.update(zip(*groups, columns["unit"], columns["made_on"], columns["method"], told, gone, strict=False))
    for (*group, unit, made_on, method, story, gone), times in held.items():
        frame = judging.frame(made_on, judging.judge_days(method), asked.hemisphere, asked.as_of)
        yield (*group, unit), Followed(unit, seen.read_story(story), frame, gone, times)
