"""One way against another, and the split of next season that would separate them.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("comparison", "next_season")
