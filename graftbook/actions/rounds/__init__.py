"""The walk along the rows: looks, aftercare, what is due, on screen, on paper and in a calendar.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("caring", "looking", "round_calendar", "round_paper", "rounds", "today")
