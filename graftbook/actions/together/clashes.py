"""What was changed on both sides, and which side the person says stands: for one thing by its name, or for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from graftbook.actions.together.differences import EXISTS, Clash, Comparing
from graftbook.book import merge_queries
from graftbook.book.portable import Values, keys_of
from graftbook.book.tables import BY_NAME
from graftbook.errors import UsageProblem

ALL = "all"
HERE, THERE, NEWEST = "here", "there", "newest"
_OPTIONS = {HERE: "--keep", THERE: "--take", NEWEST: "--newest"}


@dataclass(frozen=True)
class Word:
    """What the person says of clashes: things by name, or `all`; empty for nothing said."""

    keep: tuple[str, ...] = ()
    take: tuple[str, ...] = ()
    newest: tuple[str, ...] = ()

    @classmethod
    def of(cls, keep: str | None, take: str | None, newest: str | None) -> Word:
        """The words of the three options as typed, lists with commas. Raises UsageProblem for a thing named in two of them."""
        said = [tuple(part.strip().casefold() for part in (text or "").split(",") if part.strip())
                for text in (keep, take, newest)]  # fmt: skip
        named = [name for names in said for name in set(names)]
        twice = sorted({name for name in named if named.count(name) > 1})
        if twice:
            raise UsageProblem("each thing under one of --keep, --take and --newest", f"{', '.join(twice)} under two")
        return cls(*said)

    def unknown(self, things: Sequence[str]) -> list[str]:
        """The names that are none of these things."""
        known = {thing.casefold() for thing in things} | {ALL}
        return [name for name in (*self.keep, *self.take, *self.newest) if name not in known]

    def stands(self, thing: str, clash: Clash) -> str | None:
        """Which side stands: `here`, `there`, or None where the person did not say, or the newest cannot be told."""
        for name in (thing.casefold(), ALL):
            for side, said in ((HERE, self.keep), (THERE, self.take), (NEWEST, self.newest)):
                if name in said:
                    return _newest(clash) if side == NEWEST else side
        return None


def _newest(clash: Clash) -> str | None:
    here, there = clash.here_entry, clash.there_entry
    if here is None or there is None or here.at == there.at:
        return None
    return HERE if here.at > there.at else THERE


class Things:
    """What people call the rows of two books."""

    def __init__(self, books: Comparing) -> None:
        self._books = (books.here.portable, books.there.portable)
        self._now = books.now
        self._codes: dict[str, str | None] = {}

    def called(self, table_name: str, uid: str) -> str:
        """The name of a row: its code, its number with its kind, or what it is about. One that is in neither book is named by
        its kind."""
        for book in self._books:
            for _uid, values in book.rows(BY_NAME[table_name], [uid]):
                return self.by_values(table_name, values)
        return table_name.replace("_", " ")

    def by_values(self, table_name: str, values: Values) -> str:
        """The same of a row whose values are at hand."""
        kind = table_name.replace("_", " ")
        if values.get("code"):
            return str(values["code"])
        if "number" in values:
            return f"{kind} {values['number']}"
        if table_name in ("person", "weather_station"):
            return str(values["name"])
        owners = (self._code(self._now(values[key])) for key in keys_of(table_name) if values.get(key))
        return next((code for code in owners if code is not None), kind)

    def _code(self, uid: str) -> str | None:
        """The code of a row in either book; None where it has none."""
        if uid not in self._codes:
            found = (merge_queries.codes(book.session, [uid]).get(uid) for book in self._books)
            self._codes[uid] = next((code for code in found if code is not None), None)
        return self._codes[uid]

    def shown(self, clash: Clash, value: Any) -> str | None:
        """A value of a clash as people read it: rows by their codes."""
        if clash.field in keys_of(clash.table_name) and isinstance(value, str):
            return self.called(keys_of(clash.table_name)[clash.field], self._now(value))
        return None if value is None else str(value)


def settle(books: Comparing, things: Things, word: Word, clashes: Sequence[Clash]) -> dict[Clash, str | None]:
    """Which side of each clash stands by the person's word; what the other book has and stands is taken."""
    found = {}
    for clash in clashes:
        found[clash] = stands = word.stands(things.called(clash.table_name, clash.uid), clash)
        if stands == THERE:
            books.found.take(clash)
    return found


def words_of(clash: Clash) -> str:
    """What clashes: the field, or the row itself."""
    kind = clash.table_name.replace("_", " ")
    field = clash.field.removesuffix("_id").replace("_", " ")
    return (
        kind
        if clash.field == EXISTS
        else field
        if clash.table_name in ("plant", "bundle", "graft")
        else f"{kind} {field}"
    )
