"""Tags: what stands on them, runs printed and printed again, media, photos read, the worklist.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("log_paper", "row_tags", "shown_tags", "tag_fields", "tag_jobs", "tag_media", "tag_photos", "tags")
