"""Days on which something may be said of a plant: after it came, and while it lived."""

from __future__ import annotations

from datetime import date

from graftbook.book.grafts import Graft
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


def why_absent(row: Plant | Graft, day: date, last_day: bool = True) -> str | None:
    """Why a plant or graft was not there on a day: not made or not come yet, or dead; None where it was. On the day of its
    death a plant was still there with `last_day`. How a graft ended is no matter here."""
    if isinstance(row, Graft):
        return f"made on {row.made_on.isoformat()}" if row.made_on > day else None
    if row.died_on is not None and (row.died_on < day or (row.died_on == day and not last_day)):
        return f"dead since {row.died_on.isoformat()}"
    later = row.acquired_on is not None and row.acquired_on > day
    return f"which came on {row.acquired_on.isoformat()}" if later and row.acquired_on is not None else None


def after_it_came(what: str, day: date, came: date | None, name: str) -> None:
    """Refuse a day before a thing came; None for a day not known."""
    if came is not None and day < came:
        raise Refused(
            f"{name} came on {came.isoformat()}, after the day given for {what}, {day.isoformat()}",
            next_step="Give the right day with --on, or mend it: graftbook tree amend CODE --acquired DATE",
        )
