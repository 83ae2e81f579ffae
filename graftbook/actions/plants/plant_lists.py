"""Plants listed by page, and everything the book has on one of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import facts, naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.facts import FactRow, note_rows
from graftbook.actions.desk.results import Report, count, filled, page_notes
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown, ShownNames
from graftbook.actions.outcome import subjects
from graftbook.book import graft_queries, living_queries, plant_queries, stage_queries
from graftbook.book.balances import balances
from graftbook.book.plant_queries import WantedPlants
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.units import show_length, show_range

# So many stages are shown with a plant; the rest are listed by stages.
MOST_STAGES = 12


@dataclass(frozen=True)
class PlantRow:
    """One plant of a list. Diameters in mm; `size` says the calliper, or the grade of an unmeasured one, in the book's
    unit; `grafts` counts every graft tried on the plant itself; `cultivar` is what it is or might be, `sure` how sure, None
    where nobody gave a name."""

    code: str
    kind: str
    taxon: str | None
    cultivar: str | None
    clone: str | None
    size: str
    diameter_mm: float | None
    grade_min_mm: float | None
    grade_max_mm: float | None
    measured_on: date | None
    site: str | None
    place: str | None
    row: str | None
    order: int | None
    acquired_on: date | None
    from_: str | None
    container: str | None
    stage: str | None
    stage_on: date | None
    bark: str | None
    lot: str | None
    died_on: date | None
    grafts: int
    note: str | None
    sure: str | None
    shown: ClassVar = ("code", "cultivar", "taxon", "clone", "place", "row", "order", "grafts")
    headings: ClassVar = {"clone": "on stock", "taxon": "species"}


@dataclass(frozen=True)
class StockRow(PlantRow):
    """One stock of a list."""

    shown: ClassVar = ("code", "clone", "taxon", "size", "place", "row", "order", "grafts")
    headings: ClassVar = {"taxon": "species"}


def list_plants(
    desk: Desk, kind: str, *, place: str | None = None, species: str | None = None, cultivar: str | None = None,
    clone: str | None = None, dead: bool = False, limit: int = 200, page: int = 1,
) -> Report:  # fmt: skip
    """One page of the trees or the stocks of a book, by number; `dead` lists the dead as well."""
    row_type = StockRow if kind == "stock" else PlantRow
    offset = (page - 1) * limit
    with desk.book.read() as session:
        places, notes = _places(session, place)
        kept = naming.Cultivars.of(session).name(cultivar).kept if cultivar is not None else None
        ids = shown_names.plants_called(session, kept) if kept is not None else None
        wanted = WantedPlants(
            kind, places, naming.taxon(species).kept if species is not None else None, kept if ids is None else None,
            naming.clone(clone).kept if clone is not None else None, dead, ids,
        )  # fmt: skip
        plants, total = plant_queries.page(session, wanted, limit, offset)
        tried = plant_queries.grafts_tried(session, [plant.id for plant in plants])
        names = shown_names.of(session, plants)
        rows = tuple(_row(row_type, p, names.of(p), tried.get(p.id, 0), desk.settings.units) for p in plants)
    notes += page_notes(len(rows), total, limit, page, kind)
    return Report(row_type, rows, notes, {"as_of": desk.today, "total": total, "page": page})


def _places(session: Session, text: str | None) -> tuple[tuple[str, ...] | None, tuple[str, ...]]:
    if text is None:
        return None, ()
    held = plant_queries.places(session)
    wanted = naming.key(text)
    found = tuple(place for place in held if naming.key(place) == wanted)
    if found:
        return found, ()
    known = f" Places in this book: {', '.join(sorted(held, key=naming.key)[:20])}." if held else ""
    return (), (f"No plant stands at {text!r}.{known}",)


def _row(row_type: type[PlantRow], plant: Plant, shown: Shown, tried: int, unit: str) -> PlantRow:
    return filled(
        row_type, plant, size=size_words(plant, unit), grafts=tried, from_=plant.source, cultivar=shown.cultivar,
        sure=shown.sure,
    )  # fmt: skip


def size_words(plant: Plant, unit: str) -> str:
    """A plant's calliper, or the grade of one not measured, with the unit; '' when neither is known."""
    if plant.diameter_mm is not None:
        return show_length(plant.diameter_mm, unit)
    return show_range(plant.grade_min_mm, plant.grade_max_mm, unit)


