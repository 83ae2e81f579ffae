"""Words people type for a verb that are none, each with the command or guide that it means."""

import re

MEANT = {
    "sunroom": ("A sunroom is a place whose weather can be stated", "guide weather"),
    "greenhouse": ("A greenhouse is a place whose weather can be stated", "guide weather"),
    "punch": ("A punching tool makes omega joints", "trade show methods"),
    "punching": ("A punching tool makes omega joints", "trade show methods"),
    "club": ("A club's grafting day has a guide", "guide club"),
    "scion": ("Scion wood is kept with wood", "wood --help"),
    "scions": ("Scion wood is kept with wood", "wood --help"),
    "exchange": ("Wood is received, given and requested with wood", "wood --help"),
    "timing": ("Which timing took best has a guide", "guide took"),
    "which": ("Which timing took best has a guide", "guide took"),
}


def meant(message: str) -> str | None:
    """What the unknown verb in this message of the command line means; None where it is no word of the table."""
    unknown = re.search(r"No such command '([^']*)'", message)
    found = MEANT.get(unknown[1].casefold().split(" ")[0]) if unknown and unknown[1] else None
    return f"{found[0]}: graftbook {found[1]}" if found else None
