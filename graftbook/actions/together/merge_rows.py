"""What a merge says: what comes, what changes, what has a new code, what clashes, which settings differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from graftbook.actions.desk.results import code_list, count
from graftbook.actions.together.clashes import Things, words_of
from graftbook.actions.together.differences import Clash, Comparing
from graftbook.actions.together.new_codes import NewCodes
from graftbook.book import merge_queries
from graftbook.book.settings import Settings
from graftbook.book.story import KnownEntry

COMES, CHANGES, GOES, CODE, CLASH, SETTING = "comes", "changes", "goes", "new code", "changed in both", "setting"
_CODED = {"plant": "P", "bundle": "W", "graft": "G"}


@dataclass(frozen=True)
class MergeRow:
    """One thing that a merge does or asks.

    `what` is `comes`, `changes`, `goes`, `new code`, `changed in both` or `setting`. `here` and `there` are what either book
    says, with who said so and when (None: not known); of new codes that count up together `thing` is the run of them and
    `there` that of the old ones. `stands` is `here` or `there`, None where the person has not said.
    """

    what: str
    thing: str
    field: str | None = None
    here: str | None = None
    here_who: str | None = None
    here_at: datetime | None = None
    there: str | None = None
    there_who: str | None = None
    there_at: datetime | None = None
    stands: str | None = None
    shown: ClassVar = ("what", "thing", "field", "here_said", "there_said", "stands")
    headings: ClassVar = {"here_said": "here", "there_said": "there"}

    @property
    def here_said(self) -> str | None:
        """What this book says, and by whom and when."""
        return _said(self.here, self.here_who, self.here_at)

    @property
    def there_said(self) -> str | None:
        """What the other book says, and by whom and when."""
        return _said(self.there, self.there_who, self.there_at)


def _said(value: str | None, who: str | None, at: datetime | None) -> str | None:
    if at is None:
        return value
    return f"{value if value is not None else 'nothing'} ({who + ', ' if who else ''}{at.date().isoformat()})"


def rows(
    books: Comparing, codes: NewCodes, things: Things, settled: Mapping[Clash, str | None]
) -> tuple[MergeRow, ...]:
    """All of it, clashes first."""
    return (
        *(_clash(things, clash, stands) for clash, stands in settled.items()),
        *_new_codes(books, codes),
        *_coming(books, codes),
        *_changing(books, things),
        *_going(books, things),
    )


def _clash(things: Things, clash: Clash, stands: str | None) -> MergeRow:
    here, there = clash.here_entry, clash.there_entry
    return MergeRow(
        CLASH, things.called(clash.table_name, clash.uid), words_of(clash),
        things.shown(clash, clash.here), *_by(here), things.shown(clash, clash.there), *_by(there), stands,
    )  # fmt: skip


def _by(entry: KnownEntry | None) -> tuple[str | None, datetime | None]:
    return (None, None) if entry is None else (entry.who, entry.at)


def _new_codes(books: Comparing, codes: NewCodes) -> Iterator[MergeRow]:
    for new, old in code_pairs(coded_anew(books, codes)):
        yield MergeRow(CODE, new, "code", there=old)
    for each in codes.given:
        if each.table_name not in _CODED:
            yield MergeRow(CODE, f"{each.table_name.replace('_', ' ')} {each.new}", "number", there=each.old)


def code_pairs(codes: Mapping[str, str]) -> list[tuple[str, str]]:
    """New codes with the old ones, those that count up together as runs: `G57-G60` and `G12-G15`."""
    runs: list[list[tuple[str, str]]] = []
    for pair in sorted(codes.items(), key=lambda pair: (pair[0][0], int(pair[0][1:]))):
        follows = runs and all(_next_code(last) == code for last, code in zip(runs[-1][-1], pair, strict=True))
        if follows:
            runs[-1].append(pair)
        else:
            runs.append([pair])
    return [(_run(run[0][0], run[-1][0]), _run(run[0][1], run[-1][1])) for run in runs]


def _next_code(code: str) -> str:
    return f"{code[0]}{int(code[1:]) + 1}"


def _run(first: str, last: str) -> str:
    return first if first == last else f"{first}-{last}"


def coded_anew(books: Comparing, codes: NewCodes) -> dict[str, str]:
    """The codes of things whose tag says another, with that: those that come, and those that got another in the other book."""
    found = {each.new: each.old for each in codes.given if each.table_name in _CODED}
    for (name, uid), values in books.found.takes.items():
        new = codes.values.get((name, uid), {}).get("code", values.get("code"))
        if name in _CODED and new is not None and (name, uid) in books.before:
            found[new] = books.before[name, uid]["code"]
    return found


def _coming(books: Comparing, codes: NewCodes) -> Iterator[MergeRow]:
    for name, uids in books.found.comes.items():
        if not uids:
            continue
        shown = ""
        if name in _CODED:
            theirs = merge_queries.codes(books.there.portable.session, uids)
            new = [codes.values.get((name, uid), {}).get("code", theirs[uid]) for uid in uids]
            shown = code_list(sorted(new, key=lambda code: int(code[1:])))
        yield MergeRow(COMES, counted(name, len(uids)), None, there=shown or None)


def _changing(books: Comparing, things: Things) -> Iterator[MergeRow]:
    for (name, uid), values in books.found.takes.items():
        held = books.before.get((name, uid))
        called = things.called(name, uid) if held is None else things.by_values(name, held)
        held = held or {}
        for field in sorted(set(values) - {"number", "code"}):
            clash = Clash(name, uid, field, held.get(field), values[field], None, None)
            who, at = _by(books.found.entries.get((name, uid)))
            yield MergeRow(
                CHANGES, called, words_of(clash), things.shown(clash, clash.here),
                there=things.shown(clash, clash.there), there_who=who, there_at=at, stands="there",
            )  # fmt: skip


def _going(books: Comparing, things: Things) -> Iterator[MergeRow]:
    for name, uids in books.found.gone.items():
        for uid in uids:
            called = books.going.get(uid, name.replace("_", " "))
            yield MergeRow(GOES, called, name.replace("_", " "), "stands", there="taken away", stands="there")


def settings(here: Settings, there: Settings) -> Iterator[MergeRow]:
    """Settings that differ: this book's stand."""
    for key, value in vars(here).items():
        other = getattr(there, key)
        if other != value:
            yield MergeRow(SETTING, key.replace("_", " "), None, value or None, there=other or None, stands="here")


_MANY = {
    "own_row": "rows of your own", "care": "cares", "person": "people", "naming": "namings", "weather_year": "years of weather",
    "stay": "stays", "plan_row": "lines of plans", "reserved_code": "blank tags", "former": "former names and codes",
    "caution_note": "health or rights notes", "place_weather": "words on weather", "tag_run": "runs of tags",
}  # fmt: skip


def counted(name: str, number: int) -> str:
    """`3 grafts`: so many rows of a table."""
    plain = name.replace("_", " ")
    return count(number, plain, _MANY.get(name))
