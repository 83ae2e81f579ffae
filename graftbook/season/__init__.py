"""The clocks of the grafter's year: its turn, how long wood keeps, what aftercare is due."""

from graftbook.season.aftercare import Due, GraftFacts, due
from graftbook.season.keeping import Keeping, clock, use_first
from graftbook.season.turn import dormant, growing_season, growth_deadline, season_bounds, season_end_after, season_of

__all__ = [
    "Due",
    "GraftFacts",
    "Keeping",
    "clock",
    "dormant",
    "due",
    "growing_season",
    "growth_deadline",
    "season_bounds",
    "season_end_after",
    "season_of",
    "use_first",
]
