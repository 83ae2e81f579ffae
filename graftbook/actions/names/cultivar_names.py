"""Saying what something is: one cultivar, "A or B" or unknown, with how sure, and what follows for the whole clone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import lineages, name_text
from graftbook.actions.names.lineages import Lineage
from graftbook.book import find, journal, lineage_queries
from graftbook.book.lineage import Naming, Synonym
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.codes import Code
from graftbook.errors import NotFound, Refused, UsageProblem
from graftbook.lineage.epithets import bare

MOST_NOTES = 12


def name(
    desk: Desk, text: str, called: str, *, sure: str | None = None, nickname: str | None = None, why: str | None = None,
    on: str | None = None, who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record one naming of each thing behind the codes: a plant, a bundle, a stick such as W7/3, a graft.

    What follows for every thing of the same clone is named, and who received wood of it. Raises UsageProblem for a name
    said twice or a nickname for a named thing, NotFound for codes the book has not got, Refused for a day before the thing.
    """
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("name", person) as unit:
        said = name_text.read(unit.session, called)
        if said.names and nickname is not None:
            raise UsageProblem(
                "a nickname for what is unknown", f"--nickname beside {called!r}", "Name it or nickname it"
            )
        things = subjects(unit.session, text, day)
        before = lineages.fetch(unit.session)
        facts: dict[str, Any] = {
            "on": day, "candidates": said.kept, "typed": said.typed, "nickname": blank(nickname),
            "sure": name_text.sure(sure, said.names), "why": blank(why), "who": person, "note": blank(note),
        }  # fmt: skip
        for code, row in things:
            unit.add(Naming, **{_column(row): row.id, "stick": code.stick}, **facts)
        after = lineages.fetch(unit.session)
        named = tuple(str(code) for code, _ in things)
        what = " or ".join(f"'{one}'" for one in said.names) or (
            f'unknown ("{nickname.strip()}")' if nickname else "unknown"
        )
        entry = unit.commit(f"Named {code_list(named)} {what}, {facts['sure']}")
    return Recorded(f"{entry.summary}.", entry.id, named, (*said.notes, *consequences(before, after, named)))


def _column(row: Any) -> str:
    return "plant_id" if isinstance(row, Plant) else "bundle_id" if isinstance(row, Bundle) else "graft_id"


def subjects(session: Session, text: str, day: date) -> list[tuple[Code, Any]]:
    """The things behind codes, sticks among them, there by a day. Raises UsageProblem, NotFound, Refused."""
    wanted = codes.read_many(text)
    try:
        rows = find.many(session, wanted)
    except NotFound as error:
        raise NotFound(error.expected, "", _undone(session, wanted) or error.next_step) from error
    came = lineage_queries.came_in(session) if any(code.stick is not None for code in wanted) else {}
    for code, row in zip(wanted, rows, strict=True):
        if code.stick is not None and not 1 <= code.stick <= came.get(row.id, 0):
            raise UsageProblem(f"a stick of {code.base} from 1 to {came.get(row.id, 0)}", str(code))
        since = _began(row)
        if since is not None and day < since:
            raise Refused(f"{code} began on {since.isoformat()}; it could not be named on {day.isoformat()}")
    return list(zip(wanted, rows, strict=True))


def number_meant(session: Session, book: Lineage, text: str) -> int:
    """The number in a lineage of the one thing behind a code; a stick that nothing was said of is what its bundle is. Raises
    as `subjects`."""
    code = codes.read_one(text)
    thing = book.threads.number.get(str(code))
    if thing is None:
        subjects(session, text, date.max)
        thing = book.threads.number[code.base]
    return thing


def _began(row: Any) -> date | None:
    if isinstance(row, Plant):
        return row.acquired_on
    return (row.cut_on or row.received_on) if isinstance(row, Bundle) else row.made_on


def _undone(session: Session, wanted: Sequence[Code]) -> str:
    """A hint where a code was given once and what gave it was undone."""
    for code in find.once_given(session, wanted):
        given = journal.uids_of_code(session, find.TABLES[code.letter].__tablename__, code.base)
        if given:
            return f"{code.base} was recorded once and undone: graftbook history {code.base}"
    return ""


def consequences(before: Lineage, after: Lineage, named: Iterable[str] = ()) -> tuple[str, ...]:
    """What became something else, in sentences: by counting, contradictions, and who received wood of it."""
    changed = _changed(before, after)
    notes = [_became(after, became, was, things) for (became, was), things in changed.items()]
    notes += _contradictions(after, [thing for things in changed.values() for thing in things], named)
    notes += [_counting(after, bundle) for bundle in after.found.uncountable if bundle not in before.found.uncountable]
    affected = {thing for things in changed.values() for thing in things}
    notes += received(after, affected)
    more = len(notes) - MOST_NOTES
    return tuple(notes if more <= 0 else [*notes[:MOST_NOTES], f"And {more} more: graftbook name show CODE."])


