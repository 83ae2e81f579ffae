"""What must be known of wood and stock to say whether they fit: plain facts, filled in by whoever holds the book.

None always means "not known", never "none". Diameters are ranges in millimetres over bark: a measured stock has both
ends equal, a graded lot or a bundle of unlike sticks a smaller and a larger.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

Range = tuple[float, float]
# Of a union: the kind above, its cultivar, the kind below, and the clone below, None where not known.
Union = tuple[str, str | None, str, str | None]


@dataclass(frozen=True)
class NoteFacts:
    """A note of the grower's own on a plant or its wood.

    `kind` is `health` or `rights`; `status` the grower's word (for health: suspect, visibly clean, tested); `words`
    what was written; `until` the last day on which it holds, None when it has no end.
    """

    kind: str
    status: str
    words: str = ""
    until: date | None = None


@dataclass(frozen=True)
class KeepingFacts:
    """How long such wood keeps: usual and longest known days from cutting, either None; where that comes from."""

    usual_days: int | None
    longest_days: int | None
    basis: str = ""
    source: str = ""


@dataclass(frozen=True)
class WoodFacts:
    """A bundle of scion wood.

    `kind` is `dormant` or `summer`; `condition` the last look, one of sound, swelling, drying, mould, dead; `age_days`
    days since cutting, and where that is not known `least_days` those since it came; `sticks_left` whole sticks, 0 or
    more; `buds_in_hand` those left on a stick that was opened.
    """

    code: str
    taxon: str
    cultivar: str | None = None
    diameter_mm: Range | None = None
    kind: str = "dormant"
    cut_on: date | None = None
    age_days: int | None = None
    condition: str | None = None
    sticks_left: int | None = None
    keeping: KeepingFacts | None = None
    notes: tuple[NoteFacts, ...] = ()
    buds_in_hand: int = 0
    least_days: int | None = None

    @property
    def surely_days(self) -> int | None:
        """Days that the wood is at least old; None when nothing is known of that."""
        return self.age_days if self.age_days is not None else self.least_days


@dataclass(frozen=True)
class StockFacts:
    """What the scion is to stand on: a stock, a tree or a limb.

    `diameter_mm` where the graft is to be; `stage` a growth stage in the trade's words; `bark` is `tight` or `slipping`
    as tried with the knife; `resting` is True where by the calendar a tree of its kind is at rest; `alive` is False once it is
    recorded dead. `union_below` is that of a host which is itself a
    graft: what it is, on what; None for a plant.
    """

    code: str
    taxon: str
    clone: str | None = None
    diameter_mm: Range | None = None
    stage: str | None = None
    bark: str | None = None
    alive: bool = True
    notes: tuple[NoteFacts, ...] = ()
    union_below: Union | None = None
    resting: bool = False
