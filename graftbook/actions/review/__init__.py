"""The season looked back on: curves, courses, the winter review.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("course", "curve", "season_review")