def show_plant(desk: Desk, text: str) -> Report:
    """Everything the book has on one plant: facts, prunes, wood cut from it, grafts on it, the grower's own notes."""
    with desk.book.read() as session:
        plant = subjects.one_plant(session, text)
        grafts: list[Any] = graft_queries.standing_on(session, [plant.id]).get(plant.id, [])
        bundles: list[Bundle] = plant_queries.wood_of(session, plant.id)
        names = shown_names.of(session, [plant, *grafts, *bundles])
        rows = (
            *_facts(
                plant, names.of(plant), stage_queries.seen(session, [plant], desk.today)[plant.id], desk.settings.units
            ),
            *_stages(session, plant),
            *_prunes(session, plant),
            *_wood(session, bundles, plant, names),
            *_grafts(session, grafts, names),
            *note_rows(plant_queries.caution_notes(session, plant_id=plant.id)),
        )
    return Report(
        FactRow, rows, (f"What was written, and when: graftbook history {plant.code}",),
        {"as_of": desk.today, "code": plant.code, "kind": plant.kind}, title=f"{plant.code}, a {plant.kind}", group="section",
    )  # fmt: skip


def _facts(plant: Plant, shown: Shown, newest: stage_queries.Newest, unit: str):
    typed = {
        "species": (plant.taxon, plant.taxon_typed),
        "cultivar": (shown.fact(plant.cultivar_typed), None),
        "rootstock": (plant.clone, plant.clone_typed),
    }
    for name, (kept, written) in typed.items():
        if kept is not None:
            yield FactRow("facts", None, name, kept + (f" (typed: {written})" if written else ""))
    plain = (
        (plant.measured_on, "calliper", size_words(plant, unit)), (None, "site", plant.site),
        (None, "place", plant.place), (None, "row", plant.row), (None, "number in the row", plant.order),
        (plant.acquired_on, "came", _came(plant)), (None, "container", plant.container),
        (plant.stage_on, "stage", plant.stage), (newest.bark_on or plant.stage_on, "bark", newest.bark or plant.bark),
        (None, "lot", plant.lot),
        (plant.died_on, "died", "dead" if plant.died_on is not None else None), (None, "note", plant.note),
    )  # fmt: skip
    for on, name, value in plain:
        if value not in (None, ""):
            yield FactRow("facts", on, name, str(value))


def _came(plant: Plant) -> str | None:
    if plant.source is not None:
        return f"from {plant.source}"
    return "from where is not recorded" if plant.acquired_on is not None else None


def _stages(session: Session, plant: Plant):
    """The stages seen, where there is more than the newest one, which stands among the facts."""
    found = stage_queries.every(session, [plant])
    if len(found) < 2:
        return
    for each in found[-MOST_STAGES:]:
        code = f"BBCH {each.bbch}" if each.bbch else None
        said = "; ".join(part for part in (code, f"bark {each.bark}" if each.bark else None, each.note) if part)
        yield FactRow("stages seen", each.on, each.stage or "bark", said)


def _prunes(session: Session, plant: Plant):
    found, total = plant_queries.prunes(session, plant.id, 50, 0)
    saved = plant_queries.saved_at(session, [prune.id for prune, _ in found])
    for prune, _ in found:
        bundles = ", ".join(f"{code} ({count(sticks, 'stick')})" for code, sticks in saved.get(prune.id, ()))
        yield FactRow("prunes", prune.on, facts.cut_words(prune), f"saved {bundles}" if bundles else "nothing saved")
    if total > len(found):
        yield FactRow("prunes", None, f"and {total - len(found)} more", f"graftbook prune list {plant.code}")


def _wood(session: Session, bundles: list[Bundle], plant: Plant, names: ShownNames):
    left = balances(session, [bundle.id for bundle in bundles])
    for bundle in bundles:
        balance = left[bundle.id]
        shown = names.of(bundle).cultivar
        other = f"{shown}: " if shown is not None and shown != names.of(plant).cultivar else ""
        left_of = f"{balance.left} of {count(balance.came_in, 'stick')} left"
        yield FactRow("wood cut", bundle.cut_on, bundle.code, f"{other}{left_of}")


def _grafts(session: Session, grafts: list[Any], names: ShownNames):
    hosts = {graft.id: graft.code for graft in grafts}
    last = living_queries.last_looks(session, date.max, [graft.id for graft in grafts])
    for graft in grafts:
        kind = names.of(graft).name or "kind not known"
        on = f" on {hosts[graft.host_graft_id]}" if graft.host_graft_id is not None else ""
        where = f", {graft.position or graft.limb}" if graft.position or graft.limb else ""
        look = last.get(graft.id)
        seen = f"{look.state}, {look.on.isoformat()}" if look is not None else "not looked at"
        yield FactRow("grafts on it", graft.made_on, graft.code, f"{kind}, {graft.method}{on}{where}: {seen}")
