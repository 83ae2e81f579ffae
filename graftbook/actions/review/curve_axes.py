"""What a curve can be drawn over: each axis, where it is read from, and how its values are written.

To add one is a row in AXES: its words, the columns of a graft it reads (names of graftbook.book.columns), and a function
that is given the session and the desk once and hands back what reads a number off those columns for one graft, None where
it is not recorded. A factor of take that has a measure is read as that factor is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.takes.factors import FACTORS
from graftbook.actions.takes.timing import day_number, season_start
from graftbook.errors import UsageProblem

Read = Callable[..., float | None]

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")  # fmt: skip


@dataclass(frozen=True)
class Axis:
    """Something a chance may change with.

    `word` is what sentences call it; `unit` follows a number, empty for days of the year; `field` is its name in JSON and
    CSV; `steps` are the widths its table may be cut into. `of_the_day` says that all grafts of a day share their value, or
    nearly, so that variation between days widens the range.
    """

    name: str
    word: str
    unit: str
    field: str
    columns: tuple[str, ...]
    reader: Callable[[Session, Desk], Read]
    steps: tuple[float, ...]
    of_the_day: bool

    @property
    def dated(self) -> bool:
        """Whether values are days of the season, to be written as dates."""
        return not self.unit


def _day_reader(_session: Session, desk: Desk) -> Read:
    hemisphere = desk.settings.hemisphere
    return lambda made_on: float(day_number(made_on, hemisphere))


def _measured(factor: str) -> tuple[tuple[str, ...], Callable[[Session, Desk], Read]]:
    """The columns and the reader of a factor of take that has a measure."""
    found = FACTORS[factor]
    if found.measure is None:
        raise ValueError(f"{factor} has no measure")
    measure = found.measure.of
    return found.columns, lambda _session, _desk: lambda *values: _number(measure(*values))


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


_TEN = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)

AXES: tuple[Axis, ...] = (
    Axis("date", "date", "", "date", ("made_on",), _day_reader, (7, 14, 28, 56), True),
    Axis("wood-age", "age of the wood", "days", "wood_age_days", *_measured("wood-age"), _TEN, True),
    Axis("days-from-green-tip", "days from green tip", "days", "days_from_green_tip", *_measured("days-from-green-tip"), _TEN,
         True),
    Axis("warmth", "warmth of the first fourteen days", "C-days", "warmth_c_days", *_measured("warmth"), _TEN, True),
    Axis("diameter", "diameter of the stock", "mm", "stock_diameter_mm", *_measured("stock-diameter"), _TEN, False),
    Axis("scion-diameter", "diameter of the scion", "mm", "scion_diameter_mm", *_measured("scion-diameter"), (0.5, *_TEN), False),
)  # fmt: skip


def axis_named(name: str) -> Axis:
    """The axis by its name. Raises UsageProblem naming those there are."""
    wanted = name.strip().lower().replace("_", "-")
    found = next((axis for axis in AXES if axis.name == wanted), None)
    if found is None:
        raise UsageProblem(f"what to draw over, one of {', '.join(axis.name for axis in AXES)}", repr(name))
    return found


def day_of(number: float, hemisphere: str) -> date:
    """The day of a year without 29 February that is so many days into the season."""
    return season_start(hemisphere) + timedelta(days=round(number))


def stored(axis: Axis, x: float, hemisphere: str) -> Any:
    """A value as JSON and CSV hold it: `03-28` for a day of the season, else a number in the axis's unit."""
    return f"{day_of(x, hemisphere):%m-%d}" if axis.dated else round(x, 4)


def shown(axis: Axis, x: float, hemisphere: str) -> str:
    """A value as sentences show it: `28 March`, `63 days`, `8.5 mm`."""
    if axis.dated:
        on = day_of(x, hemisphere)
        return f"{on.day} {MONTHS[on.month - 1]}"
    return f"{x:.0f} {axis.unit}" if axis.unit == "days" else f"{x:.1f} {axis.unit}".replace(".0 ", " ")


def step_for(axis: Axis, width: float, most: int = 9) -> float:
    """The narrowest step of the axis that cuts so wide a range into no more than `most` pieces."""
    return next((step for step in axis.steps if width / step <= most), axis.steps[-1])


def cuts(axis: Axis, values: Sequence[float]) -> list[tuple[float, float]]:
    """The pieces, from (included) to (not included), that the table is cut into."""
    low, high = min(values), max(values)
    step = step_for(axis, high - low)
    first = low if axis.dated else low // step * step
    pieces = [(first, first + step)]
    while pieces[-1][1] <= high:
        pieces.append((pieces[-1][1], pieces[-1][1] + step))
    return pieces
