"""Where wood comes from: a plant or a graft here, or someone else; what that says of it, and its cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk import naming
from graftbook.actions.outcome import subjects
from graftbook.book import find, graft_queries, wood_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.errors import Refused, UsageProblem


@dataclass(frozen=True)
class Origin:
    """A source of wood, `row` None where it is not in this book. `there_from` and `there_to` are the days between which wood
    could be cut there, None where that is not known; `plant_id` is the plant it grows on; `notes` are sentences for the person."""

    row: Plant | Graft | None = None
    taxon: str | None = None
    cultivar: str | None = None
    there_from: date | None = None
    there_to: date | None = None
    plant_id: int | None = None
    notes: tuple[str, ...] = ()

    @property
    def code(self) -> str | None:
        """Its code."""
        return self.row.code if self.row is not None else None

    @property
    def keys(self) -> dict[str, int]:
        """What of a bundle points to it."""
        if self.row is None:
            return {}
        return {"cut_graft_id" if isinstance(self.row, Graft) else "cut_plant_id": self.row.id}

    @property
    def movement(self) -> str:
        """The word for its sticks coming in."""
        return "received" if self.row is None else "saved"


def origin(session: Session, text: str | None, day: date) -> Origin:
    """The source named by a code, on the day the wood was cut; None or an empty text gives one that is not in this book.
    Raises UsageProblem, NotFound."""
    if text is None or not text.strip():
        return Origin()
    code = codes.read_one(text)
    if code.letter == "W":
        raise UsageProblem("the plant or graft the wood was cut from, such as P3 or G5", str(code))
    return of_row(session, find.one(session, code), day)


def of_ids(session: Session, plant_id: int | None, graft_id: int | None, day: date) -> Origin:
    """The source behind the keys a bundle holds."""
    return of_row(session, find.by_one_id(session, Graft, graft_id) or find.by_one_id(session, Plant, plant_id), day)


def of_row(session: Session, row: Plant | Graft | None, day: date) -> Origin:
    """A plant or a graft as a source of wood on a day; None is not in this book.

    A plant gives wood of its cultivar; a clonal stock on which no graft was made by that day that of its clone. A graft gives
    what was recorded of the wood it was made of.
    """
    if row is None:
        return Origin()
    if isinstance(row, Graft):
        bundle, foot = find.by_one_id(session, Bundle, row.bundle_id), graft_queries.foot_plants(session, [row])[row.id]
        taxon, cultivar = (None, None) if bundle is None else (bundle.taxon, bundle.cultivar)
        return Origin(row, taxon, cultivar, row.made_on, foot.died_on, foot.id)
    cultivar = row.cultivar
    if gives_its_clone(row.kind, row.cultivar, row.clone) and not subjects.standing(session, [row], day):
        cultivar = row.clone
    return Origin(row, row.taxon, cultivar, row.acquired_on, row.died_on, row.id)


def gives_its_clone(kind: str | None, cultivar: str | None, clone: str | None) -> bool:
    """Whether wood of this plant is wood of its clone as long as nothing is grafted on it: a clonal stock without a cultivar."""
    return cultivar is None and kind == "stock" and clone not in (None, "seedling")


def fits(source: Origin, cut: date | None, came: date | None) -> None:
    """Refuse wood cut before its source was there or after it died."""
    day = cut if cut is not None else came
    if source.code is None or day is None:
        return
    cut_on, there, gone = f"the wood was cut on {day.isoformat()}", source.there_from, source.there_to
    if there is not None and day < there:
        raise Refused(f"{cut_on}, before {source.code} was there, on {there.isoformat()}")
    if gone is not None and day > gone:
        raise Refused(f"{cut_on}, after {source.code} died on {gone.isoformat()}")


def cautions(session: Session, values: Mapping[str, Any], source: Origin, day: date) -> tuple[str, ...]:
    """What is to be said of this wood: of a donor's the first time, of a tree under suspicion each time."""
    from graftbook.trade import cautions as table

    keys = []
    if source.plant_id is not None and wood_queries.is_suspect(session, source.plant_id, day):
        keys.append("suspect-tree")
    if values.get("donor") is not None:
        known = {naming.key(name) for name in wood_queries.donors(session)}
        if naming.key(values["donor"]) not in known:
            keys += [*_quarantine(values.get("taxon")), "rights"]
    return table.words(keys)


def _quarantine(taxon: str | None) -> tuple[str, ...]:
    from graftbook.trade import taxa

    found = taxa.nearest_to(taxon)
    if found is not None and found.genus == "Prunus":
        return ("quarantine-prunus",)
    if found is not None and found.crop == "citrus":
        return ("quarantine-citrus",)
    return ("quarantine", "fire-blight") if found is not None and found.crop == "pome" else ("quarantine",)