def _changed(before: Lineage, after: Lineage) -> dict[tuple[str, str], list[int]]:
    old = {code: _is(before, thing) for thing, code in enumerate(before.threads.codes)}
    found: dict[tuple[str, str], list[int]] = {}
    for thing, code in enumerate(after.threads.codes):
        now, was = _is(after, thing), old.get(code)
        if was is not None and now != was:
            found.setdefault((f"{now[0]}, {now[1]}", ", ".join(word for word in was if word)), []).append(thing)
    return found


def _is(book: Lineage, thing: int) -> tuple[str, str | None]:
    identity = book.identity(thing)
    return lineages.written(identity), lineages.how_sure(identity)


def _became(after: Lineage, became: str, was: str, things: Sequence[int]) -> str:
    return f"Now {became} (before: {was}): {code_list(map(after.code, things), 8)}."


def _contradictions(after: Lineage, things: Sequence[int], named: Iterable[str]) -> list[str]:
    notes: dict[tuple[int, ...], str] = {}
    asked = [after.threads.number[code] for code in named if code in after.threads.number]
    for thing in (*asked, *things):
        identity = after.identity(thing)
        if identity.against and identity.against not in notes:
            words = "; ".join(_word(after, ref) for ref in identity.against[:4])
            first = "Words on this clone contradict each other" if identity.disputed else "Other words stand against it"
            notes[identity.against] = f"{first}: {words}. All stay: graftbook name show {after.code(thing)}."
        if identity.outside:
            notes[(-1, thing)] = f"{after.code(thing)} was found to be something that was not mixed in."
    return list(notes.values())


def _word(after: Lineage, ref: int) -> str:
    said = after.said[ref]
    names = " or ".join(f"'{one}'" for one in said.names) or "unknown"
    how = f"named {names}, {said.naming.sure}, on {said.on}" if said.naming is not None else f"recorded as {names}"
    return f"{after.code(said.thing)} {how}"


def _counting(after: Lineage, bundle: int) -> str:
    mix, code = after.threads.mix_of[bundle], after.code(bundle)
    too_many = []
    for name in sorted({name for part in mix.parts for name in after.identity(part).names}):
        most = sum(
            count for part, count in zip(mix.parts, mix.counts or (), strict=True) if name in after.identity(part).names
        )
        named = max(
            sum(after.identity(thing).names == (name,) for thing in things) for things in (mix.sticks, mix.opened)
        )
        if named > most:
            too_many.append(f"{named} are named '{name}', and no more than {most} of it went in")
    said = f" ({'; '.join(too_many)})" if too_many else ""
    return f"More sticks of {code} were found to be one kind than went in{said}, so counting settles nothing there."


def received(book: Lineage, things: Iterable[int]) -> list[str]:
    """Who received wood of these things: sticks given from their bundles, one sentence a gift."""
    wanted = set(things)
    return [
        f"{gift.receiver or 'Somebody'} received {count(gift.sticks, 'stick')} of {code} on {gift.on.isoformat()}, "
        f"now {lineages.written(book.identity(thing))}."
        for gift, code, thing in book.given()
        if thing in wanted
    ]


def add(
    desk: Desk, name: str, preferred: str, why: str | None = None, on: str | None = None, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record that `name` is another name of `preferred`, which is shown from now on.

    Raises UsageProblem for an empty name or one name twice, Refused for a name that is a synonym already, or where the two
    would lead to each other.
    """
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("synonym", person) as unit:
        held = {naming.key(row.name): row for row in lineage_queries.synonyms(unit.session)}
        cultivars = naming.Cultivars.of(unit.session)
        other, shown = bare(name), cultivars.name(preferred).kept
        if not naming.key(other) or not naming.key(shown):
            raise UsageProblem("two cultivar names", repr(name if not naming.key(other) else preferred))
        if naming.key(other) == naming.key(shown):
            raise UsageProblem(
                "two different names", f"{name!r} and {preferred!r}", "The book holds them to be one already"
            )
        if naming.key(other) in held:
            row = held[naming.key(other)]
            raise Refused(f"'{other}' is shown as '{row.preferred}' already", "", "Undo that first")
        unit.add(Synonym, on=day, name=other, preferred=shown, why=blank(why), who=person, note=blank(note))
        entry = unit.commit(f"'{other}' is another name of '{shown}'")
    return Recorded(
        f"{entry.summary}.", entry.id, (), ("What was typed stays with each thing; lists show the preferred name.",)
    )
