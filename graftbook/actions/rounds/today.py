"""What a book says by itself: its name, what is due today, wood to use first, and the command that likely comes next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.rounds import rounds
from graftbook.book import find
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.season import turn

MOST_DUE = 3


@dataclass(frozen=True)
class TodayRow:
    """One thing the book would have done: `what` it is, `on` what, and the command that shows it whole."""

    what: str
    on: str
    command: str
    headings: ClassVar = {"on": "of", "command": "more"}


def today(desk: Desk) -> Report:
    """Three kinds of things due that most grafts want, and wood to use first, in at most four lines; then the next step."""
    found = rounds.gather(desk)
    wanted = Counter(row.what for row in found.rows if row.code[0] == "G")
    rows = [
        TodayRow(what, count(number, "graft"), "graftbook due --brief") for what, number in wanted.most_common(MOST_DUE)
    ]
    wood = tuple(row.code for row in found.rows if row.code[0] == "W")
    if wood:
        rows.append(TodayRow("use first", code_list(wood), "graftbook wood list"))
    with desk.book.read() as session:
        held: dict[Any, int] = {kind: find.how_many(session, kind) for kind in (Plant, Bundle, Graft)}
    has = f"{count(held[Plant], 'plant')}, {count(held[Bundle], 'bundle')} of wood, {count(held[Graft], 'graft')}"
    return Report(
        TodayRow, tuple(rows), (f"Next: {_next(desk, held, bool(rows))}", "All verbs: graftbook --help"),
        {"as_of": desk.today, "plants": held[Plant], "bundles": held[Bundle], "grafts": held[Graft]},
        title=f"{desk.settings.name}, {desk.today.isoformat()}: {has}", empty="Nothing is due today.",
    )  # fmt: skip


def _next(desk: Desk, held: Mapping[Any, int], due: bool) -> str:
    """The command that likely comes next, by what the book holds and by the time of year."""
    if not held[Plant]:
        return 'graftbook tree add "Dun Reinette" --species apple, the tree you will cut wood from.'
    if not held[Bundle]:
        return 'graftbook prune P1 --save "6 sticks 6-9mm 6 buds", when you cut wood; or graftbook wood add, when it was given.'
    if not held[Graft]:
        return "graftbook match, which wood fits which stock; graftbook stock add, where there is no stock yet."
    if due:
        return "graftbook due, what to do today, place by place; graftbook look G1 growing records what you saw."
    if turn.growing_season(desk.today, desk.settings.hemisphere):
        return "graftbook take --by method, what took so far; graftbook due --weeks 4, what comes."
    return "graftbook take review, the season in short; graftbook prune, when the trees are dormant."
