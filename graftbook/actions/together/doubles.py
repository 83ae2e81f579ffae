"""doubles: what may stand in the book twice, and two made one by the person's word.

Of two rows the first stays; what only the other says is taken over, what both say otherwise stays as the first has it and is
in the history of the other, whose code still finds it. Names are no rows: people are called the same everywhere, and of
cultivars one becomes a synonym of the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count, first_of
from graftbook.actions.names import cultivar_names
from graftbook.actions.soundness import doctor
from graftbook.actions.together import finding_doubles
from graftbook.actions.together.finding_doubles import CULTIVAR, GRAFT, PERSON, PLANT, Likely
from graftbook.book import asking, find, lineage_queries, portable
from graftbook.book.doubles_queries import NAMES_OF_PEOPLE
from graftbook.book.lineage import Person
from graftbook.book.merged import Former
from graftbook.book.tables import RECORD
from graftbook.book.unit import Unit, plain, row_values
from graftbook.codes import Code, read_one
from graftbook.errors import Refused, UsageProblem

ALL = "all"
_OWN = frozenset({"id", "uid", "number", "code"})


@dataclass(frozen=True)
class DoubleRow:
    """Two that may be one. `keep` stays and `other` becomes it if they are joined; `differ` is what they say otherwise, `entry` the
    entry that joined them (None: not joined)."""

    kind: str
    keep: str
    other: str
    why: str
    differ: str | None
    entry: int | None
    shown: ClassVar = ("kind", "keep", "other", "why", "differ")


def doubles(desk: Desk, join: tuple[str, ...] = (), who: str | None = None) -> Report:
    """List what may be double; join those named in `join` as `KEEP=OTHER`, or `all` of those listed, each in an entry of its own.

    Raises UsageProblem for a pair that is none, NotFound for a thing the book has not got, Refused where the record would be
    broken by it.
    """
    with desk.book.read() as session:
        found = finding_doubles.every(session)
    rows = []
    for likely in _wanted(found, join) if join else found:
        with desk.book.read() as session:
            differ = first_of(list(_differing(session, likely)), 4) or None
        entry = _joined(desk, likely, who) if join else None
        rows.append(DoubleRow(likely.kind, likely.keep, likely.other, likely.why, differ, entry))
    title = f"Joined {count(len(rows), 'pair')}, each an entry of its own" if join else ""
    notes = (_undo_words(rows),) if join else ((_NEXT,) if rows else ())
    return Report(DoubleRow, tuple(rows), notes, {"as_of": desk.today}, title=title,
                  empty="Nothing seems to stand in the book twice.")  # fmt: skip


_NEXT = "Nothing is joined unless you say so: graftbook doubles --join P3=P7 makes P7 one with P3; --join all joins all of these."


def _undo_words(rows: list[DoubleRow]) -> str:
    return f"To part them again: graftbook undo {rows[-1].entry}." if rows else "Nothing was joined."


def _wanted(found: list[Likely], join: tuple[str, ...]) -> Iterator[Likely]:
    """The pairs meant; two that are not listed are taken at the person's word."""
    if join == (ALL,):
        gone: set[str] = set()
        for likely in found:
            if not gone & {likely.keep, likely.other}:
                gone.add(likely.other)
                yield likely
        return
    for text in join:
        keep, mark, other = (part.strip() for part in text.partition("="))
        if not (keep and mark and other):
            raise UsageProblem("two that are one, the one to keep first, such as P3=P7, or all", repr(text))
        known = next((one for one in found if {one.keep, one.other} == {keep, other}), None)
        kind = known.kind if known is not None else _kind(keep, other)
        yield Likely(kind, keep, other, known.why if known is not None else "you say so")


def _kind(keep: str, other: str) -> str:
    """The kind of two that nobody listed: their codes tell."""
    one, two = read_one(keep), read_one(other)
    if one.letter != two.letter or one.letter == "W" or one.base == two.base:
        raise UsageProblem(
            "two plants or two grafts", f"{keep} and {other}", "Names are joined only as they are listed"
        )
    return PLANT if one.letter == "P" else GRAFT


