"""Sticks: what moved and what was grafted adds up, is never below nothing, and no stick is named that was not there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from graftbook.actions.desk.results import count
from graftbook.actions.soundness.record import Finding, Record
from graftbook.book.balances import Balance, balances


def _flows(record: Record) -> dict[int, dict[date, int]]:
    """The sticks that came to each bundle less those that went, by day; within a day in and out are one."""
    flows: dict[int, dict[date, int]] = defaultdict(lambda: defaultdict(int))
    for moved in record.movements:
        flows[moved.bundle_id][moved.on] += moved.sticks
    for graft in record.grafts.values():
        if graft.bundle_id is not None:
            flows[graft.bundle_id][graft.made_on] -= graft.sticks_drawn
    return flows


def never_below(record: Record) -> Iterator[Finding]:
    """Sticks left, day after day, are never below nothing; the first day they are is named."""
    for bundle_id, days in _flows(record).items():
        bundle = record.bundles.get(bundle_id)
        left = 0
        if bundle is None:
            continue
        for day in sorted(days):
            left += days[day]
            if left < 0:
                yield Finding(
                    (bundle.code,), f"no fewer than 0 sticks left in {bundle.code} on any day",
                    f"{left} on {day.isoformat()}",
                    f"See its movements with: graftbook wood show {bundle.code}; if sticks were there that the book lacks, say"
                    f" so: graftbook wood found {bundle.code} STICKS --on {day.isoformat()}",
                )  # fmt: skip
                break


def as_listed(record: Record) -> Iterator[Finding]:
    """What is left by every movement and graft is what the list of wood says."""
    listed = balances(record.session)
    for bundle_id, days in _flows(record).items():
        bundle, said = record.bundles.get(bundle_id), listed.get(bundle_id, Balance(0, 0, 0)).left
        if bundle is not None and sum(days.values()) != said:
            yield Finding((bundle.code,), f"{count(sum(days.values()), 'stick')} left in {bundle.code} by its movements",
                          f"{said} in the list of wood", "This is a bug of ours: please report it")  # fmt: skip


def sticks_there(record: Record) -> Iterator[Finding]:
    """A stick that is named was among those that ever came in, and none was given away and grafted as well."""
    listed = balances(record.session)
    ever = {number: each.came_in + max(each.otherwise, 0) for number, each in listed.items()}
    given = {(row.bundle_id, row.stick) for row in record.movements if row.stick is not None and row.kind == "given"}
    named = [(g.bundle_id, g.stick, g.code, "was grafted") for g in record.grafts.values() if g.stick is not None]
    named += [(m.bundle_id, m.stick, "", f"was {m.kind}") for m in record.movements if m.stick is not None]
    named += [(n.bundle_id, n.stick, "", "was named") for n in record.stick_namings]
    for bundle_id, stick, code, what in named:
        bundle = record.bundles.get(bundle_id)
        if bundle is None:
            continue
        name, codes = f"{bundle.code}/{stick}", tuple(each for each in (bundle.code, code) if each)
        if not 1 <= stick <= ever.get(bundle_id, 0):
            yield Finding(codes, f"a stick of {bundle.code} from 1 to {ever.get(bundle_id, 0)}", f"{name}, which {what}",
                          f"Undo the entry that named it: graftbook history {codes[-1]}")  # fmt: skip
        if code and (bundle_id, stick) in given:
            yield Finding(codes, f"{name} to be used once", f"that it was given away and grafted as {code}",
                          f"Undo the one that is wrong: graftbook history {code}")  # fmt: skip
