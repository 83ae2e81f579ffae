"""Looks: states that fit what they are said of, and words of the grower that cannot all be true."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from graftbook.actions.soundness.record import Finding, Record
from graftbook.book.grafts import BUD_STATES, DEAD, NOT_ALIVE


def states(record: Record) -> Iterator[Finding]:
    """A bud's states are said of buds only."""
    for graft_id, looks in record.looks.items():
        graft = record.grafts.get(graft_id)
        if graft is None or graft.unit == "bud":
            continue
        for look in looks:
            if look.state in BUD_STATES:
                yield Finding((graft.code,), f"a state of a graft, for {graft.code} is no bud",
                              f"{look.state} on {look.on.isoformat()}",
                              f"Undo that look and say what the scion did: graftbook history {graft.code}")  # fmt: skip


def alive_on_dead(record: Record) -> Iterator[Finding]:
    """Nothing was seen alive after the plant at its foot is recorded dead."""
    for graft, look in _alive(record):
        plant = record.foot(graft)
        if plant is not None and plant.died_on is not None and look.on > plant.died_on:
            yield Finding(
                (graft.code, plant.code), f"nothing alive on {plant.code} after it died, {plant.died_on.isoformat()}",
                f"{graft.code} {look.state} on {look.on.isoformat()}",
                f"If {plant.code} lives, undo the entry that says it died: graftbook history {plant.code}; if not, undo the look",
            )  # fmt: skip


def alive_on_dead_host(record: Record) -> Iterator[Finding]:
    """Nothing was seen alive on a graft after that graft was last seen dead."""
    for graft, look in _alive(record):
        host = record.grafts.get(graft.host_graft_id)
        last = _last(record, host, look.on) if host is not None else None
        if host is not None and last is not None and last.state in DEAD and last.on < look.on:
            yield Finding(
                (graft.code, host.code), f"nothing alive on {host.code}, seen {last.state} on {last.on.isoformat()}",
                f"{graft.code} {look.state} on {look.on.isoformat()}",
                f"If {host.code} lives, say so: graftbook look {host.code} growing --on {look.on.isoformat()}",
            )  # fmt: skip


def seen_after_home(record: Record) -> Iterator[Finding]:
    """What went home was not looked at here afterwards."""
    home: dict[int, date] = {}
    plants: dict[int, date] = {}
    for row in record.care:
        if row.what == "gone-home":
            held, key = (home, row.graft_id) if row.graft_id is not None else (plants, row.plant_id)
            held[key] = min(row.on, held.get(key, row.on))
    for graft in record.grafts.values() if home or plants else ():
        foot = record.foot(graft)
        days = [
            day for day in (home.get(graft.id), plants.get(foot.id) if foot is not None else None) if day is not None
        ]
        left = min((day for day in days if day >= graft.made_on), default=None)
        after = [look for look in record.looks.get(graft.id, ()) if left is not None and look.on > left]
        if left is not None and after:
            yield Finding(
                (graft.code,), f"no look at {graft.code} after it went home, {left.isoformat()}",
                f"{after[0].state} on {after[0].on.isoformat()}",
                "If it came back, note that; if another graft was meant, undo the look: graftbook history " + graft.code,
            )  # fmt: skip


def _alive(record: Record) -> Iterator[tuple[Any, Any]]:
    """Every graft whose newest look saw it alive, with that look."""
    for graft_id, looks in record.looks.items():
        graft, look = record.grafts.get(graft_id), looks[-1]
        if graft is not None and look.state not in NOT_ALIVE:
            yield graft, look


def _last(record: Record, graft: Any, day: date) -> Any | None:
    return next((look for look in reversed(record.looks.get(graft.id, [])) if look.on <= day), None)
