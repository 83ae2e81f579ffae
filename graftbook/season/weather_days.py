"""The daily series of lowest and highest temperatures, gaps and all, and running sums over any period of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    Floats = np.ndarray

Gap = tuple[date, date]
"""A period without a temperature: its first and last day."""


@dataclass(frozen=True)
class DailySeries:
    """The lowest and highest temperature in C of days that follow one another from `first`: two arrays of one length, nan
    where there is none. A day is known only where both are."""

    first: date
    low: Floats
    high: Floats

    def __len__(self) -> int:
        return len(self.low)

    @property
    def last(self) -> date:
        """The last day; that before `first` for a series of no days."""
        return self.first + timedelta(days=len(self) - 1)

    def between(self, since: date, until: date) -> DailySeries:
        """The days from one to another, both counted in; days outside the series are gaps. An `until` before `since` gives
        an empty series."""
        import numpy as np

        size = max((until - since).days + 1, 0)
        low, high = np.full(size, np.nan), np.full(size, np.nan)
        start = (since - self.first).days
        begin, end = max(start, 0), min(start + size, len(self.low))
        if end > begin:
            low[begin - start : end - start] = self.low[begin:end]
            high[begin - start : end - start] = self.high[begin:end]
        return DailySeries(since, low, high)

    def trimmed(self) -> DailySeries:
        """The days from the first to the last that is known; an empty series where none is."""
        import numpy as np

        at = np.flatnonzero(self.known())
        if not len(at):
            return empty_series(self.first)
        begin, end = int(at[0]), int(at[-1]) + 1
        return DailySeries(self.first + timedelta(days=begin), self.low[begin:end], self.high[begin:end])

    def known(self) -> Floats:
        """True for each day of which both extremes are known."""
        import numpy as np

        return ~(np.isnan(self.low) | np.isnan(self.high))

    def gaps(self) -> tuple[Gap, ...]:
        """The periods without a temperature, in order."""
        import numpy as np

        edges = np.flatnonzero(np.diff(np.concatenate(([True], self.known(), [True])).astype(int)))
        return tuple(
            (self.first + timedelta(days=int(begin)), self.first + timedelta(days=int(end) - 1))
            for begin, end in edges.reshape(-1, 2)
        )


def year_series(year: int, lows: str, highs: str) -> DailySeries:
    """The series of a year from its temperatures in C as text, blanks between them and a full stop for a day without one.

    Raises ValueError for text that is not that.
    """
    return DailySeries(date(year, 1, 1), _array(lows), _array(highs))


def _array(text: str) -> Floats:
    import numpy as np

    return np.array(f" {text}".replace(" .", " nan").split(), float)


def series_text(values: Sequence[float | None]) -> str:
    """Temperatures in C as such text, to a hundredth of a degree; None is a full stop."""
    return " ".join(["." if value is None else _word(value) for value in values])


@lru_cache(maxsize=16_384)
def _word(value: float) -> str:
    return f"{round(value, 2) + 0.0:.10g}"


def empty_series(first: date) -> DailySeries:
    """A series of no days."""
    import numpy as np

    return DailySeries(first, np.empty(0), np.empty(0))


def constant_series(since: date, until: date, low: float, high: float) -> DailySeries:
    """Days with one lowest and one highest in C, from one day to another, both counted in."""
    import numpy as np

    size = max((until - since).days + 1, 0)
    return DailySeries(since, np.full(size, float(low)), np.full(size, float(high)))


def joined(parts: Sequence[DailySeries]) -> DailySeries:
    """Series put end to end; days between them are gaps, and where two overlap the one given later stands. Raises ValueError
    for no parts."""
    import numpy as np

    if not parts:
        raise ValueError("no days to join")
    first = min(part.first for part in parts)
    last = max(part.first + timedelta(days=len(part)) for part in parts)
    low, high = np.full((last - first).days, np.nan), np.full((last - first).days, np.nan)
    for part in parts:
        at = (part.first - first).days
        low[at : at + len(part)], high[at : at + len(part)] = part.low, part.high
    return DailySeries(first, low, high)


@dataclass(frozen=True)
class RunningSums:
    """Running sums of one value a day from `first` on, so that the sum of any period is one subtraction.

    `total[i]` is the sum of the first `i` days, a gap adding nothing, and `missing[i]` the gaps among them: a sum is never
    given without the days missing from it.
    """

    first: date
    total: Floats
    missing: Floats

    def between(self, since: Floats | Sequence[int], until: Floats | Sequence[int]) -> tuple[Floats, Floats]:
        """Sums and days missing of many periods at once: first and last days as proleptic ordinals, of one length, both ends
        counted in. Days outside the series are missing."""
        import numpy as np

        since, until = np.asarray(since, int), np.asarray(until, int)
        start, size = self.first.toordinal(), len(self.total) - 1
        begin, end = np.clip(since - start, 0, size), np.clip(until + 1 - start, 0, size)
        end = np.maximum(begin, end)
        outside = np.maximum(until - since + 1, 0) - (end - begin)
        return self.total[end] - self.total[begin], self.missing[end] - self.missing[begin] + outside

    def many(self, since: Sequence[int], until: Sequence[int]) -> list[tuple[float, int]]:
        """The same as plain numbers: a sum and the days missing from it for each period."""
        total, missing = self.between(since, until)
        return list(zip(total.tolist(), missing.tolist(), strict=True))

    def one(self, since: date, until: date) -> tuple[float, int]:
        """The sum of one period, both ends counted in, and the days missing from it."""
        return self.many([since.toordinal()], [until.toordinal()])[0]

    def reached(self, since: date, amount: float) -> date | None:
        """The day by whose end the sum from `since` on came to `amount`; None where the series ends before."""
        import numpy as np

        begin = min(max((since - self.first).days, 0), len(self.total) - 1)
        at = int(np.searchsorted(self.total[begin:], self.total[begin] + amount - 1e-9)) + begin
        return self.first + timedelta(days=max(at, begin + 1) - 1) if at < len(self.total) else None


def running_sums(first: date, values: Floats) -> RunningSums:
    """Running sums of values, one a day from `first` on, nan for a gap."""
    import numpy as np

    missing = np.isnan(values)
    return RunningSums(
        first,
        np.concatenate(([0.0], np.cumsum(np.where(missing, 0.0, values)))),
        np.concatenate(([0], np.cumsum(missing))),
    )
