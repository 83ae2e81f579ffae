"""Books put together, and what stands in a book twice.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("doubles", "merging")
