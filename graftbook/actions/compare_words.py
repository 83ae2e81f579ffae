"""What is to be compared, as typed: `method=cleft,whip-and-tongue`, or `on<2027-04-20`."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from graftbook.actions import factors, naming
from graftbook.actions.desk import Desk
from graftbook.errors import UsageProblem

EXAMPLES = "method=cleft,whip-and-tongue, or on<2027-04-20"
_DAY = re.compile(r"on\s*([<>]=?)\s*([^=].*)$")


@dataclass(frozen=True)
class Asked:
    """A comparison: the factor read, the sides by name, and which side a value of the factor belongs to (None: neither)."""

    factor: str
    sides: tuple[str, ...]
    side_of: Callable[[Any], str | None]


def read(desk: Desk, text: str) -> Asked:
    """The comparison meant. Raises UsageProblem for anything else than two or more values of a known factor, or a day."""
    match = _DAY.match(text.strip())
    if match is not None:
        day = desk.day(match[2], future=True).isoformat()
        with_the_day = match[1] in ("<=", ">")
        early, late = (f"to {day}", f"after {day}") if with_the_day else (f"before {day}", f"from {day}")
        sides = (early, late) if match[1].startswith("<") else (late, early)
        return Asked("on", sides, lambda value: early if value < day or (with_the_day and value == day) else late)
    name, found, values = text.partition("=")
    if not found:
        raise UsageProblem(f"what to compare, such as {EXAMPLES}", repr(text))
    (factor,) = factors.check([name]) or ("",)
    if not factor:
        raise UsageProblem(f"a factor before the =, such as {EXAMPLES}", repr(text))
    known: dict[str, str] = {}
    for value in values.split(","):
        if value.strip():
            side = _value(desk, factor, value)
            known.setdefault(naming.key(side), side)
    if len(known) < 2:
        raise UsageProblem("two or more values to compare", repr(values), f"Such as {EXAMPLES}")
    side_of = lru_cache(lambda value: None if value is None else known.get(naming.key(str(value))))
    return Asked(factor, tuple(known.values()), side_of)


def _value(desk: Desk, factor: str, text: str) -> str:
    """A value as the book spells it, where the tables know it."""
    if factor == "on":
        return desk.day(text, future=True).isoformat()
    if factor == "method":
        from graftbook.trade import methods

        found = methods.find(text)
        return found.method if found is not None else text.strip()
    if factor == "species":
        return factors.common_name(naming.taxon(text).kept) or text.strip()
    return text.strip()
