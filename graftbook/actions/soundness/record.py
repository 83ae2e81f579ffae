"""The record as the checks read it: the columns they ask for, each table once, and what a finding is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from functools import cached_property
from typing import Any, NamedTuple

from sqlmodel import Session

from graftbook.book import soundness_queries
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.lineage import Naming
from graftbook.book.plans import Plan, PlanRow
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.tags import ReservedCode
from graftbook.book.wood import Bundle, Inspection, Movement, Prune, Stay


class Finding(NamedTuple):
    """What one check found: the codes it is about (none for the book as a whole), what was expected and found, what to do."""

    codes: tuple[str, ...]
    expected: str
    found: str
    next_step: str


def _rows(table: Any, *names: str) -> cached_property[list[Any]]:
    """The rows of a table in the order they were recorded, with these columns and the id."""
    return cached_property(lambda record: soundness_queries.rows(record.session, table, ("id", *names)))


def _by_id(table: Any, *names: str) -> cached_property[dict[int, Any]]:
    """The same by the id."""
    names = ("id", *names)
    return cached_property(lambda record: {row.id: row for row in soundness_queries.rows(record.session, table, names)})


class Record:
    """The book as it is now, each table read, column by column, when a check first asks. `location` is for saying where it
    is."""

    def __init__(self, session: Session, location: str) -> None:
        self.session = session
        self.location = location

    plants = _by_id(Plant, "code", "number", "acquired_on", "died_on", "stage", "stage_on")
    bundles = _by_id(Bundle, "code", "number", "cut_on", "received_on", "cut_plant_id", "cut_graft_id", "store", "packing",
                     "temperature_c")  # fmt: skip
    grafts = _by_id(Graft, "code", "number", "unit", "made_on", "tied_on", "bundle_id", "host_plant_id", "host_graft_id",
                    "stick", "sticks_drawn")  # fmt: skip
    movements = _rows(Movement, "bundle_id", "on", "kind", "sticks", "stick", "into_bundle_id")
    care = _rows(Care, "on", "what", "plant_id", "graft_id")
    prunes = _rows(Prune, "on", "plant_id")
    inspections = _rows(Inspection, "on", "bundle_id", "condition")
    stages = _rows(StageNote, "plant_id", "on", "stage")
    stays = _rows(Stay, "bundle_id", "on", "store", "packing", "temperature_c")
    looked = _rows(Look, "graft_id", "on", "state")
    named = _rows(Naming, "bundle_id", "stick")
    reserved_codes = _rows(ReservedCode, "code")
    plan_rows = _rows(PlanRow, "plan_id", "line")
    plans = _rows(Plan, "first_graft")

    @cached_property
    def looks(self) -> dict[int, list[Any]]:
        """The looks of each graft by its id, oldest first."""
        found: dict[int, list[Any]] = defaultdict(list)
        for look in self.looked:
            found[look.graft_id].append(look)
        for looks in found.values():
            looks.sort(key=lambda look: (look.on, look.id))
        return found

    @cached_property
    def stick_namings(self) -> list[Any]:
        """Namings of one stick of a bundle."""
        return [row for row in self.named if row.stick is not None]

    @cached_property
    def reserved(self) -> list[str]:
        """Codes given out on blank tags."""
        return [row.code for row in self.reserved_codes]

    @cached_property
    def planned(self) -> list[tuple[int, int]]:
        """The first and the last number of grafts' codes that each plan with codes gave out."""
        last: dict[int, int] = {}
        for row in self.plan_rows:
            last[row.plan_id] = max(row.line, last.get(row.plan_id, 0))
        return [
            (p.first_graft, p.first_graft + last[p.id] - 1)
            for p in self.plans
            if p.first_graft is not None and p.id in last
        ]

    @cached_property
    def last_changes(self) -> dict[str, soundness_queries.LastChange]:
        """The newest change of every row that ever was, by the row's uid."""
        return {change.row_uid: change for change in soundness_queries.last_changes(self.session)}

    @cached_property
    def entries(self) -> list[Any]:
        """Every entry: id, verb, undoes, undone_by."""
        return soundness_queries.entries(self.session)

    def owner(self, values: Mapping[str, Any]) -> tuple[str, ...]:
        """The code a row goes by: its own, else that of the graft, bundle or plant it is about; none where it has none."""
        if values.get("code"):
            return (str(values["code"]),)
        for key, things in (("graft_id", self.grafts), ("bundle_id", self.bundles), ("plant_id", self.plants)):
            if values.get(key) in things:
                return (things[values[key]].code,)
        return ()

    def foot(self, graft: Any) -> Any | None:
        """The plant at the foot of a graft; None where the way down ends nowhere or runs in a circle."""
        seen: set[int] = set()
        while graft is not None and graft.host_graft_id is not None:
            if graft.id in seen:
                return None
            seen.add(graft.id)
            graft = self.grafts.get(graft.host_graft_id)
        return self.plants.get(graft.host_plant_id) if graft is not None else None
