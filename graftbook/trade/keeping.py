"""How long cut wood keeps, by its kind, its group and the temperature it lies at.

The bands answered with are working defaults by group of plants; hardly any of them rests on an experiment. What single
sources say of single kinds stands beside them as evidence.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables, taxa
from graftbook.trade.taxa import Taxon
from graftbook.trade.words import plain, typed

COLD_STORE_C = 2.0
SUMMER = "summer bud wood"
_NO_BAND = "No band is known for wood kept at this temperature."
_NO_TEMPERATURE = "Temperature not given: the band is for 0 to 4 C; warmer keeps less long."
_NO_TAXON = "Kind not known: nothing is known of how long such wood keeps."


@dataclass(frozen=True)
class KeepingRow:
    """One statement on keeping: days from and to, at a temperature from and to in C; None where it gives none."""

    is_default: bool
    group: str
    taxon: str
    wood: str
    days_min: int | None
    days_max: int | None
    temp_c_min: float | None
    temp_c_max: float | None
    rh_pct: str
    note: str
    basis: str
    source: str


@dataclass(frozen=True)
class KeepingBand:
    """How long wood usually keeps and at longest, in days from cutting; None for both where no band is known."""

    usual_days: int | None
    longest_days: int | None
    basis: str
    source: str
    note: str
    group: str


def from_row(row: Mapping[str, str]) -> KeepingRow:
    """A statement from a checked row of the table, one of the trade's or a person's own."""
    return typed(KeepingRow, row, is_default=row["default"] == "yes")


@lru_cache(maxsize=1)
def rows() -> tuple[KeepingRow, ...]:
    """Every statement in the table, in file order: the default bands first."""
    return tuple(from_row(row) for row in tables.rows("keeping"))


def group_of(taxon: Taxon | None, wood_kind: str) -> str:
    """The group whose band a kind of wood goes by; '' for dormant wood of a plant not known, which has none.

    Evergreen wood is cut in growth whatever it is called, so its own band answers for bud wood too.
    """
    if taxon is not None and not taxon.deciduous:
        return "citrus" if taxon.crop == "citrus" else "tender"
    if _is_summer(wood_kind):
        return "summer"
    if taxon is None:
        return ""
    return "stone" if taxon.crop == "stone" else "hardy"


def _is_summer(wood_kind: str) -> bool:
    words = plain(wood_kind)
    return "summer" in words or ("bud" in words.split() and "dormant" not in words) or words == "budwood"


def band(taxon: str, wood_kind: str, temperature_c: float | None, own: Iterable[KeepingRow] = ()) -> KeepingBand:
    """How long this wood keeps at this temperature.

    A person's own rows for the kind, or else for its group, answer before the trade's. `temperature_c` None stands for
    a cold store between 0 and 4 C and is stated in the note. Where two bands meet the shorter one answers.
    """
    found, names = taxa.nearest_to(taxon), taxa.kin(taxon)
    group = group_of(found, wood_kind)
    degrees = COLD_STORE_C if temperature_c is None else temperature_c
    fitting = [row for row in (*own, *rows()) if _fits(row, names, group, degrees)]
    notes = [_NO_TEMPERATURE] if temperature_c is None else []
    notes += [_NO_TAXON] if not group else []
    if not fitting:
        return KeepingBand(None, None, "", "", " ".join((_NO_BAND, *notes)), group)
    row = min(fitting, key=lambda row: (row.basis != "own", row.taxon == "", _days(row)[1]))
    return KeepingBand(*_days(row), row.basis, row.source, " ".join((row.note, *notes)).strip(), group)


def temperatures(taxon: str | None, wood_kind: str) -> tuple[float, float]:
    """The coldest and the warmest, in C, of the default bands for such wood: what it is known to be kept at.

    For dormant wood of a kind not known, those of any dormant wood.
    """
    group = group_of(taxa.nearest_to(taxon), wood_kind)
    groups = (group,) if group else ("hardy", "stone")
    bands = [row for row in rows() if row.is_default and row.group in groups]
    ends = [end for row in bands for end in (row.temp_c_min, row.temp_c_max) if end is not None]
    return min(ends), max(ends)


def _days(row: KeepingRow) -> tuple[int, int]:
    """Usual and longest days of a row that gives at least one of them."""
    given = [days for days in (row.days_min, row.days_max) if days is not None]
    return given[0], given[-1]


def _fits(row: KeepingRow, names: tuple[str, ...], group: str, degrees: float) -> bool:
    if not (row.is_default or row.basis == "own") or (row.days_min is None and row.days_max is None):
        return False
    if (row.wood == SUMMER) != (group == "summer"):
        return False
    speaks = row.taxon in names if row.taxon else row.group in (group, "") and bool(group or row.basis == "own")
    low = -273.0 if row.temp_c_min is None else row.temp_c_min
    high = 100.0 if row.temp_c_max is None else row.temp_c_max
    return speaks and low <= degrees <= high
