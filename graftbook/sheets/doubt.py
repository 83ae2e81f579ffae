"""What could not be read of a cell, and what may be meant by it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Doubt:
    """Why a cell is not clear: what is written, what would be read, and `offer`, what may be meant ('' where nothing is
    likely). An offer is never taken unless the person says so."""

    found: str
    accepted: str
    offer: str = ""

    def sentence(self, heading: str) -> str:
        """The doubt for a person."""
        offered = f"; perhaps {self.offer}" if self.offer else ""
        return f"{heading}: {self.found!r}; accepted: {self.accepted}{offered}"


NOTHING = frozenset(
    {"", "-", "–", "—", "n/a", "na", "none", "nil", ".", "..", "?", "??", "tbd", "unknown", "not known", "x?"}
)
"""Words for nothing said."""


def says_nothing(text: str) -> bool:
    """Whether a cell's text only says that nothing is known."""
    return text.casefold() in NOTHING
