"""What another book holds that this one has not got, by what was done to each row here and there since they were one.

A row is the same where its uid is; or a row that was joined with another says so; or it is one of those that a book holds once
only (a person of a name, a station, a day's weather). A value that was changed on one side only is taken; one that
was changed on both, to different values, is a clash, and nobody decides it but the person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from graftbook.actions.together.weather_years import filled_year
from graftbook.book.asking import chunks
from graftbook.book.portable import Values, keys_of
from graftbook.book.story import BookStory, KnownChange, KnownEntry, end_of
from graftbook.book.tables import BY_NAME, RECORD

EXISTS = "record"
"""The field of a clash about whether a row is there at all."""
GONE, STANDS = "taken away", "stands"
CODE = frozenset({"code", "number"})
NOT_ASKED = frozenset({*CODE, "codes", "first_graft"})
"""Fields that follow from how codes and numbers were given: where both sides changed them, this book's stand."""
LATEST = {"plant": ("stage", "stage_on", "bark"), "bundle": ("store", "packing", "temperature_c")}
"""Fields that follow from dated rows: the newest of those decides when all are in."""
ONCE: dict[str, tuple[str, ...]] = {
    "person": ("name",), "weather_station": ("name",), "weather_year": ("station_id", "year"),
    "synonym": ("name", "preferred"), "own_row": ("trade_table", "fields"), "reserved_code": ("code",),
    "place_weather": ("place", "on", "station_id", "low_c", "high_c"),
}  # fmt: skip
"""What makes rows of two books the same that were written down apart."""
_ASKED_OF_ONCE = frozenset({"person", "weather_station", "weather_year"})
_LEFT_ALONE = frozenset({"setting"})
COMPARED = tuple(str(table.__tablename__) for table in RECORD if table.__tablename__ not in _LEFT_ALONE)


class Clash(NamedTuple):
    """A field of a row that was changed here and there: its values, and who made them so. `uid` is the row's in this book, or
    in the other where only that has it; the entries are the latest of either side, None where nobody knows."""

    table_name: str
    uid: str
    field: str
    here: Any
    there: Any
    here_entry: KnownEntry | None
    there_entry: KnownEntry | None


@dataclass
class Differences:
    """What the other book holds beyond this one. `comes` are new rows by table, in its order; `takes` are values to be taken,
    by table, row and field; `gone` the rows that were taken away there; `same` the rows of the other book by uid that are others
    here; `joined` those of them that were found just now."""

    comes: dict[str, list[str]] = field(default_factory=dict)
    takes: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)
    entries: dict[tuple[str, str], KnownEntry | None] = field(default_factory=dict)
    gone: dict[str, list[str]] = field(default_factory=dict)
    clashes: list[Clash] = field(default_factory=list)
    same: dict[str, str] = field(default_factory=dict)
    joined: list[tuple[str, str, str]] = field(default_factory=list)
    kept: list[tuple[str, str]] = field(default_factory=list)
    new: frozenset[str] = frozenset()

    def take(self, clash: Clash) -> None:
        """Settle a clash as the other book has it."""
        if clash.field != EXISTS:
            self.takes.setdefault((clash.table_name, clash.uid), {})[clash.field] = clash.there
        elif clash.there == STANDS:
            self.comes.setdefault(clash.table_name, []).append(clash.uid)
        else:
            self.gone.setdefault(clash.table_name, []).append(clash.uid)


