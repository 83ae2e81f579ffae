"""What is to be compared, as typed: `method=cleft,whip-and-tongue`, `on<2027-04-20`, or `wood-age<60`."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from math import inf
from typing import Any

from graftbook import units
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.takes import factors
from graftbook.errors import UsageProblem
from graftbook.trade import taxa

EXAMPLES = "method=cleft,whip-and-tongue, or on<2027-04-20"

_CUT = re.compile(r"([\w-]+)\s*([<>]=?)\s*([^=<>].*)$")

_WHOLE, _COMPUTED = r"(\d{1,5})\s*(?:d|days?|buds?)?$", r"(-?\d{1,5}(?:\.\d+)?)\s*(?:c-days|days?)?$"

_NUMBERS = {
    "days": (_WHOLE, 0, 99_999, "a whole number of days, such as 60", " days"),
    "count": (_WHOLE, 0, 99_999, "a whole number, such as 2", " buds"),
    "c-days": (_COMPUTED, 0, 10_000, "a number of C-days, such as 120", " C-days"),
    "share": (_COMPUTED, 0, 1, "a share from 0 to 1, such as 0.7", ""),
    "signed days": (_COMPUTED, -400, 400, "days from green tip, such as -7 or 14", " days"),
}
"""How a bound is typed by the kind of its measure: pattern, lowest, highest, what is expected, and the unit shown after it."""


@dataclass(frozen=True)
class Comparison:
    """A comparison: the factor read, the sides by name, and which side a value belongs to (None: neither). `cut` says how a
    graft is measured where the sides are two ends of one measure, and `bound` the day they part at where that is a day."""

    factor: str
    sides: tuple[str, ...]
    side_of: Callable[[Any], str | None]
    cut: Callable[..., Any] | None = None
    bound: date | None = None

    @property
    def both_units(self) -> bool:
        """Whether buds are compared with grafts, by the names of their methods: then they are not kept apart."""
        from graftbook.trade import methods

        found = [methods.find(side) for side in self.sides] if self.factor == "method" else []
        return len({method.unit for method in found if method is not None}) > 1


def read(desk: Desk, text: str) -> Comparison:
    """The comparison meant. Raises UsageProblem for anything else than two or more values of a known factor, or a bound of
    one that has a measure."""
    match = _CUT.match(text.strip())
    if match is not None:
        return _cut(desk, *match.groups())
    name, found, values = text.partition("=")
    if not found:
        raise UsageProblem(f"what to compare, such as {EXAMPLES}", repr(text))
    factor = _factor(name)
    known: dict[str, str] = {}
    for value in values.split(","):
        if value.strip():
            side = _value(desk, factor, value)
            known.setdefault(naming.key(side), side)
    if len(known) < 2:
        raise UsageProblem("two or more values to compare", repr(values), f"Such as {EXAMPLES}")
    side_of = lru_cache(lambda value: None if value is None else known.get(naming.key(str(value))))
    return Comparison(factor, tuple(known.values()), side_of)


def _factor(name: str) -> str:
    (factor,) = factors.check([name]) or ("",)
    if not factor:
        raise UsageProblem(f"a factor before the =, such as {EXAMPLES}", repr(name))
    return factor


def _cut(desk: Desk, name: str, sign: str, text: str) -> Comparison:
    """Two ends of one measure."""
    factor = _factor(name)
    measure = factors.FACTORS[factor].measure
    if measure is None:
        able = ", ".join(known for known, held in factors.FACTORS.items() if held.measure is not None)
        raise UsageProblem(f"a factor that can be cut in two: {able}", repr(name), f"Or values, such as {EXAMPLES}")
    bound, shown = _bound(desk, measure.kind, text)
    with_it = sign in ("<=", ">")
    words = ("to {}", "after {}") if with_it else ("before {}", "from {}")
    if measure.kind != "day":
        words = ("up to {}", "over {}") if with_it else ("under {}", "{} or more")
    low, high = (word.format(shown) for word in words)

    def side_of(value: Any) -> str | None:
        return None if value is None else low if value < bound or (with_it and value == bound) else high

    return Comparison(factor, (low, high) if sign.startswith("<") else (high, low), lru_cache(side_of), measure.of,
                      date.fromisoformat(bound) if measure.kind == "day" else None)  # fmt: skip


def _bound(desk: Desk, kind: str, text: str) -> tuple[Any, str]:
    """A bound as typed, and as sentences show it."""
    if kind == "day":
        day = desk.day(text, future=True).isoformat()
        return day, day
    if kind in ("scion", "stock"):
        limit = units.SCION_DIAMETER if kind == "scion" else units.STOCK_DIAMETER
        mm = units.read_length(text, limit, desk.settings.units)
        return mm, units.show_length(mm, desk.settings.units)
    pattern, low, high, like, unit = _NUMBERS[kind]
    match = re.match(pattern, text.strip(), re.I)
    value = -inf if match is None else float(match[1])
    if not low <= value <= high or (kind == "signed days" and value != int(value)):
        raise UsageProblem(like, repr(text))
    return value, f"{value:g}{unit}"


def _value(desk: Desk, factor: str, text: str) -> str:
    """A value as the book spells it, where the tables know it."""
    if factor == "on":
        return desk.day(text, future=True).isoformat()
    if factor == "method":
        from graftbook.trade import methods

        found = methods.find(text)
        return found.method if found is not None else text.strip()
    if factor == "species":
        return taxa.common_name(naming.taxon(text).kept) or text.strip()
    return text.strip()
