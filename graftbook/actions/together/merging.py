"""merge: another book into this one, in one entry, and only as far as nobody has to choose.

Everything is done inside the one transaction that the merge is, also to say what would come; then it is asked whether the
record is still sound. A clash without the person's word, or a record that would break, and nothing of it is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from graftbook.actions.desk.copied_before import copied
from graftbook.actions.desk.desk import Desk, Progress
from graftbook.actions.desk.results import Report, code_list, count, first_of
from graftbook.actions.soundness import doctor
from graftbook.actions.together import clashes, merge_rows, parents
from graftbook.actions.together.clashes import Things, Word
from graftbook.actions.together.differences import Clash, Comparing
from graftbook.actions.together.merge_rows import MergeRow
from graftbook.actions.together.new_codes import Giving, NewCodes
from graftbook.actions.together.other_book import OtherBook, opened
from graftbook.actions.together.taking_in import TakingIn
from graftbook.book import settings as book_settings
from graftbook.book.story import MERGE, BookStory
from graftbook.book.unit import Unit
from graftbook.errors import Refused, UsageProblem

_STEPS = ("Say which stands: --keep, --take or --newest with the things named, such as --take P12,G3, or with all."
          " --keep is what this book says, --take what the other says.")  # fmt: skip


def merge(
    desk: Desk,
    other: str,
    *,
    keep: str | None = None,
    take: str | None = None,
    newest: str | None = None,
    dry_run: bool = False,
    who: str | None = None,
    note: str | None = None,
    progress: Progress | None = None,
) -> Report:
    """Put another book into this one: a file, a server's URL, a backup, or a folder of exported files.

    Things named in `keep` stand as they are here, in `take` as they are there, in `newest` as they were written last; `all`
    stands for all. Nothing is recorded with `dry_run`, nor where a clash is left: the report then says so (`asks`).

    Raises UsageProblem for a thing that does not clash, Refused where it is this book or the record would be broken, and what
    restoring and importing raise for a book that cannot be read.
    """
    word = Word.of(keep, take, newest)
    with opened(desk, other) as book, desk.book.write(MERGE, desk.person(who)) as unit, book.book.read() as session:
        books = Comparing(BookStory(unit.session), BookStory(session), progress)
        work = _Work(desk, unit, book, books, word, progress)
        settled, codes = work.prepare()
        if not work.anything(settled):
            return _nothing(desk, book, session)
        rows = (*merge_rows.rows(books, codes, work.things, settled),
                *merge_rows.settings(desk.settings, book_settings.load(session)))  # fmt: skip
        asked = sum(stands is None for stands in settled.values())
        if not asked:
            before = doctor.breaches(unit.session, desk.book.location)
            work.write(codes)
            _sound(doctor.breaches(unit.session, desk.book.location) - before)
        notes = _notes(work, codes, rows)
        entry = None
        if not (asked or dry_run):
            notes = (copied(desk.book.location, MERGE, desk.now()), *notes)
            entry = unit.commit(_line(book, books, codes) + (f": {note}" if note else ""))
    return _report(desk, book, rows, notes, entry, asked, list(merge_rows.coded_anew(books, codes)))


class _Work:
    """One merge at work."""

    def __init__(
        self, desk: Desk, unit: Unit, other: OtherBook, books: Comparing, word: Word, progress: Progress | None
    ) -> None:
        self._desk, self._unit, self._other, self._word, self._progress = desk, unit, other, word, progress
        self.books, self.things = books, Things(books)
        self.dropped = 0

    def prepare(self) -> tuple[dict[Clash, str | None], NewCodes]:
        """Compare the books, settle what clashes by the person's word, give out codes."""
        found = self.books.compare()
        settled = clashes.settle(self.books, self.things, self._word, found.clashes)
        more = parents.missing(self.books)
        while more:
            found.clashes += more
            settled |= clashes.settle(self.books, self.things, self._word, more)
            more = parents.missing(self.books)
        self._all_known(list(settled))
        self.dropped = parents.drop_orphans(self.books)
        parents.keep_what_bears(self.books)
        self.books.remember(self.things.called)
        codes = Giving(self._unit, self.books.there.portable, found).give()
        return settled, codes

    def _all_known(self, found: Sequence[Clash]) -> None:
        strange = self._word.unknown([self.things.called(clash.table_name, clash.uid) for clash in found])
        if strange:
            raise UsageProblem(
                "things that were changed in both books", ", ".join(strange), "See which with: --dry-run"
            )

    def anything(self, settled: dict[Clash, str | None]) -> bool:
        """Whether there is anything to record or to ask."""
        found = self.books.found
        return bool(settled or found.takes or any(found.comes.values()) or any(found.gone.values()))

    def write(self, codes: NewCodes) -> None:
        """Take everything in; the caller commits."""
        taking = TakingIn(self._unit, self.books, codes, self._desk.today, self._progress)
        taking.take_in(self._other.has_story)


