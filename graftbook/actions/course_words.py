"""What the courses of grafts say, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from graftbook.stats.survival import Course

if TYPE_CHECKING:
    from graftbook.actions.coursing import Courses

FEW = 5
_HAD = {"push": "had pushed", "growth": "were lengthening", "loss": "were lost"}
_SEEN = {"push": "pushing", "growth": "lengthening", "loss": "gone"}


def moment(name: str, event: str, curve: Course) -> str | None:
    """`apple: half had pushed between day 28 and day 41 after grafting (seen pushing: 61 of 80).`; None for too few."""
    if curve.n < FEW or not curve.steps:
        return None
    seen = f"seen {_SEEN[event]}: {curve.k} of {curve.n}"
    half = curve.when(0.5)
    if half is None:
        last = curve.steps[-1]
        return (f"{name}: fewer than half {_HAD[event]} by day {last.time:.0f} after grafting ({last.happened * 100:.0f} %; "
                f"{seen}).")  # fmt: skip
    since, by = half
    when = f"by day {by:.0f}" if since >= by else f"between day {since:.0f} and day {by:.0f}"
    return f"{name}: half {_HAD[event]} {when} after grafting ({seen})."


def time_notes(found: Courses, event: str, curves: Mapping[tuple[Any, ...], Course]) -> Iterator[str]:
    """When half of each kind had come so far, and how the curve was reckoned."""
    from graftbook.actions.coursing import name_of

    for key, curve in curves.items():
        said = moment(name_of(key), event, curve)
        if said is not None:
            yield said
    methods = {curve.method for curve in curves.values() if curve.steps}
    if "turnbull" in methods:
        yield ("Looks were more than a week apart, so it is known only between which two it happened: the shares are those that "
               "make what was seen likeliest (Turnbull).")  # fmt: skip
    if "kaplan-meier" in methods:
        yield "Where looks were no more than a week apart, the day of the look stands for the day (Kaplan-Meier)."
    if methods:
        never = (
            ""
            if event == "loss"
            else " What died, of whatever cause, or never grew stays among those of whom it is taken."
        )
        yield (
            "The share is of all that were looked at; what is not decided or not found counts up to its last look alive."
            f"{never}"
        )
