"""What things are: namings with their doubt, threads of wood, where a cultivar lives, notes that travel along wood.

The modules named below are the face of the room: others may use these and no others.
"""

__all__ = (
    "at_risk",
    "cultivar_names",
    "have",
    "health_flow",
    "last_copies",
    "lineages",
    "name_lists",
    "name_text",
    "names_ever",
    "own_notes",
    "shown_names",
    "tracing",
    "where_alive",
    "wood_kept",
)
