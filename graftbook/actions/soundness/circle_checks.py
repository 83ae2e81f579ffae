"""Circles: what stands on itself, and wood that came of itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from typing import TypeVar

from graftbook.actions.soundness.record import Finding, Record

Thing = TypeVar("Thing", bound=Hashable)


def hosts(record: Record) -> Iterator[Finding]:
    """Whatever a graft stands on leads down to a plant."""
    edges = [(f"G{g.id}", f"G{g.host_graft_id}") for g in record.grafts.values() if g.host_graft_id is not None]
    yield from _found(record, edges, "to stand, in the end, on a plant")


def lineage(record: Record) -> Iterator[Finding]:
    """Whatever wood was cut or mixed from leads back to where it began."""
    edges = [(f"W{b.id}", f"G{b.cut_graft_id}") for b in record.bundles.values() if b.cut_graft_id is not None]
    edges += [(f"G{g.id}", f"W{g.bundle_id}") for g in record.grafts.values() if g.bundle_id is not None]
    edges += [(f"W{m.into_bundle_id}", f"W{m.bundle_id}") for m in record.movements if m.into_bundle_id is not None]
    yield from _found(record, edges, "to come, in the end, from a plant or from outside")


def _found(record: Record, edges: Iterable[tuple[str, str]], expected: str) -> Iterator[Finding]:
    """The circles of edges between grafts and bundles, by letter and id."""
    held = {"W": record.bundles, "G": record.grafts}
    for circle in circles(edges):
        things = [held[key[0]].get(int(key[1:])) for key in sorted(circle, key=lambda key: (key[0], int(key[1:])))]
        codes = tuple(thing.code for thing in things if thing is not None)
        yield Finding(codes, f"{codes[0]} {expected}", f"a circle of {', '.join(codes)}",
                      "Undo the entry that closed the circle, or amend where one of them comes from: graftbook history "
                      + codes[0])  # fmt: skip


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