class Comparing:
    """Two books being compared."""

    def __init__(self, here: BookStory, there: BookStory, progress: Callable[[int], None] | None = None) -> None:
        self.here, self.there, self._progress = here, there, progress
        self.found = Differences(new=frozenset(there.known) - here.uids)
        self.coming_sets: dict[tuple[str, int], set[str]] = {}
        self.before: dict[tuple[str, str], Values] = {}
        self.going: dict[str, str] = {}
        self._ever_here: set[str] | None = None
        self._ever_there: set[str] | None = None

    def compare(self) -> Differences:
        """Every table, what rows point to before the rows."""
        self._joined_before()
        for name in COMPARED:
            self._table(name)
        return self.found

    def remember(self, called: Callable[[str, str], str]) -> None:
        """Keep what changes and what goes as it was, to be shown afterwards; `called` names a row of a table."""
        for name in COMPARED:
            uids = [uid for table, uid in self.found.takes if table == name]
            for uid, values in self.here.portable.rows(BY_NAME[name], uids) if uids else ():
                self.before[name, uid] = self.meant(name, values)
            for uid in self.found.gone.get(name, ()):
                self.going[uid] = called(name, uid)

    def _joined_before(self) -> None:
        pairs: dict[str, str | None] = {}
        for book in (self.there, self.here):
            for _uid, values in book.portable.rows(BY_NAME["former"]):
                if values.get("was_uid"):
                    pairs[values["was_uid"]] = values["of_uid"]
        self.found.same = {uid: end_of(pairs, uid) for uid in pairs}

    def now(self, uid: str) -> str:
        """The uid of the row that stands for one today."""
        return self.found.same.get(uid, uid)

    def meant(self, table_name: str, values: Values) -> Values:
        """Values with the rows they point to as they stand today."""
        return {name: self.now(value) if name in keys_of(table_name) else value for name, value in values.items()}

    def _table(self, name: str) -> None:
        table = BY_NAME[name]
        here, there = self.here.portable.uids(table), self.there.portable.uids(table)
        if name in ONCE:
            self._once(name, there - here)
        pairs = {self.now(uid): uid for uid in there if self.now(uid) in here}
        pairs |= {uid: uid for uid in there & here}
        self._pairs(name, pairs)
        lone = [uid for uid in there if self.now(uid) not in here]
        if lone:
            self._lone_there(name, lone)
        self._lone_here(name, here - set(pairs))

    def _once(self, name: str, lone: set[str]) -> None:
        """Find those of the other book's rows that this one holds as rows of its own."""
        names = ONCE[name]
        held = {self._key(name, names, values): uid for uid, values in self.here.portable.rows(BY_NAME[name])}
        for uid, values in self.there.portable.rows(BY_NAME[name], lone):
            own = held.get(self._key(name, names, values))
            if own is not None and self.now(uid) == uid:
                self.found.same[uid] = own
                self.found.joined.append((name, own, uid))

    def _key(self, table_name: str, names: Iterable[str], values: Values) -> str:
        meant = self.meant(table_name, values)
        return repr([_steady(meant.get(name)) for name in names])

    def _pairs(self, name: str, pairs: Mapping[str, str]) -> None:
        table = BY_NAME[name]
        for part in chunks(pairs):
            held = dict(self.here.portable.rows(table, part))
            theirs = dict(self.there.portable.rows(table, [pairs[uid] for uid in part]))
            differing = {}
            for uid in part:
                one, other = self.meant(name, held[uid]), self.meant(name, theirs[pairs[uid]])
                if one != other:
                    differing[uid] = (one, other)
            self._differing(name, {uid: pairs[uid] for uid in differing}, differing)
            self._step(len(part))

    def _differing(self, name: str, pairs: Mapping[str, str], values: Mapping[str, tuple[Values, Values]]) -> None:
        uids = {*pairs, *pairs.values()}
        here, there = self.here.of(uids), self.there.of(uids)
        for uid, other in pairs.items():
            by = [
                _last_by_field(_all(book, uid, other), known)
                for book, known in ((here, self.there.uids), (there, self.here.uids))
            ]
            if uid != other and name in ONCE:
                self._one_of_two(name, uid, other, values[uid], by)
            else:
                self._three_way(name, uid, *values[uid], *by)

    def _three_way(
        self, name: str, uid: str, one: Values, other: Values, here: dict[str, KnownEntry], there: dict[str, KnownEntry]
    ) -> None:
        differ = [key for key in sorted({*one, *other}) if one.get(key) != other.get(key) and key in there]
        later = LATEST.get(name, ())
        if any(key in later for key in differ):
            differ = [key for key in differ if key not in later]
            if not any(key in here for key in later) or str(other.get("stage_on") or "") > str(
                one.get("stage_on") or ""
            ):
                self._take(name, uid, {key: other.get(key) for key in later if one.get(key) != other.get(key)}, there)
        for key in differ:
            if key not in here:
                self._take(name, uid, {key: other.get(key)}, there)
            elif key not in NOT_ASKED:
                self.found.clashes.append(
                    Clash(name, uid, key, one.get(key), other.get(key), here.get(key), there.get(key))
                )

    def _one_of_two(self, name: str, uid: str, other: str, values: tuple[Values, Values], by: list[Any]) -> None:
        """Two rows written down apart for one thing: what only the other says is taken."""
        if name not in _ASKED_OF_ONCE:
            return
        one, theirs = values
        if name == "weather_year":
            one, theirs = filled_year(one, theirs)
            self._take(name, uid, {key: one[key] for key in one if one[key] != values[0][key]}, by[1])
        for key in sorted({*one, *theirs}):
            if theirs.get(key) is None or one.get(key) == theirs[key] or key not in by[1]:
                continue
            if one.get(key) is None:
                self._take(name, uid, {key: theirs[key]}, by[1])
            elif key not in keys_of(name):
                clash = Clash(name, uid, key, one[key], theirs[key], by[0].get(key), by[1].get(key))
                self.found.clashes.append(clash)

    def _take(self, name: str, uid: str, values: Mapping[str, Any], by: Mapping[str, KnownEntry]) -> None:
        if values:
            self.found.takes.setdefault((name, uid), {}).update(values)
            entries = [by[key] for key in values if key in by]
            self.found.entries[name, uid] = max(entries, key=lambda entry: entry.at) if entries else None

    def _lone_there(self, name: str, lone: list[str]) -> None:
        """Rows that only the other book has: new ones come; those that were taken away here stay so, unless they changed."""
        if self._ever_here is None:
            self._ever_here = self.here.ever()
        once = [uid for uid in lone if self.now(uid) in self._ever_here or uid in self._ever_here]
        changes_here, changes_there = self.here.of(once), self.there.of(once)
        left = set(once)
        for uid in once:
            there = _last_by_field(changes_there.get(uid, []), self.here.uids)
            here = [each.entry for each in changes_here.get(uid, []) if each.operation == "delete"]
            if there and here:
                last = max(there.values(), key=lambda entry: entry.at)
                self.found.clashes.append(Clash(name, uid, EXISTS, GONE, STANDS, here[-1], last))
        wanted = set(lone) - left
        if wanted:
            self.found.comes[name] = [uid for uid in self.there.portable.ordered(BY_NAME[name]) if uid in wanted]

    def _lone_here(self, name: str, lone: set[str]) -> None:
        """Rows that only this book has: those that were taken away in the other go, unless they were changed here since."""
        if not lone:
            return
        if self._ever_there is None:
            self._ever_there = self.there.ever()
        once = sorted(uid for uid in lone if uid in self._ever_there)
        changes_here, changes_there = self.here.of(once), self.there.of(once)
        for uid in once:
            gone = [each.entry for each in changes_there.get(uid, []) if each.operation == "delete"]
            if not gone or gone[-1].uid in self.here.uids:
                continue
            here = _last_by_field(changes_here.get(uid, []), self.there.uids)
            if here and self.now(uid) == uid:
                last = max(here.values(), key=lambda entry: entry.at)
                self.found.clashes.append(Clash(name, uid, EXISTS, STANDS, GONE, last, gone[-1]))
            else:
                self.found.gone.setdefault(name, []).append(uid)

    def _step(self, count: int) -> None:
        if self._progress is not None:
            self._progress(count)


def _all(changes: Mapping[str, list[KnownChange]], *uids: str) -> list[KnownChange]:
    return [each for uid in dict.fromkeys(uids) for each in changes.get(uid, ())]


def _last_by_field(changes: Iterable[KnownChange], known: frozenset[str]) -> dict[str, KnownEntry]:
    """Who last changed each field, among those the other book does not know."""
    return {name: each.entry for each in changes if each.entry.uid not in known for name in each.fields}


def _steady(value: Any) -> Any:
    return sorted(value.items()) if isinstance(value, dict) else value
