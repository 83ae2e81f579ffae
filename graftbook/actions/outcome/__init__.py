"""What became of things by a day: the one place that says what is alive, last seen, ended, and what stands on what.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "alive",
    "endpoints",
    "plant_days",
    "standing_place",
    "states",
    "subjects",
)