def _joined(desk: Desk, likely: Likely, who: str | None) -> int | None:
    if likely.kind == CULTIVAR:
        return cultivar_names.add(desk, likely.other, likely.keep, "found to be one name", who=who).entry_id
    with desk.book.write("doubles", desk.person(who)) as unit:
        before = doctor.breaches(unit.session, desk.book.location)
        if likely.kind == PERSON:
            _join_people(desk, unit, likely)
        else:
            _join_rows(desk, unit, *_rows(unit.session, likely))
        unit.write_down()
        broken = doctor.breaches(unit.session, desk.book.location) - before
        if broken:
            raise Refused(
                f"{likely.other} cannot be one with {likely.keep}: {first_of(sorted(broken), 3, ' ')}", "",
                "They were left as they are",
            )  # fmt: skip
        return unit.commit(f"Joined {likely.other} with {likely.keep}: {likely.why}").id


def _rows(session: Any, likely: Likely) -> tuple[Any, Any]:
    codes: list[Code] = [read_one(likely.keep), read_one(likely.other)]
    keep, other = find.many(session, codes)
    if keep.id == other.id:
        raise Refused(f"{likely.keep} and {likely.other} are one already")
    return keep, other


def _differing(session: Any, likely: Likely) -> Iterator[str]:
    """What two rows say otherwise, in words."""
    if likely.kind not in (PLANT, GRAFT):
        return
    keep, other = (row_values(row) for row in _rows(session, likely))
    for name in keep:
        if name not in _OWN and keep[name] is not None and other[name] is not None and keep[name] != other[name]:
            yield f"{name.replace('_', ' ')} {keep[name]} / {other[name]}"


def _join_rows(desk: Desk, unit: Unit, keep: Any, other: Any) -> None:
    """What points to the other points to the one that stays, which takes over what only the other says."""
    name = str(type(keep).__tablename__)
    for table in RECORD:
        for column, target in portable.keys_of(str(table.__tablename__)).items():
            if target == name:
                for row in asking.things_with(unit.session, table, getattr(table, column), [other.id]):
                    unit.amend(row, **{column: keep.id})
    _take_over(unit, keep, other)
    gone = plain(row_values(other))
    unit.remove_many(type(other), [(other.uid, gone)])
    unit.add(Former, thing=name, of_uid=keep.uid, code=gone.get("code"), was_uid=gone["uid"], on=desk.today)


def _take_over(unit: Unit, keep: Any, other: Any) -> None:
    mine, theirs = row_values(keep), row_values(other)
    more = {name: theirs[name] for name, value in mine.items()
            if name not in _OWN and value is None and theirs[name] is not None}  # fmt: skip
    if "stage_on" in mine and (theirs["stage_on"] or date.min) > (mine["stage_on"] or date.min):
        more |= {each: theirs[each] for each in ("stage", "stage_on", "bark")}
    if "host_plant_id" in mine:
        more = {name: value for name, value in more.items() if name not in ("host_plant_id", "host_graft_id")}
    if more:
        unit.amend(keep, **more)


def _join_people(desk: Desk, unit: Unit, likely: Likely) -> None:
    """One name everywhere; of two people who are recorded one stays."""
    for column in NAMES_OF_PEOPLE:
        for row in asking.things_with(unit.session, column.class_, column, [likely.other]):
            unit.amend(row, **{column.key: likely.keep})
    people = {person.name: person for person in lineage_queries.people(unit.session)}
    keep, other = people.get(likely.keep), people.get(likely.other)
    if keep is not None and other is not None:
        _take_over(unit, keep, other)
        gone = plain(row_values(other))
        unit.remove_many(Person, [(other.uid, gone)])
        unit.add(Former, thing="person", of_uid=keep.uid, was_uid=gone["uid"], on=desk.today)
    elif other is not None:
        unit.amend(other, name=likely.keep)
