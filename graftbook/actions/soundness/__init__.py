"""Whether the record is sound: what must always hold of it, checked, and what the grower's own words contradict.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("doctor",)
