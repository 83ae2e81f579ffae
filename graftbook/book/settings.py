"""The settings of a book: what was stated about the book itself."""

from __future__ import annotations

from dataclasses import dataclass, fields
from zoneinfo import available_timezones

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.tables import Setting
from graftbook.book.unit import Unit
from graftbook.errors import UsageProblem

CHOICES = {
    "units": ("mm", "in"),
    "temperature": ("C", "F"),
    "dates": ("iso", "day-first", "month-first"),
    "hemisphere": ("north", "south"),
}


@dataclass(frozen=True)
class Settings:
    """The book's settings. `dates` is `iso` until the person says which way round they write them; `time_zone`,
    `who` and `site` (the address before codes on tags) may be empty, meaning this computer's own zone and nobody in particular."""

    name: str = "Graftbook"
    units: str = "mm"
    temperature: str = "C"
    dates: str = "iso"
    hemisphere: str = "north"
    time_zone: str = ""
    who: str = ""
    site: str = ""

    @property
    def date_order(self) -> str | None:
        """`day-first`, `month-first`, or None when neither was stated."""
        return None if self.dates == "iso" else self.dates


def load(session: Session) -> Settings:
    """The settings as the book holds them, defaults where it holds none."""
    known = {field.name for field in fields(Settings)}
    held = {row.key: row.value for row in session.execute(select(Setting)).scalars()}
    return Settings(**{key: value for key, value in held.items() if key in known})


def check(key: str, value: str) -> str:
    """The value as it will be kept. Raises UsageProblem for an unknown setting or a value it cannot have."""
    names = [field.name for field in fields(Settings)]
    if key not in names:
        raise UsageProblem(f"a setting is one of {', '.join(names)}", repr(key))
    if key in CHOICES:
        for choice in CHOICES[key]:
            if value.lower() == choice.lower():
                return choice
        raise UsageProblem(f"{key} is one of {', '.join(CHOICES[key])}", repr(value))
    if key == "time_zone" and value and value not in available_timezones():
        raise UsageProblem("a time zone by its usual name, such as Europe/Dublin or America/New_York", repr(value))
    if key == "site" and value.strip() and not value.strip().lower().startswith(("http://", "https://")):
        raise UsageProblem("an address such as https://tag.example/t/, or nothing", repr(value))
    return value.strip()[:400]


def save(unit: Unit, values: dict[str, str]) -> None:
    """Write settings; the caller commits. Raises as check."""
    held = {row.key: row for row in unit.session.execute(select(Setting)).scalars()}
    for key, value in values.items():
        if key in held:
            unit.amend(held[key], value=check(key, value))
        else:
            unit.add(Setting, key=key, value=check(key, value))
