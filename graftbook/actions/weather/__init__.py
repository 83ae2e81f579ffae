"""Weather taken in and asked: days of places, warmth, chill, callus, and where a thing stood on a day.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "subject_places",
    "warm",
    "warmth_since",
    "weather_callus",
    "weather_chill",
    "weather_import",
    "weather_lists",
    "weather_places",
)
