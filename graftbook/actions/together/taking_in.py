"""What another book holds beyond this one, written into the entry of the merge.

Values of rows that are here are changed first, so that a code is free before its new owner comes; then rows go; then rows come,
what they point to before them. Wood is cut from grafts and grafts are made of wood, so these come by turns. Last the entries
of the other book are kept beside, and what follows from dated rows is set by the newest of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

from graftbook.actions.together.differences import LATEST, Comparing
from graftbook.actions.together.new_codes import NewCodes
from graftbook.book import asking, journal, merge_queries, portable
from graftbook.book.asking import CHUNK
from graftbook.book.merged import Former
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.story import MERGE, KnownEntry
from graftbook.book.tables import BY_NAME
from graftbook.book.unit import Unit, plain, row_values
from graftbook.book.wood import Bundle, Stay

Progress = Callable[[int], None] | None
_BY_TURNS = ("bundle", "graft")


class TakingIn:
    """One merge being written."""

    def __init__(self, unit: Unit, books: Comparing, codes: NewCodes, today: date, progress: Progress = None) -> None:
        self._unit, self._books, self._codes = unit, books, codes
        self._today, self._progress = today, progress
        self._found = books.found
        self._ids: dict[str, dict[str, int]] = {}

    def take_in(self, with_story: bool) -> None:
        """Everything; the entries of the other book only where it has any of its own (`with_story`)."""
        self._now_elsewhere()
        self._change()
        self._remove()
        for name, uids in self._turns():
            self._add(name, uids)
        self._change(later=True)
        self._former()
        self._newest()
        self._keep_story(with_story)
        self._unit.write_down()

    def _change(self, later: bool = False) -> None:
        """Values of rows that are here: those that point to what comes only after it came."""
        coming = {uid for uids in self._found.comes.values() for uid in uids}
        by_table: dict[str, dict[str, dict[str, Any]]] = {}
        for (name, uid), values in self._found.takes.items():
            values = {**values, **self._codes.values.get((name, uid), {})}
            waits = any(values.get(column) in coming for column in portable.keys_of(name))
            if waits == later:
                by_table.setdefault(name, {})[uid] = values
        for name, rows in by_table.items():
            table = BY_NAME[name]
            for row in asking.things_with(self._unit.session, table, table.uid, rows):
                self._unit.amend(row, **self._kept(name, rows[row.uid]))

    def _now_elsewhere(self) -> None:
        """What here points to a row that was joined with another in the other book points to that other now."""
        going = {uid for uids in self._found.gone.values() for uid in uids if self._books.now(uid) != uid}
        for name, table in BY_NAME.items() if going else ():
            keys = portable.keys_of(name)
            for uid, values in self._books.here.portable.rows(table) if keys else ():
                moved = {key: self._books.now(values[key]) for key in keys if values.get(key) in going}
                if moved and uid not in self._found.gone.get(name, ()):
                    self._found.takes.setdefault((name, uid), {}).update(moved)

    def _remove(self) -> None:
        for name in reversed(tuple(BY_NAME)):
            uids = self._found.gone.get(name)
            if uids:
                self._remove_from(name, set(uids))

    def _remove_from(self, name: str, uids: set[str]) -> None:
        table = BY_NAME[name]
        rows = asking.things_with(self._unit.session, table, table.uid, uids)
        rows.sort(key=lambda row: row.id, reverse=True)
        self._unit.remove_many(table, [(row.uid, plain(row_values(row))) for row in rows])

    def _turns(self) -> Iterator[tuple[str, list[str]]]:
        """Tables with the rows of them that come, in an order in which each finds what it points to."""
        for name in BY_NAME:
            if name == _BY_TURNS[0]:
                yield from self._wood_and_grafts()
            elif name not in _BY_TURNS and self._found.comes.get(name):
                yield name, self._found.comes[name]

    def _wood_and_grafts(self) -> Iterator[tuple[str, list[str]]]:
        points: dict[str, list[str]] = {}
        named: dict[str, str] = {}
        for name in _BY_TURNS:
            for uid, values in self._theirs(name):
                keys = (key for key, target in portable.keys_of(name).items() if target in _BY_TURNS)
                points[uid] = [self._books.now(values[key]) for key in keys if values.get(key)]
                named[uid] = name
        deep: dict[str, int] = {}
        for uid in points:
            _depth(uid, points, deep)
        for turn in sorted(set(deep.values())):
            for name in _BY_TURNS:
                uids = [uid for uid in self._found.comes.get(name, ()) if deep[uid] == turn]
                if uids:
                    yield name, uids

    def _theirs(self, name: str, uids: list[str] | None = None) -> Iterator[tuple[str, dict[str, Any]]]:
        wanted = self._found.comes.get(name, []) if uids is None else uids
        return self._books.there.portable.rows(BY_NAME[name], wanted) if wanted else iter(())

    def _add(self, name: str, uids: list[str]) -> None:
        """Rows in the order in which the other book had them, so many at a time."""
        table = BY_NAME[name]
        for start in range(0, len(uids), CHUNK):
            part = uids[start : start + CHUNK]
            theirs = dict(self._theirs(name, part))
            self._learn(name, theirs.values())
            rows = [
                {**self._kept(name, {**theirs[uid], **self._codes.values.get((name, uid), {})}), "uid": uid}
                for uid in part
            ]
            self._unit.add_many(table, rows, self._progress)

    def _learn(self, name: str, rows: Any) -> None:
        """The ids of what some rows point to."""
        for column, target in portable.keys_of(name).items():
            known = self._ids.setdefault(target, {})
            named = {self._books.now(values[column]) for values in rows if values.get(column)}
            wanted = {uid for uid in named if uid not in known}
            if wanted:
                known.update(merge_queries.ids_of(self._unit.session, target, wanted))

    def _kept(self, name: str, values: dict[str, Any]) -> dict[str, Any]:
        """Values as this book's row holds them."""
        self._learn(name, [values])
        found = journal.revived(name, values)
        for column, target in portable.keys_of(name).items():
            if found.get(column) is not None:
                found[column] = self._ids[target][self._books.now(found[column])]
        return found

    def _former(self) -> None:
        """Codes that tags may still bear, and rows that are one with rows here."""
        coded = [each for each in self._codes.given if each.table_name in ("plant", "bundle", "graft")]
        rows = [{"thing": each.table_name, "of_uid": each.uid, "code": each.old, "on": self._today} for each in coded]
        rows += [
            {"thing": name, "of_uid": own, "was_uid": other, "on": self._today}
            for name, own, other in self._found.joined
        ]
        self._unit.add_many(Former, rows)

    def _newest(self) -> None:
        """A plant is at the newest stage noted of it, a bundle where it was last moved to."""
        session = self._unit.session
        for plant_id, note in self._latest(StageNote, "plant_id").items():
            plant = session.get_one(Plant, plant_id)
            older = plant.stage_on is None or plant.stage_on <= note.on
            if older and (plant.stage_on, plant.stage) != (note.on, note.stage):
                self._unit.amend(plant, stage=note.stage, stage_on=note.on, bark=note.bark)
        for bundle_id, stay in self._latest(Stay, "bundle_id").items():
            bundle = session.get_one(Bundle, bundle_id)
            values = {each: getattr(stay, each) for each in LATEST["bundle"]}
            if any(getattr(bundle, each) != value for each, value in values.items()):
                self._unit.amend(bundle, **values)

    def _latest(self, table: Any, owner: str) -> dict[int, Any]:
        """The newest of dated rows about each thing that such rows came about."""
        came = asking.things_with(
            self._unit.session, table, table.uid, self._found.comes.get(str(table.__tablename__), [])
        )
        ids = {getattr(row, owner) for row in came}
        return _newest_of(asking.things_with(self._unit.session, table, getattr(table, owner), ids), owner)

    def _keep_story(self, with_story: bool) -> None:
        decided = [
            {"table_name": name, "row_uid": uid, "operation": "update", "before": {}, "after": values}
            for (name, uid), values in self._codes.values.items()
        ]
        entry = self._unit.entry
        decisions = [(KnownEntry(entry.uid, entry.at, entry.who, MERGE, "New codes", False), decided)]
        merge_queries.keep_entries(self._unit, decisions)
        part: list[Any] = []
        for known, changes in self._books.there.entries_of(self._found.new) if with_story else ():
            part.append((known, [
                {"table_name": each.table_name, "row_uid": each.row_uid, "operation": each.operation,
                 "before": each.before or None, "after": each.after or None}
                for each in changes
            ]))  # fmt: skip
            if sum(len(held) for _known, held in part) > CHUNK:
                merge_queries.keep_entries(self._unit, part)
                part = []
        if part:
            merge_queries.keep_entries(self._unit, part)


def _newest_of(rows: list[Any], owner: str) -> dict[int, Any]:
    staged = [row for row in rows if not hasattr(row, "stage") or row.stage is not None]
    return {getattr(row, owner): row for row in sorted(staged, key=lambda row: (row.on, row.id))}


def _depth(uid: str, points: dict[str, list[str]], deep: dict[str, int]) -> int:
    """How many turns a row waits: one more than the latest of what it points to that comes as well."""
    waiting = [uid]
    while waiting:
        last = waiting[-1]
        below = [each for each in points[last] if each in points and each not in deep]
        if below and len(waiting) <= len(points):
            waiting += below
            continue
        deep[waiting.pop()] = 1 + max((deep.get(each, 0) for each in points[last] if each in points), default=0)
    return deep[uid]
