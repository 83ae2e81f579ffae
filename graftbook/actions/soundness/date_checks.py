"""Days in order, and the newest of dated notes as what a plant or a bundle holds."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from graftbook.actions.soundness.record import Finding, Record


def plants(record: Record) -> Iterator[Finding]:
    """A plant died no earlier than it came, and was pruned between the two."""
    for plant in record.plants.values():
        yield from _from((plant.code,), plant.died_on, plant.acquired_on, f"{plant.code} died", "it came")
    for prune in record.prunes:
        plant = record.plants.get(prune.plant_id)
        if plant is not None:
            yield from _from((plant.code,), prune.on, plant.acquired_on, f"{plant.code} was pruned", "it came")
            yield from _from((plant.code,), plant.died_on, prune.on, f"{plant.code} died", "it was pruned")


def wood(record: Record) -> Iterator[Finding]:
    """Wood was cut while what it was cut from was there, and moved and looked at after it was cut."""
    for bundle in record.bundles.values():
        what, codes = f"{bundle.code} was cut", (bundle.code,)
        plant, graft = record.plants.get(bundle.cut_plant_id), record.grafts.get(bundle.cut_graft_id)
        if plant is not None:
            yield from _from((*codes, plant.code), bundle.cut_on, plant.acquired_on, what, f"{plant.code} came")
            yield from _from((*codes, plant.code), plant.died_on, bundle.cut_on, f"{plant.code} died", what)
        if graft is not None:
            yield from _from((*codes, graft.code), bundle.cut_on, graft.made_on, what, f"{graft.code} was made")
    for row, what in (
        *((row, "moved") for row in record.movements),
        *((row, "looked at") for row in record.inspections),
    ):
        bundle = record.bundles.get(row.bundle_id)
        if bundle is not None:
            yield from _from(
                (bundle.code,), row.on, bundle.cut_on, f"sticks of {bundle.code} were {what}", "it was cut"
            )


def grafts(record: Record) -> Iterator[Finding]:
    """A graft was made after its wood was cut and came in, after its host was there, and before the plant at its foot died."""
    for graft in record.grafts.values():
        what, codes = f"{graft.code} was made", (graft.code,)
        yield from _from(codes, graft.tied_on, graft.made_on, f"{graft.code} was tied", "it was made")
        bundle = record.bundles.get(graft.bundle_id)
        if bundle is not None:
            yield from _from((*codes, bundle.code), graft.made_on, bundle.cut_on, what, f"{bundle.code} was cut")
            yield from _from(
                (*codes, bundle.code), graft.made_on, bundle.received_on, what, f"{bundle.code} was received"
            )
        below = record.grafts.get(graft.host_graft_id)
        if below is not None:
            yield from _from(
                (*codes, below.code), graft.made_on, below.made_on, what, f"its host {below.code} was made"
            )
        plant = record.foot(graft)
        if plant is not None:
            yield from _from(
                (*codes, plant.code), graft.made_on, plant.acquired_on, what, f"{plant.code} under it came"
            )
            yield from _from((*codes, plant.code), plant.died_on, graft.made_on, f"{plant.code} died", what)


def looks_and_care(record: Record) -> Iterator[Finding]:
    """Nothing was seen on a graft or done to it before it was made, nor to a plant before it came."""
    for graft_id, looks in record.looks.items():
        graft = record.grafts.get(graft_id)
        if graft is not None and looks[0].on < graft.made_on:
            yield from _from((graft.code,), looks[0].on, graft.made_on, f"{graft.code} was looked at", "it was made")
    for row in record.care:
        graft, plant = record.grafts.get(row.graft_id), record.plants.get(row.plant_id)
        if graft is not None:
            yield from _from((graft.code,), row.on, graft.made_on, f"{row.what} of {graft.code}", "it was made")
        if plant is not None:
            yield from _from((plant.code,), row.on, plant.acquired_on, f"{row.what} of {plant.code}", "it came")


def _from(codes: tuple[str, ...], day: date | None, since: date | None, what: str, then: str) -> Iterator[Finding]:
    if day is not None and since is not None and day < since:
        yield Finding(codes, f"the day {what} to be no earlier than the day {then}, {since.isoformat()}", day.isoformat(),
                      f"Mend the day that is wrong; what the record was: graftbook history {codes[0]}")  # fmt: skip


def newest_stage(record: Record) -> Iterator[Finding]:
    """A plant holds the newest growth stage noted of it, or a newer one it was recorded with."""
    noted = [row for row in record.stages if row.stage is not None]
    for plant_id, note in _newest(noted, "plant_id").items():
        plant = record.plants.get(plant_id)
        if plant is None:
            continue
        if (
            plant.stage_on is None
            or plant.stage_on < note.on
            or (plant.stage_on == note.on and plant.stage != note.stage)
        ):
            found = f"{plant.stage}, {plant.stage_on}" if plant.stage_on is not None else "no stage"
            yield Finding((plant.code,), f"{plant.code} at the newest stage noted, {note.stage}, {note.on.isoformat()}", found,
                          f"Note it again: graftbook stage {plant.code} '{note.stage}' --on {note.on.isoformat()}")  # fmt: skip


def newest_store(record: Record) -> Iterator[Finding]:
    """A bundle is in the store it was last moved to."""
    for bundle_id, stay in _newest(record.stays, "bundle_id").items():
        bundle = record.bundles.get(bundle_id)
        if bundle is not None and _place(bundle) != _place(stay):
            yield Finding((bundle.code,), f"{bundle.code} where it was moved on {stay.on.isoformat()}: {_words(stay)}",
                          _words(bundle), f"Say where it is: graftbook wood amend {bundle.code} --store PLACE")  # fmt: skip


def _newest(rows: list[Any], owner: str) -> dict[int, Any]:
    """The newest of dated rows by what they are about; of one day the one recorded last."""
    return {getattr(row, owner): row for row in sorted(rows, key=lambda row: (row.on, row.id))}


def _place(row: Any) -> tuple[Any, ...]:
    return row.store, row.packing, row.temperature_c


def _words(row: Any) -> str:
    degrees = f"{row.temperature_c:g} C" if row.temperature_c is not None else None
    return ", ".join(part for part in (row.store, row.packing, degrees) if part) or "nowhere said"
