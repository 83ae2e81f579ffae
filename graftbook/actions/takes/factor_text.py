"""The values of the factors of take: what is recorded of a graft, put into the words and classes that people group it by.

Classes of thickness and age are a rule of this book, no source: two millimetres (an eighth of an inch), thirty days, fifty
C-days.
"""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache
from typing import Any

from graftbook.season import phenology
from graftbook.trade.taxa import common_name
from graftbook.units import show_range

AGE_DAYS = 30
CLASS_MM = 2.0
CLASS_IN = 25.4 / 8
SHARE_CLASSES = (0.5, 0.7, 0.9)
CLASS_C_DAYS = 50
WIDEST_GRADE_MM = 3.0
"""A grade no wider than this stands for a thickness that was not measured at the union: its middle."""

_THINNER = ((0.9, "alike within 10%"), (0.75, "scion thinner by 10-25%"), (0.5, "scion thinner by 25-50%"),
            (0.0, "scion thinner by over 50%"))  # fmt: skip

_PARTS = re.compile(r"[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+|[^0-9]+")


@lru_cache(maxsize=4096)
def species(taxon: str | None, host_taxon: str | None) -> str | None:
    """The kind grafted; that of the host where the wood was not recorded."""
    return common_name(taxon if taxon is not None else host_taxon)


@lru_cache(maxsize=4096)
def week(made_on: date) -> str:
    """ISO week, such as 2027-W14."""
    year, number, _ = made_on.isocalendar()
    return f"{year}-W{number:02}"


@lru_cache(maxsize=4096)
def half_month(made_on: date) -> str:
    """`2027-04-01` for the first to the fifteenth, `2027-04-16` for the rest: the half's first day."""
    return made_on.replace(day=1 if made_on.day <= 15 else 16).isoformat()


@lru_cache(maxsize=4096)
def month(made_on: date) -> str:
    """Year and month, such as 2027-04."""
    return f"{made_on.year}-{made_on.month:02}"


@lru_cache(maxsize=4096)
def stock(clone: str | None, host_taxon: str | None) -> str | None:
    """The clone of the stock, else its kind; None when neither is known."""
    return clone if clone is not None else common_name(host_taxon)


def bench_or_field(bench: bool | None) -> str | None:
    """`bench`, `field`, or None when it was not stated."""
    return None if bench is None else "bench" if bench else "field"


def as_recorded(value: Any) -> Any:
    """The value as it stands."""
    return value


def first_recorded(*values: Any) -> Any:
    """The first that is recorded; None where none is."""
    return next((value for value in values if value is not None), None)


def film(tie: str | None, seal: str | None) -> str | None:
    """`film` where tie or seal names it, else `no film`; None where neither was recorded."""
    return _named("film", tie, seal)


def wax(tie: str | None, seal: str | None) -> str | None:
    """`wax` where tie or seal names it, else `no wax`; None where neither was recorded."""
    return _named("wax", tie, seal)


@lru_cache(maxsize=4096)
def _named(what: str, *recorded: str | None) -> str | None:
    said = [text.casefold() for text in recorded if text is not None]
    if not said:
        return None
    return what if any(what in re.findall(r"[a-z]+", text) for text in said) else f"no {what}"


def number(value: int | None) -> str | None:
    """A count as text."""
    return None if value is None else str(value)


def days_kept(cut_on: date | None, made_on: date) -> int | None:
    """Days from cutting the wood to grafting it; None when the day of cutting is not known, or later."""
    return None if cut_on is None or cut_on > made_on else (made_on - cut_on).days


@lru_cache(maxsize=65_536)
def wood_age(cut_on: date | None, made_on: date) -> str | None:
    """The age of the wood in classes of thirty days: `60-89 days`."""
    days = days_kept(cut_on, made_on)
    return None if days is None else f"{days // AGE_DAYS * AGE_DAYS}-{days // AGE_DAYS * AGE_DAYS + AGE_DAYS - 1} days"


