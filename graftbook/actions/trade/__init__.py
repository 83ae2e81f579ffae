"""The trade's tables with the grower's own rows, and the printers of tags.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = ("own_tables", "printers", "trade_tables")
