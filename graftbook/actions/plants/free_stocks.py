"""stock list --free: living stocks that carry no open graft, with what was tried on them before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, filled, page_notes
from graftbook.actions.outcome import alive, subjects
from graftbook.actions.outcome.subjects import GraftWithEnd
from graftbook.actions.plants.plant_lists import size_words
from graftbook.book.plants import Plant


@dataclass(frozen=True)
class FreeRow:
    """One stock that can be grafted. `attempts` counts the grafts made on the stock itself before, every one of them ended;
    what stood on those is no attempt on the stock. `last` is the newest of them with how it ended and what was on it, None
    where there was none. Diameters in mm."""

    code: str
    clone: str | None
    taxon: str | None
    size: str
    diameter_mm: float | None
    grade_min_mm: float | None
    grade_max_mm: float | None
    measured_on: date | None
    site: str | None
    place: str | None
    row: str | None
    order: int | None
    attempts: int
    last: str | None
    shown: ClassVar = ("code", "clone", "size", "place", "row", "order", "attempts", "last")
    headings: ClassVar = {"order": "no.", "last": "last attempt"}


def list_free(
    desk: Desk, *, place: str | None = None, species: str | None = None, clone: str | None = None, limit: int = 200,
    page: int = 1,
) -> Report:  # fmt: skip
    """One page of the free stocks, those that were tried before first, then by number."""
    wanted = (
        naming.key(place) if place is not None else None,
        naming.taxon(species).kept if species is not None else None,
        naming.clone(clone).kept if clone is not None else None,
    )
    with desk.book.read() as session:
        plants = [plant for plant in alive.free_stocks(session, desk.today) if _asked(plant, *wanted)]
        tried = subjects.standing(session, plants, desk.today)
        rows = [_row(plant, tried.get(plant.id, ()), desk.settings.units) for plant in plants]
    rows.sort(key=lambda row: row.attempts == 0)
    shown = tuple(rows[(page - 1) * limit : page * limit])
    again = sum(row.attempts > 0 for row in rows)
    notes = page_notes(len(shown), len(rows), limit, page, "stock")
    if again:
        notes = (f"{again} of {len(rows)} had an attempt that ended, and can be grafted again.", *notes)
    return Report(FreeRow, shown, notes, {"as_of": desk.today, "total": len(rows), "page": page})


def _asked(plant: Plant, place: str | None, taxon: str | None, clone: str | None) -> bool:
    return (
        (place is None or naming.key(plant.place or "") == place)
        and (taxon is None or plant.taxon == taxon or (plant.taxon or "").startswith(f"{taxon} ["))
        and (clone is None or plant.clone == clone)
    )


def _row(plant: Plant, here: Sequence[GraftWithEnd], unit: str) -> FreeRow:
    tries = [each for each in here if each.graft.host_plant_id is not None]
    last = f"{tries[-1].graft.code}, {tries[-1].graft.method}: {tries[-1].ended or 'open'}" if tries else None
    return filled(FreeRow, plant, size=size_words(plant, unit), attempts=len(tries), last=last)
