"""Sitting down at the book: the desk a verb works at, results, files put out, words as typed, entries and undoing.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "completed", "copied_before", "desk", "facts", "file_out", "guides", "journal", "naming", "old_codes", "results", "sorting",
    "starting", "tag_site", "typed",
)  # fmt: skip
