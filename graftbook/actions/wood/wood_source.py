"""Where wood comes from: a plant or a graft here, or someone else; what that says of it, and its cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk import naming
from graftbook.book import find, graft_queries, wood_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.errors import Refused, UsageProblem


@dataclass(frozen=True)
class Origin:
    """A source of wood; without a code it is not in this book. `there_from` and `there_to` are the days between which
    wood could be cut there, None where that is not known; `keys` point to it; `notes` are sentences for the person."""

    code: str | None = None
    taxon: str | None = None
    cultivar: str | None = None
    there_from: date | None = None
    there_to: date | None = None
    plant_id: int | None = None
    keys: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    notes: tuple[str, ...] = ()

    @property
    def movement(self) -> str:
        """The word for its sticks coming in."""
        return "received" if self.code is None else "saved"


def origin(session: Session, text: str | None) -> Origin:
    """The source named by a code; None or an empty text gives one that is not in this book. Raises UsageProblem, NotFound."""
    if text is None or not text.strip():
        return Origin()
    code = codes.read_one(text)
    if code.letter == "W":
        raise UsageProblem("the plant or graft the wood was cut from, such as P3 or G5", str(code))
    return _of_row(session, find.one(session, code))


def of_ids(session: Session, plant_id: int | None, graft_id: int | None) -> Origin:
    """The source behind the keys a bundle holds."""
    row: Any = find.by_one_id(session, Graft, graft_id) or find.by_one_id(session, Plant, plant_id)
    return Origin() if row is None else _of_row(session, row)


def _of_row(session: Session, row: Plant | Graft) -> Origin:
    if isinstance(row, Graft):
        return of_graft(session, row)
    return of_plant(row, bool(graft_queries.standing_on(session, [row.id])))


def of_plant(plant: Plant, grafted: bool) -> Origin:
    """A plant as a source of its own wood: its cultivar; that of a clonal stock not `grafted` is the clone; else None."""
    own_clone = plant.cultivar is None and plant.kind == "stock" and plant.clone != "seedling" and not grafted
    cultivar, keys = plant.clone if own_clone else plant.cultivar, {"cut_plant_id": plant.id}
    return Origin(plant.code, plant.taxon, cultivar, plant.acquired_on, plant.died_on, plant.id, keys)


def of_graft(session: Session, graft: Graft) -> Origin:
    """A graft as a source: kind and cultivar as recorded of the wood it was made of, None each where that is not recorded."""
    bundle = find.by_one_id(session, Bundle, graft.bundle_id)
    foot = graft_queries.foot_plants(session, [graft])[graft.id]
    taxon, cultivar = (None, None) if bundle is None else (bundle.taxon, bundle.cultivar)
    return Origin(graft.code, taxon, cultivar, graft.made_on, foot.died_on, foot.id, {"cut_graft_id": graft.id})


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
