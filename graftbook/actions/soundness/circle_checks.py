"""Circles: what stands on itself, and wood that came of itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from typing import TypeVar

from graftbook.actions.soundness.record import Finding, Record

Thing = TypeVar("Thing", bound=Hashable)
_MEND = "Undo the entry that closed the circle, or amend where one of them comes from: graftbook history "


def hosts(record: Record) -> Iterator[Finding]:
    """Whatever a graft stands on leads down to a plant."""
    edges = [(g.id, g.host_graft_id) for g in record.grafts.values() if g.host_graft_id is not None]
    for circle in circles(edges):
        codes = tuple(record.grafts[number].code for number in sorted(circle) if number in record.grafts)
        yield Finding(codes, f"{codes[0]} to stand, in the end, on a plant", f"a circle of {', '.join(codes)}",
                      _MEND + codes[0])  # fmt: skip


def lineage(record: Record) -> Iterator[Finding]:
    """Whatever wood was cut or mixed from leads back to where it began."""
    edges = [(f"W{b.id}", f"G{b.cut_graft_id}") for b in record.bundles.values() if b.cut_graft_id is not None]
    edges += [(f"G{g.id}", f"W{g.bundle_id}") for g in record.grafts.values() if g.bundle_id is not None]
    edges += [(f"W{m.into_bundle_id}", f"W{m.bundle_id}") for m in record.movements if m.into_bundle_id is not None]
    held = {"W": record.bundles, "G": record.grafts}
    for circle in circles(edges):
        found = [held[key[0]].get(int(key[1:])) for key in sorted(circle)]
        codes = tuple(thing.code for thing in found if thing is not None)
        yield Finding(codes, f"{codes[0]} to come, in the end, from a plant or from outside", f"a circle of {', '.join(codes)}",
                      _MEND + codes[0])  # fmt: skip


def circles(edges: Iterable[tuple[Thing, Thing]]) -> list[set[Thing]]:
    """The things that lie on circles of edges, those that hang together in one set; empty where there is none.

    What nothing leads to and what leads to nothing is taken away until only circles, and ways between them, are left.
    """
    held = set(edges)
    while held:
        from_, to = {a for a, _ in held}, {b for _, b in held}
        left = {(a, b) for a, b in held if a in to and b in from_}
        if left == held:
            break
        held = left
    return _together(held)


def _together(edges: set[tuple[Thing, Thing]]) -> list[set[Thing]]:
    near: dict[Thing, set[Thing]] = defaultdict(set)
    for a, b in edges:
        near[a].add(b)
        near[b].add(a)
    found: list[set[Thing]] = []
    seen: set[Thing] = set()
    for start in near:
        group, waiting = set(), [start]
        while waiting:
            thing = waiting.pop()
            if thing not in seen:
                seen.add(thing)
                group.add(thing)
                waiting += near[thing]
        if group:
            found.append(group)
    return found