def _nothing(desk: Desk, other: OtherBook, session: Any) -> Report:
    rows = tuple(merge_rows.settings(desk.settings, book_settings.load(session)))
    return _report(desk, other, rows, (), None, 0, (), f"{other.name} holds nothing that this book lacks.")


def _sound(broken: frozenset[str]) -> None:
    if broken:
        raise Refused(
            f"together the books would contradict themselves: {first_of(sorted(broken), 5, ' ')}", "",
            "Mend it in either book first and merge again; nothing was merged",
        )  # fmt: skip


def _line(other: OtherBook, books: Comparing, codes: NewCodes) -> str:
    found = books.found
    parts = [merge_rows.counted(name, len(uids)) for name, uids in found.comes.items() if uids]
    parts += [f"{count(len(found.takes), 'change')} of what was here"] if found.takes else []
    parts += [f"{count(gone, 'row')} taken away"] if (gone := sum(map(len, found.gone.values()))) else []
    parts += [f"{count(len(codes.given), 'new code')}"] if codes.given else []
    return f"Merged {other.name}: {', '.join(parts) or 'nothing but your word on what clashed'}"


def _notes(work: _Work, codes: NewCodes, rows: Sequence[MergeRow]) -> tuple[str, ...]:
    coded = merge_rows.coded_anew(work.books, codes)
    notes = []
    if coded:
        pairs = merge_rows.code_pairs(coded)
        tags = first_of(
            [f"{new} ({'their tags say' if '-' in new else 'its tag says'} {old})" for new, old in pairs], 12, ", "
        )
        notes.append(
            f"Reprint {count(len(coded), 'tag')}: {tags}. The code on the old tag belongs to another thing of this book; until the"
            " new tag hangs, graftbook find with that code shows both."
        )
    if codes.twice:
        notes.append(
            f"Blank tags that both books gave out: {code_list(codes.twice)}. Keep one set and throw the other away."
        )
    if codes.blanks:
        blanks = code_list(codes.blanks, 12)
        notes.append(f"Blank tags of the other book whose codes are taken here, to be thrown away: {blanks}.")
    if work.dropped:
        notes.append(f"{count(work.dropped, 'row')} about what stays taken away did not come; the other book has them.")
    if work.books.found.kept:
        kept = first_of([work.things.called(*each) for each in work.books.found.kept], 12, ", ")
        notes.append(f"Taken away in the other book, but something stands on it here, so it stays: {kept}.")
    if any(row.what == merge_rows.SETTING for row in rows):
        notes.append("Settings stay as they are here; change one with: graftbook settings KEY=VALUE.")
    return tuple(notes)


def _report(
    desk: Desk, other: OtherBook, rows: tuple[MergeRow, ...], notes: tuple[str, ...], entry: Any, asked: int,
    reprint: Sequence[str] = (), title: str = "",
) -> Report:  # fmt: skip
    if asked:
        title = f"{count(asked, 'thing')} changed in both books, so nothing was merged yet"
        notes = (*notes, _STEPS)
    elif entry is not None:
        title = f"{entry.summary}."
        notes = (*notes, f"To take it back: graftbook undo {entry.id}.")
    elif not title:
        title = f"Nothing was recorded (--dry-run). Merging {other.name} would do this:"
    facts = {"as_of": desk.today, "entry": None if entry is None else entry.id, "asks": asked, "reprint": reprint}
    return Report(MergeRow, rows, notes, facts, title=title, group="what", empty="Nothing comes and nothing changes.")
