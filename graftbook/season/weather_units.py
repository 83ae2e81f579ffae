"""Units in which weather files write temperatures, and what the air can be."""

from __future__ import annotations

from graftbook.errors import UsageProblem

UNITS = ("C", "F", "tenths", "tenths-F")
"""Degrees Celsius, degrees Fahrenheit, and tenths of either."""
COLDEST_C, HOTTEST_C = -90.0, 60.0
"""What the air near the ground has ever been, with room to spare (World Meteorological Organization: -89.2 and 56.7 C)."""
_NAMES = (
    ("c", "C"), ("celsius", "C"), ("f", "F"), ("fahrenheit", "F"), ("tenths", "tenths"), ("tenths-c", "tenths"),
    ("tenths-f", "tenths-F"),
)  # fmt: skip


def celsius(value: float, unit: str) -> float:
    """A value in one of UNITS as C, to a hundredth of a degree."""
    if unit.startswith("tenths"):
        value /= 10
    return round((value - 32) / 1.8 if unit.endswith("F") else value, 2)


def read_unit(text: str) -> str:
    """The unit meant. Raises UsageProblem naming those there are."""
    plain = text.strip().casefold().replace("_", "-").lstrip("°")
    found = dict(_NAMES).get(plain)
    if found is None:
        raise UsageProblem(f"a unit of temperature: {', '.join(UNITS)} (tenths are tenths of a degree C)", repr(text))
    return found
