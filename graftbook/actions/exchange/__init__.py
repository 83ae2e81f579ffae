"""The book as files: its own CSV in and out, backups and what is restored from them, and passport descriptors.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("backing_up", "book_paper", "exporting", "importing", "json_lines", "mcpd", "restore_book", "workbook")
