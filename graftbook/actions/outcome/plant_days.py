"""Days on which something may be said of a plant: after it came, and while it lived."""

from __future__ import annotations

from datetime import date

from graftbook.book.plants import Plant
from graftbook.errors import Refused


def alive_on(plant: Plant, day: date, what: str, came: date | None = None) -> None:
    """Refuse a day before the plant came (`came` overrides its own day) or after it died."""
    after_it_came(what, day, came if came is not None else plant.acquired_on, plant.code)
    if plant.died_on is not None and (day > plant.died_on or what == "death"):
        died = f"{plant.code} died on {plant.died_on.isoformat()}"
        if what == "death":
            raise Refused(f"{died} already", "", f"See its story: graftbook tree show {plant.code}")
        raise Refused(f"{died}, before the day given for {what}, {day.isoformat()}", "", "Give the right day with --on")


def after_it_came(what: str, day: date, came: date | None, name: str) -> None:
    """Refuse a day before a thing came; None for a day not known."""
    if came is not None and day < came:
        raise Refused(
            f"{name} came on {came.isoformat()}, after the day given for {what}, {day.isoformat()}",
            next_step="Give the right day with --on, or mend it: graftbook tree amend CODE --acquired DATE",
        )
