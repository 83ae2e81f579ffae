"""The book as files: its own CSV in and out, and passport descriptors of living cultivars.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("exporting", "importing", "mcpd")
