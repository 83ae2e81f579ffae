"""Trees and stocks: recorded, listed, found without a tag, stages, what goes when one is taken away, the tree sheet.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "find_matching",
    "finding",
    "free_stocks",
    "last_of_cultivar",
    "plant_lists",
    "plant_text",
    "plants",
    "stage_notes",
    "tree_paper",
)
