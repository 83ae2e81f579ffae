"""Grafts: which wood fits which stock, grafts recorded, listed, amended, their story and their joints.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("graft_cautions", "graft_edits", "graft_lists", "graft_text", "grafting", "joints", "match", "matching")