def thickness(mm: float | None, low: float | None, high: float | None) -> float | None:
    """What was measured, else the middle of a narrow grade, in mm."""
    if mm is not None:
        return mm
    return None if low is None or high is None or high - low > WIDEST_GRADE_MM else (low + high) / 2


def stock_thickness(mm: float | None, plant_mm: float | None, low: float | None, high: float | None) -> float | None:
    """The stock at the union where it was measured there, else its calliper, else the middle of a narrow grade, in mm."""
    return mm if mm is not None else thickness(plant_mm, low, high)


@lru_cache(maxsize=4096)
def _diameter_class(mm: float | None, units: str) -> str | None:
    """`6-8 mm`: from six to under eight."""
    if mm is None:
        return None
    step = CLASS_IN if units == "in" else CLASS_MM
    low = int(mm / step + 1e-9) * step
    return show_range(low, low + step, units)


def scion_class(mm: float | None, low: float | None, high: float | None, units: str) -> str | None:
    """The scion's class of thickness: at the union, else by its bundle's grade where that is narrow."""
    return _diameter_class(thickness(mm, low, high), units)


def stock_class(
    mm: float | None, plant_mm: float | None, low: float | None, high: float | None, units: str
) -> str | None:
    """The stock's class of thickness: at the union, else by calliper, else by a narrow grade."""
    return _diameter_class(stock_thickness(mm, plant_mm, low, high), units)


@lru_cache(maxsize=65_536)
def mismatch(
    mm: float | None, low: float | None, high: float | None,
    stock_mm: float | None, plant_mm: float | None, grade_low: float | None, grade_high: float | None,
) -> str | None:  # fmt: skip
    """How much thinner or thicker the scion was than the stock, in classes; a rule of this book."""
    scion, under = thickness(mm, low, high), stock_thickness(stock_mm, plant_mm, grade_low, grade_high)
    if scion is None or under is None or under <= 0:
        return None
    ratio = scion / under
    if ratio > 1.1:
        return "scion thicker by over 10%"
    return next(words for least, words in _THINNER if ratio >= least)


@lru_cache(maxsize=65_536)
def sort_key(value: str | None) -> tuple[tuple[int, float, str], ...]:
    """The sort key of a value of a factor: numbers in them by size, fractions too; what was not recorded first."""
    if value is None:
        return ()
    text = str(value)
    found = tuple(_ranked(part) for part in _PARTS.findall(text))
    below = text.startswith("-") and len(found) > 1 and found[0][2] == "-" and not found[1][0]
    return ((0, -found[1][1], ""), *found[2:]) if below else found


def _ranked(part: str) -> tuple[int, float, str]:
    if part[0] not in "0123456789":
        return 1, 0.0, part.casefold()
    whole, _, share = part.rpartition(" ")
    top, _, bottom = share.partition("/")
    return 0, (int(whole) if whole else 0) + int(top) / (int(bottom or 1) or 1), ""


def green_tip_week(days: int | None) -> str | None:
    """The week from green tip: `0 to 6`, `-7 to -1`; None where no green tip was noted."""
    return None if days is None else phenology.band(days)


def share_class(share: float | None) -> str | None:
    """What the joint can meet, in classes: `0-0.5`, `0.5-0.7`, `0.7-0.9`, `0.9-1`."""
    if share is None:
        return None
    low = max(bound for bound in (0, *SHARE_CLASSES) if bound <= share)
    return f"{low}-{next((bound for bound in SHARE_CLASSES if bound > low), 1)}"


def warmth_class(degree_days: float | None) -> str | None:
    """A sum in the class of fifty it lies in, such as `50-100 C-days`; None stays None."""
    if degree_days is None:
        return None
    low = int(degree_days // CLASS_C_DAYS) * CLASS_C_DAYS
    return f"{low}-{low + CLASS_C_DAYS} C-days"
