"""The book as files: its own CSV in and out, backups and what is restored from them, and passport descriptors.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "backing_up",
    "book_paper",
    "exporting",
    "held_rows",
    "importing",
    "json_lines",
    "mcpd",
    "restore_book",
    "sheets_importing",
    "sheets_seen",
    "workbook",
)
