"""Words people type that are no verb and no guide, each with the command or guide that it means."""

import re
from collections.abc import Iterable

MEANT = {
    "sunroom": ("A sunroom is a place whose weather can be stated", "guide weather"),
    "greenhouse": ("A greenhouse is a place whose weather can be stated", "guide weather"),
    "polytunnel": ("A polytunnel is a place whose weather can be stated", "guide weather"),
    "punch": ("A punching tool makes omega joints", "trade show methods omega"),
    "punching": ("A punching tool makes omega joints", "trade show methods omega"),
    "parafilm": ("Film tape is said at the graft, as its tie or its seal (--tie film, --seal film)", "graft --help"),
    "film": ("Film tape is said at the graft, as its tie or its seal (--tie film, --seal film)", "graft --help"),
    "tape": ("What a graft is tied with is said at the graft (--tie tape)", "graft --help"),
    "wax": ("What a graft is sealed with is said at the graft (--seal wax)", "graft --help"),
    "fridge": ("Where wood is kept, and how long it keeps there", "guide clocks"),
    "calendar": ("What is due, as a calendar file (due --calendar FILE)", "guide clocks"),
    "club": ("A club's grafting day has a guide", "guide club"),
    "scion": ("Scion wood is kept with wood", "wood --help"),
    "scions": ("Scion wood is kept with wood", "wood --help"),
    "scionwood": ("Scion wood is kept with wood", "wood --help"),
    "budwood": ("Bud wood is kept with wood", "wood --help"),
    "rootstock": ("What you graft on are stocks", "stock --help"),
    "rootstocks": ("What you graft on are stocks", "stock --help"),
    "exchange": ("Wood is received, given and requested with wood", "wood --help"),
    "swap": ("Wood is received, given and requested with wood", "wood --help"),
    "label": ("Labels are tags", "guide tags"),
    "labels": ("Labels are tags", "guide tags"),
    "qr": ("Tags carry a QR code", "guide tags"),
    "phone": ("A phone joins the page at the bench", "bench --help"),
    "paper": ("The whole book on paper", "print --help"),
    "spreadsheet": ("The book as one workbook (export --xlsx)", "guide files"),
    "timing": ("Which timing took best has a guide", "guide took"),
    "which": ("Which timing took best has a guide", "guide took"),
}


def meant(message: str) -> str | None:
    """What the unknown verb in this message of the command line means; None where it is no word of the table."""
    unknown = re.search(r"No such command '([^']*)'", message)
    return meaning(unknown[1].split(" ")) if unknown else None


def meaning(words: Iterable[str]) -> str | None:
    """What the first of these words that is in the table means, and the command; None where none is."""
    found = next((MEANT[word.casefold()] for word in words if word.casefold() in MEANT), None)
    return f"{found[0]}: graftbook {found[1]}" if found else None
