"""Every way Graftbook says no, in one tree.

An error that stops a verb is an exception from this file; it carries a slug for programs, an exit code for shells and
a message made of what was expected, what was found and what to do next. Problems in data (a file with forty bad rows)
are not raised one at a time: they are collected as `Problem` values and raised once, together, as `BadData`.

This file imports nothing of ours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

EXIT_BUG = 1
EXIT_USAGE = 2
EXIT_PROBLEMS = 3
EXIT_NOT_FOUND = 20
EXIT_REFUSED = 21
EXIT_VERSION = 22
EXIT_NO_PLAN = 23
EXIT_DOES_NOT_FIT = 24
EXIT_INTERRUPTED = 130
MOST_FOUND = 400
"""The most signs of what was found that a message gives back."""


class GraftbookError(Exception):
    """Something Graftbook could not or would not do.

    `expected` is a clause that can follow "Expected", or a whole statement when `found` is empty; `next_step` is a
    sentence. `statement` says the same as a person would, and is what is printed where it is given: `expected` and `found`
    then stand for lists of problems alone, as what is accepted and what was found. None of them needs a full stop.
    """

    slug = "error"
    exit_code = EXIT_BUG

    def __init__(self, expected: str, found: str = "", next_step: str = "", *, statement: str = "") -> None:
        self.expected = expected
        self.found = found if len(found) <= MOST_FOUND else f"{found[:MOST_FOUND]}… ({len(found):,} signs)"
        self.next_step = next_step
        self.statement = statement
        super().__init__(self.message())

    def message(self) -> str:
        """The whole message: the statement and what to do next; `Expected …; found …. What to do next.` without one."""
        bare = self.statement or ("" if self.found else self.expected)
        first = bare[:1].upper() + bare[1:] if bare else f"Expected {self.expected}; found {self.found}"
        return " ".join(part if part[-1:] in ".?!" else f"{part}." for part in (first, self.next_step) if part)


class UsageProblem(GraftbookError):
    """The words of the command could not be understood."""

    slug = "usage"
    exit_code = EXIT_USAGE


class NotFound(GraftbookError):
    """No such thing in the book."""

    slug = "not-found"
    exit_code = EXIT_NOT_FOUND


class Refused(GraftbookError):
    """Recording this would make the book wrong."""

    slug = "refused"
    exit_code = EXIT_REFUSED


class AlreadyRecorded(GraftbookError):
    """The very entry that was sent is in the book already: `entry_id` is its number, `line` what it says."""

    slug = "already-recorded"
    exit_code = EXIT_REFUSED

    def __init__(self, entry_id: int, line: str) -> None:
        self.entry_id, self.line = entry_id, line
        super().__init__(f"this is entry {entry_id} already: {line}", "", "It was not recorded twice")


class NotABook(GraftbookError):
    """The place named holds no book, or cannot hold one."""

    slug = "not-a-book"
    exit_code = EXIT_NOT_FOUND


class CannotWrite(GraftbookError):
    """The disk or the database would not take what was to be written."""

    slug = "cannot-write"
    exit_code = EXIT_REFUSED


class WrongVersion(GraftbookError):
    """The book is older or newer than this program."""

    slug = "book-version"
    exit_code = EXIT_VERSION


class NoPlan(GraftbookError):
    """Nothing can be done under what was asked."""

    slug = "no-plan"
    exit_code = EXIT_NO_PLAN


class TagDoesNotFit(GraftbookError):
    """The tag cannot be printed on that medium."""

    slug = "tag-does-not-fit"
    exit_code = EXIT_DOES_NOT_FIT


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong with one cell of a file.

    `line` and `column` count from 1, the header being line 1; 0 means the whole file or the whole line.
    """

    file: str
    line: int
    column: int
    header: str
    found: str
    accepted: str

    def sentence(self) -> str:
        """The problem as one line a person can act on."""
        where = self.file
        where += f", line {self.line}" if self.line else ""
        where += f", column {self.column}" if self.column else ""
        where += f" ({self.header})" if self.header else ""
        return f"{where}: found {self.found}; accepted: {self.accepted}"


class BadData(GraftbookError):
    """A file has problems; nothing of it was taken. `problems` holds every one of them."""

    slug = "bad-data"
    exit_code = EXIT_PROBLEMS

    def __init__(
        self,
        problems: Sequence[Problem],
        what: str = "the file",
        next_step: str = "Mend the lines named and run the same command again",
    ) -> None:
        self.problems = tuple(sorted(problems))
        count = len(self.problems)
        super().__init__(
            f"{count} problem{'s' if count != 1 else ''} in {what}; nothing was recorded",
            "",
            next_step,
        )
