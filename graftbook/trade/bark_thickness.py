"""How thick the bark is outside the cambium, by kind and by the thickness of the stem.

No table of measurements was at hand: the values are from memory, at two sizes a kind, for a grower to correct with the
calliper and a peeled twig. Between and beyond the two sizes bark is taken to grow as a power of the stem's diameter, the
usual form for one part of a plant against another.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables, taxa
from graftbook.trade.words import typed

# The stems, in mm over bark, at which the table gives the thickness of bark: a scion's and a limb's.
THIN_STEM_MM = 8.0
THICK_STEM_MM = 50.0
# Bark is never taken for more than this share of the diameter on one side, so that some wood is left.
MOST_SHARE = 1 / 4


@dataclass(frozen=True)
class BarkRow:
    """Bark of one kind: mm on one side of a stem of 8 mm and of 50 mm over bark. An empty taxon is every other kind."""

    is_default: bool
    taxon: str
    thin_mm: float
    thick_mm: float
    words: str
    basis: str
    source: str

    def at(self, diameter_mm: float) -> float:
        """Thickness of the bark in mm on one side of a stem, at most MOST_SHARE of its diameter.

        `diameter_mm` is over bark, above 0. Thickness is `thin_mm` times (diameter / THIN_STEM_MM) to the power that meets
        `thick_mm` at THICK_STEM_MM: the allometric form, common practice for one part of a plant against another.
        """
        power = math.log(self.thick_mm / self.thin_mm) / math.log(THICK_STEM_MM / THIN_STEM_MM)
        return min(self.thin_mm * (diameter_mm / THIN_STEM_MM) ** power, MOST_SHARE * diameter_mm)


def from_row(row: Mapping[str, str]) -> BarkRow:
    """Bark of one kind from a checked row of the table, one of the trade's or a person's own."""
    return typed(BarkRow, row, is_default=row["default"] == "yes")


@lru_cache(maxsize=1)
def rows() -> tuple[BarkRow, ...]:
    """Every row of the table, the default first."""
    return tuple(from_row(row) for row in tables.rows("bark"))


def of(taxon: str, own: Iterable[BarkRow] = ()) -> BarkRow:
    """The bark of a kind under any of its names: its own row, its species', its genus', or the default.

    A person's own rows for the same name answer before the trade's.
    """
    held = (*own, *rows())
    return next(row for name in (*taxa.kin(taxon), "") for row in held if row.taxon == name)
