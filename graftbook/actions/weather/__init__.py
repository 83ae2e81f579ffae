"""Weather imported and computed with: daily series of places, degree-days, chill, callus, and where a thing stood on a day.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "graft_warmth", "subject_places", "warmth_since", "weather_callus", "weather_chill", "weather_import", "weather_lists",
    "weather_places",
)  # fmt: skip
