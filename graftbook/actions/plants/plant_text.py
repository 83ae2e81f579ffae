"""What a person says of a plant, read into the values the book keeps."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.typed import blank, whole
from graftbook.book import limits, plant_queries
from graftbook.book.plants import BARKS, Plant
from graftbook.errors import UsageProblem

_PLAIN = ("site", "place", "row", "source", "container", "lot", "note")


@dataclass(frozen=True)
class PlantWords:
    """Facts of a plant as typed. None means not said; an empty text means it is not known (any more)."""

    cultivar: str | None = None
    species: str | None = None
    clone: str | None = None
    site: str | None = None
    place: str | None = None
    row: str | None = None
    order: str | None = None
    acquired: str | None = None
    source: str | None = None
    diameter: str | None = None
    grade: str | None = None
    container: str | None = None
    stage: str | None = None
    bark: str | None = None
    lot: str | None = None
    note: str | None = None

    def said(self) -> tuple[tuple[str, str], ...]:
        """What was said, as pairs of name and words."""
        pairs = ((field.name, getattr(self, field.name)) for field in fields(self))
        return tuple((name, text) for name, text in pairs if text is not None)


@dataclass(frozen=True)
class PlantValues:
    """Values by the book's own names, and sentences for the person."""

    values: dict[str, Any]
    notes: tuple[str, ...]


def read(desk: Desk, session: Session, kind: str, words: PlantWords, on: date) -> PlantValues:
    """The values of what was said; `on` is the day a diameter or a stage was seen. Raises UsageProblem and Refused."""
    values: dict[str, Any] = {name: blank(getattr(words, name)) for name in _PLAIN if getattr(words, name) is not None}
    notes: list[str] = []
    for said, column, reader in (
        (words.cultivar, "cultivar", lambda text: cultivar_values(session, text)),
        (words.species, "taxon", lambda text: _species(text, words.cultivar)), (words.clone, "clone", _clone),
    ):  # fmt: skip
        if said is not None:
            name = reader(said) if said.strip() else PlantValues({column: None, f"{column}_typed": None}, ())
            values.update(name.values)
            notes += name.notes
    if words.order is not None:
        values["order"] = whole(words.order, "a place in the row", *limits.bounds(Plant, "order"))
    if words.acquired is not None:
        values["acquired_on"] = desk.day(words.acquired) if blank(words.acquired) else None
    values.update(_sizes(desk, kind, words, on))
    if words.stage is not None or words.bark is not None:
        values.update(stage_values(words.stage, words.bark, on))
    return PlantValues(values, tuple(notes))


def cultivar_values(session: Session, text: str) -> PlantValues:
    """A cultivar as the book spells it, beside what was typed. Raises UsageProblem for a name without a letter."""
    if not naming.key(text):
        raise UsageProblem("the name of a cultivar", repr(text))
    name = naming.Cultivars.of(session).name(text)
    return PlantValues({"cultivar": name.kept, "cultivar_typed": name.typed}, (name.note,) if name.note else ())


def _species(text: str, cultivar: str | None = None) -> PlantValues:
    name = naming.taxon(text, cultivar)
    return PlantValues({"taxon": name.kept, "taxon_typed": name.typed}, (name.note,) if name.note else ())


def _clone(text: str) -> PlantValues:
    name = naming.clone(text)
    notes = [f"{name.typed} is kept as {name.kept}."] if name.typed is not None else []
    return PlantValues({"clone": name.kept, "clone_typed": name.typed}, (*notes, *((name.note,) if name.note else ())))


def _sizes(desk: Desk, kind: str, words: PlantWords, on: date) -> dict[str, Any]:
    values: dict[str, Any] = {}
    if words.diameter is not None:
        limit = units.STOCK_DIAMETER if kind == "stock" else units.PLANT_DIAMETER
        values["diameter_mm"] = desk.length(words.diameter, limit) if words.diameter.strip() else None
        values["measured_on"] = on if words.diameter.strip() else None
    if words.grade is not None:
        values.update(grade_values(desk, words.grade))
        values.setdefault("measured_on", on)
    return values


def grade_values(desk: Desk, text: str) -> dict[str, Any]:
    """A grade as the smallest and the largest calliper in mm; an empty text gives none."""
    low, high = desk.lengths(text, units.STOCK_DIAMETER) if text.strip() else (None, None)
    return {"grade_min_mm": low, "grade_max_mm": high}


def stage_values(stage: str | None, bark: str | None, on: date) -> dict[str, Any]:
    """A growth stage by its everyday word, with the day it was seen and the state of the bark where that was said.

    Raises UsageProblem for a word that is no stage (naming the nearest ones) or a bark neither tight nor slipping.
    """
    from graftbook.trade import stages

    if bark is not None and bark not in BARKS:
        raise UsageProblem(f"bark that is {' or '.join(BARKS)}", repr(bark))
    if stage is None:
        return {"bark": bark}
    if not stage.strip():
        return {"stage": None, "stage_on": None, "bark": bark}
    found = stages.find(stage)
    if found is None:
        near = stages.suggest(stage) or tuple(known.word for known in stages.all())
        raise UsageProblem(
            "a growth stage", repr(stage), f"Did you mean {', '.join(near)}? See: graftbook trade stages"
        )
    return {"stage": found.word, "stage_on": on, "bark": bark}


def settle_taxon(session: Session, kind: str, values: dict[str, Any]) -> tuple[str, ...]:
    """Put the taxon into `values` from the rootstock or the cultivar where it was not said; sentences on what disagrees.

    Raises UsageProblem where nothing tells it, or where this book knows the cultivar under several kinds.
    """
    from graftbook.trade import clones

    clone = clones.find(values["clone"]) if values.get("clone") else None
    if values.get("taxon") is None and kind == "stock" and clone is not None:
        values["taxon"] = clone.taxon
    if values.get("taxon") is None:
        values["taxon"] = _taxon_of(session, values.get("cultivar"))
    if kind == "stock" and clone is not None and values["taxon"] != clone.taxon:
        return (f"{clone.key} is known as a rootstock of {clone.taxon}, not of {values['taxon']}; kept as you said.",)
    return ()


def _taxon_of(session: Session, cultivar: str | None) -> str:
    from graftbook.trade import taxa

    step = "Add --species, such as --species apple"
    if cultivar is None:
        raise UsageProblem("the species", "neither a species nor a name that tells it", step)
    wanted = naming.key(cultivar)
    held = plant_queries.taxa_of_cultivar(session, cultivar)
    held = held or tuple(t.taxon for t in taxa.all() if wanted in {naming.key(name) for name in t.cultivars})
    if len(held) != 1:
        found = (
            f"'{cultivar}', known under {' and '.join(held)}" if held else f"'{cultivar}', which is new to this book"
        )
        raise UsageProblem("the species", found, step)
    return held[0]
