"""What the review of a season found, before it is put into words or drawn."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.actions.review.course_facts import Courses
from graftbook.actions.review.curve_facts import Curves


@dataclass(frozen=True)
class ReviewFindings:
    """Everything the review is written from: rates by kind and by method, those of earlier seasons, the courses of all and
    kind by kind, the curves over date and over the age of the wood, and what comparing the two commonest methods says."""

    name: str
    season: str
    as_of: date
    level: float
    kinds: tuple[Any, ...]
    methods: tuple[Any, ...]
    earlier: tuple[Any, ...]
    whole: Courses
    courses: Courses
    by_date: Curves
    by_age: Curves
    compared: str | None
    compared_methods: tuple[str, ...]

    @property
    def dated(self) -> str:
        """`as of 2027-11-30, grafts made in the season 2026-27`."""
        return f"as of {self.as_of.isoformat()}, grafts made in the season {self.season}"
