"""What took from whom: for each donor and cultivar, what was received, grafted and grew."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.names import lineages, shown_names, tracing
from graftbook.actions.takes import judging, question
from graftbook.book.balances import balances
from graftbook.errors import NotFound


@dataclass(frozen=True)
class ThanksRow:
    """One bundle received: sticks that came, grafts made from it (buds among them), how many of those took of how many
    decided, and what is not decided yet."""

    donor: str
    wood: str
    cultivar: str | None
    received_on: date | None
    sticks: int
    made: int
    took: int
    decided: int
    waiting: int
    shown: ClassVar = ("donor", "cultivar", "wood", "received_on", "sticks", "made", "k_of_n", "waiting")
    headings: ClassVar = {"made": "grafts made", "k_of_n": "took", "waiting": "not yet", "received_on": "received"}

    @property
    def k_of_n(self) -> str:
        """`3 of 4`, or `none yet`."""
        return f"{self.took} of {self.decided}" if self.decided else "none yet"


def thanks(desk: Desk, donor: str | None = None, as_of: str | None = None) -> Report:
    """Wood by who it came from, with what became of its grafts; `donor` None means everybody. Raises NotFound."""
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        book = lineages.of_wood(session, day)
        wanted = tracing.person_names(session, donor) if donor is not None else None
        judged = judging.judge(session, question.TakeQuestion("took", day, desk.settings.hemisphere), ("wood",))
        held = balances(session, as_of=day)
    cells: dict[str | None, Counter] = {}
    for (code, _unit), fates in judged.cells.items():
        for fate, number in fates.items():
            cells.setdefault(code, Counter())[fate.outcome] += number
    rows = []
    names = shown_names.of_book(book)
    for row in book.columns.bundles:
        if row[7] is not None and (wanted is None or naming.key(row[7]) in wanted):
            sticks = held[row[0]].came_in if row[0] in held else 0
            rows.append(_row(row, names.bundle(row[0]).cultivar, cells.get(row[1], Counter()), sticks))
    if donor is not None and not rows:
        raise NotFound(f"no wood from '{donor}'", "", "See graftbook wood thanks for everybody")
    rows.sort(key=lambda row: (row.donor.casefold(), row.received_on or date.min, row.wood))
    takers = dict.fromkeys(row.donor for row in rows if row.took)
    notes = (f"Something took from {', '.join(takers)}: a line of thanks is due.",) if takers else ()
    return Report(ThanksRow, tuple(rows), notes, {"as_of": day}, title=f"What took from whom, as of {day.isoformat()}")


def _row(row: tuple, called: str | None, outcomes: Counter, sticks: int) -> ThanksRow:
    took, failed = outcomes["yes"], outcomes["failed"]
    waiting = outcomes["waiting"] + outcomes["unknown"]
    return ThanksRow(row[7], row[1], called, row[6], sticks, outcomes.total(), took, took + failed, waiting)
