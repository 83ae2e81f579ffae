"""Codes and numbers that both books gave: what is here keeps its own, what comes gets a new one where its own is taken.

No code is given twice, so one that this book once gave to what is gone, holds on a blank tag or keeps for a plan is taken as
well. The codes of a plan stand in a row and move together, with the grafts that were made of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

from graftbook.actions.desk.results import code_runs
from graftbook.actions.together.differences import Differences
from graftbook.book import bulk, find, merge_queries
from graftbook.book.merge_queries import CodeBlock
from graftbook.book.portable import Portable
from graftbook.book.tables import BY_NAME
from graftbook.book.unit import Unit
from graftbook.codes import read_many

_NUMBERED = tuple(
    name for name, table in BY_NAME.items() if "number" in table.model_fields and "code" not in table.model_fields
)


class NewCode(NamedTuple):
    """A thing that came and has another code, or another number, than it had in the other book."""

    table_name: str
    uid: str
    old: str
    new: str


@dataclass
class NewCodes:
    """What codes and numbers came to. `values` are those a row gets instead of its own, by table and row; `blanks` the codes on
    blank tags of the other book that are taken here, `twice` those on blank tags of both."""

    given: list[NewCode] = field(default_factory=list)
    values: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)
    blanks: list[str] = field(default_factory=list)
    twice: list[str] = field(default_factory=list)


class Giving:
    """Codes being given to what comes."""

    def __init__(self, unit: Unit, there: Portable, found: Differences) -> None:
        self._unit, self._there, self._found = unit, there, found
        self.codes = NewCodes()
        self._shared: set[str] = set()
        self._shifts: list[tuple[CodeBlock, int]] = []

    def give(self) -> NewCodes:
        """Every kind of code, then the numbers of what has no code."""
        for letter, last in bulk.counters(self._there.session).items():
            self._unit.number_used(letter, last)
        for letter in find.TABLES:
            self._letter(letter)
        for name in _NUMBERED:
            self._numbers(name)
        self._runs()
        self._sheets()
        return self.codes

    def _letter(self, letter: str) -> None:
        session, name = self._unit.session, str(find.TABLES[letter].__tablename__)
        taken = merge_queries.gone_numbers(session, letter)
        moved = {uid: values["number"] for (table, uid), values in self._found.takes.items()
                 if table == name and "number" in values}  # fmt: skip
        going = set(self._found.gone.get(name, ()))
        own = merge_queries.numbers(session, name)
        taken |= {number: uid for uid, number in own.items() if uid not in moved and uid not in going}
        if letter == "G":
            taken |= self._kept_here(taken)
            self._blocks(taken)
            self._blank_tags(taken)
        theirs = merge_queries.numbers(self._there.session, name)
        wanted = [(theirs[uid], uid) for uid in self._found.comes.get(name, ())]
        wanted += [(number, uid) for uid, number in moved.items()]
        short = []
        for number, uid in sorted(wanted):
            new = self._shifted(letter, number)
            if self._is_free(new, uid, taken):
                taken[new] = uid
                self._settle(letter, name, number, new, uid)
            else:
                short.append((number, uid))
        if wanted:
            self._unit.number_used(letter, max(taken))
        first = self._unit.next_number(letter, len(short)) if short else 0
        for new, (number, uid) in enumerate(short, first):
            self._settle(letter, name, number, new, uid)

    def _shifted(self, letter: str, number: int) -> int:
        """The number where it moves with the codes of its plan, else itself."""
        for block, first in self._shifts if letter == "G" else ():
            if block.first <= number < block.first + block.many:
                return number - block.first + first
        return number

    def _settle(self, letter: str, name: str, number: int, new: int, uid: str) -> None:
        if new != number:
            self.codes.values[name, uid] = {"number": new, "code": f"{letter}{new}"}
            self.codes.given.append(NewCode(name, uid, f"{letter}{number}", f"{letter}{new}"))

    def _is_free(self, number: int, uid: str, taken: dict[int, str]) -> bool:
        owner = taken.get(number)
        return owner is None or owner == uid or owner in self._shared

    def _kept_here(self, taken: dict[int, str]) -> dict[int, str]:
        """Numbers on blank tags and of plans of this book; where the other book has that tag or plan too, its grafts may have
        them."""
        session = self._unit.session
        held = dict(merge_queries.reserved(session))
        for block in merge_queries.blocks(session):
            held |= dict.fromkeys(range(block.first, block.first + block.many), block.uid)
        theirs = {*merge_queries.reserved(self._there.session).values()}
        theirs |= {block.uid for block in merge_queries.blocks(self._there.session)}
        self._shared = theirs | {self._found.same.get(uid, uid) for uid in theirs}
        return {number: uid for number, uid in held.items() if number not in taken}

    def _blocks(self, taken: dict[int, str]) -> None:
        """Codes of plans that come, or of which the other book gave out the codes."""
        coming = set(self._found.comes.get("plan", ()))
        coming |= {
            uid for (name, uid), values in self._found.takes.items() if name == "plan" and "first_graft" in values
        }
        grafts = set(self._found.comes.get("graft", ()))
        for block in merge_queries.blocks(self._there.session):
            if block.uid not in coming:
                continue
            numbers = range(block.first, block.first + block.many)
            if any(taken.get(number, block.uid) not in (block.uid, *grafts) for number in numbers):
                first = self._unit.next_number("G", block.many)
                self._shifts.append((block, first))
                self.codes.values["plan", block.uid] = {"first_graft": first}
            else:
                first = block.first
                self._unit.number_used("G", first + block.many - 1)
            taken |= dict.fromkeys(range(first, first + block.many), block.uid)

    def _blank_tags(self, taken: dict[int, str]) -> None:
        """Blank tags of the other book: those whose code is taken here are no good any more."""
        coming = set(self._found.comes.get("reserved_code", ()))
        both = {own for name, own, _other in self._found.joined if name == "reserved_code"}
        here = merge_queries.reserved(self._unit.session)
        self.codes.twice = [f"G{number}" for number, uid in sorted(here.items()) if uid in both]
        for number, uid in sorted(merge_queries.reserved(self._there.session).items()):
            if uid not in coming:
                continue
            if number in taken:
                self.codes.blanks.append(f"G{number}")
                self._found.comes["reserved_code"].remove(uid)
            else:
                taken[number] = uid

    def _numbers(self, name: str) -> None:
        """Wants, plans, runs and requests are known by numbers."""
        own, theirs = (merge_queries.numbers(each, name) for each in (self._unit.session, self._there.session))
        moved = {uid: values["number"] for (table, uid), values in self._found.takes.items()
                 if table == name and "number" in values}  # fmt: skip
        taken = {number for uid, number in own.items() if uid not in moved}
        wanted = sorted([(theirs[uid], uid) for uid in self._found.comes.get(name, ())]
                        + [(number, uid) for uid, number in moved.items()])  # fmt: skip
        last = max((*own.values(), *theirs.values()), default=0)
        for number, uid in wanted:
            new = number
            if number in taken:
                new = last = last + 1
                self.codes.values.setdefault((name, uid), {})["number"] = new
                self.codes.given.append(NewCode(name, uid, str(number), str(new)))
            taken.add(new)

    def _runs(self) -> None:
        """A run keeps the codes it printed; of what has another code now it printed none, so that its tag is asked for."""
        old = {each.old for each in self.codes.given if each.table_name in ("plant", "bundle", "graft")}
        if not old:
            return
        coming = self._found.comes.get("tag_run", ())
        for uid, values in self._there.rows(BY_NAME["tag_run"], coming):
            kept = [code for code in values["codes"] if code.split("/")[0] not in old]
            if kept != values["codes"]:
                self.codes.values.setdefault(("tag_run", uid), {})["codes"] = kept

    def _sheets(self) -> None:
        """Rows of growers' sheets name what they made by its codes, and the row they are a later state of by its number."""
        new = {each.old: each.new for each in self.codes.given if each.table_name in _CODED}
        numbers = {int(each.old): int(each.new) for each in self.codes.given if each.table_name == "sheet_row"}
        coming = self._found.comes.get("sheet_row", ()) if new or numbers else ()
        for uid, values in self._there.rows(BY_NAME["sheet_row"], coming):
            now: dict[str, Any] = {}
            if values.get("made"):
                now["made"] = _renamed(values["made"], new)
            if values.get("was") in numbers:
                now["was"] = numbers[values["was"]]
            changed = {name: value for name, value in now.items() if value != values[name]}
            if changed:
                self.codes.values.setdefault(("sheet_row", uid), {}).update(changed)


_CODED = frozenset(str(table.__tablename__) for table in find.TABLES.values())


def _renamed(made: str, new: dict[str, str]) -> str:
    """Codes and runs of them, those with another code under that."""
    codes = [code.base for part in made.split(", ") for code in read_many(part)]
    return ", ".join(code_runs([new.get(code, code) for code in codes]))
