"""Small numbers said honestly: how sure a count of a few grafts can be."""

from graftbook.stats.interval import INTERVALS, Interval, exact, jeffreys, wilson

__all__ = ["INTERVALS", "Interval", "exact", "jeffreys", "wilson"]
