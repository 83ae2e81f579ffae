"""Words people type for a verb that are none, each with the command or guide that it means."""

import re

MEANT = {
    "sunroom": ("a sunroom is a place", "guide weather"),
    "greenhouse": ("a greenhouse is a place", "guide weather"),
    "punch": ("a punching tool makes the method omega", "trade show methods"),
    "punching": ("a punching tool makes the method omega", "trade show methods"),
    "club": ("a club's grafting day has a guide", "guide club"),
    "scion": ("scion wood has its own verb", "wood --help"),
    "scions": ("scion wood has its own verb", "wood --help"),
    "exchange": ("wood is received, given and requested", "wood --help"),
    "timing": ("which timing took best has a guide", "guide took"),
    "which": ("which timing took best has a guide", "guide took"),
}


def meant(message: str) -> str | None:
    """What the unknown verb in this message of the command line means; None where it is no word of the table."""
    unknown = re.search(r"No such command '([^']*)'", message)
    found = MEANT.get(unknown[1].casefold().split(" ")[0]) if unknown and unknown[1] else None
    return f"Here {found[0]}: graftbook {found[1]}" if found else None
