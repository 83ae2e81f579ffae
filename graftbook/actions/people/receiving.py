"""Wood that comes from somebody: recorded with its doubts, and held against what is here already."""

from __future__ import annotations

from dataclasses import dataclass, replace

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import cultivar_names, have, health_flow, name_text, own_notes
from graftbook.actions.wood import wood
from graftbook.actions.wood.wood import WoodWords
from graftbook.book.wood import CONDITIONS
from graftbook.errors import Refused, UsageProblem


@dataclass(frozen=True)
class Extra:
    """What is said of received wood beside its facts, as typed; None means not said."""

    condition: str | None = None
    sure: str | None = None
    nickname: str | None = None
    rights: str | None = None
    until: str | None = None


def receive(
    desk: Desk, called: str, words: WoodWords, sticks: int, extra: Extra, on: str | None = None, who: str | None = None
) -> Recorded:
    """Record one bundle received: a name, "A or B" or unknown, how it looked, your note on rights.

    Each of these is an entry of its own, checked before the first is written. Raises as adding, naming, inspecting and
    noting wood do.
    """
    day = desk.day(on)
    if not (words.donor or "").strip():
        raise UsageProblem("who the wood came from: a name or initials", repr(words.donor))
    with desk.book.read() as session:
        named = name_text.read(session, called)
        sure = name_text.sure(extra.sure, named.names)
        like = [row for name in named.names for row in have.rows_like(session, name, day)]
        here = have.already(like)
        rights = health_flow.rights_on(session, (*named.names, *(row.cultivar for row in like)), day)
    _check(desk, extra, named.names)
    facts = replace(words, cultivar=named.names[0] if len(named.names) == 1 else None, received=day.isoformat())
    made = wood.add(desk, facts, sticks, None, who)
    code = made.codes[0]
    notes = [*named.notes, *(note for note in made.notes if note not in named.notes), *here, *rights]
    cautions = list(made.cautions)
    if len(named.names) != 1 or extra.sure is not None:
        called = " | ".join(named.names) or "unknown"
        cultivar_names.name(desk, code, called, sure=sure, nickname=extra.nickname, on=day.isoformat(), who=who)
        notes.append(f"Named {' or '.join(named.names) or 'unknown'}, {sure}.")
    if extra.condition is not None:
        notes.append(wood.inspect(desk, code, extra.condition, day.isoformat(), who).line)
    if extra.rights is not None:
        noted = own_notes.add_note(desk, code, "W", rights=extra.rights, until=extra.until, on=day.isoformat(), who=who)
        notes.append(noted.line)
        cautions += [caution for caution in noted.cautions if caution not in cautions]
    return Recorded(made.line, made.entry_id, made.codes, tuple(notes), tuple(cautions))


def _check(desk: Desk, extra: Extra, names: tuple[str, ...]) -> None:
    if extra.condition is not None and extra.condition.strip().lower() not in CONDITIONS:
        raise UsageProblem(f"what the wood looked like: {', '.join(CONDITIONS)}", repr(extra.condition))
    if extra.nickname is not None and names:
        raise UsageProblem("a nickname for what is unknown", "a name beside it")
    if extra.rights is not None and blank(extra.rights) is None:
        raise UsageProblem("your own words on the rights", repr(extra.rights))
    if extra.until is not None:
        if extra.rights is None:
            raise UsageProblem("--until with --rights", "--until alone")
        if desk.day(extra.until, future=True) < desk.today:
            raise Refused(f"the rights ended on {extra.until}", "", "Leave --rights out")
