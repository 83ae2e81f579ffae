"""Scion wood from prune to last stick: saved, stored, counted, drawn, mixed, given, used first.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "drawing",
    "mixing",
    "plan_reserved",
    "plan_state",
    "prunes",
    "stick_moves",
    "wood",
    "wood_first",
    "wood_lists",
    "wood_source",
)
