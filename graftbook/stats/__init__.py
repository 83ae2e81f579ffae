"""Small numbers said honestly: how sure a count of a few grafts can be."""

from graftbook.stats.interval import Interval, wilson

__all__ = ["Interval", "wilson"]
