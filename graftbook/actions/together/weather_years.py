"""One year of one station that two books hold: days that only one of them has are filled in from the other."""

from __future__ import annotations

from graftbook.book.portable import Values

_NONE = "."


def filled_year(here: Values, there: Values) -> tuple[Values, Values]:
    """Both rows with the days that only the other has; where days still differ, the rows do."""
    one, other = dict(here), dict(there)
    for name in ("lows", "highs"):
        pairs = _days(str(here[name]), str(there[name]))
        one[name] = " ".join(mine if mine != _NONE else theirs for mine, theirs in pairs)
        other[name] = " ".join(theirs if theirs != _NONE else mine for mine, theirs in pairs)
    return one, other


def _days(one: str, other: str) -> list[tuple[str, str]]:
    days, others = one.split(), other.split()
    longest = max(len(days), len(others))
    return list(zip(*(each + [_NONE] * (longest - len(each)) for each in (days, others)), strict=True))
