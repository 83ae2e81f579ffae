"""What was otherwise on the day: lines not made, stocks swapped, other methods, dry sticks; read, and held against the plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session

from graftbook import numbers
from graftbook.actions.plan import wants
from graftbook.actions.trade import own_tables
from graftbook.book import find
from graftbook.book.plants import Plant
from graftbook.codes import read_one
from graftbook.errors import GraftbookError, Problem
from graftbook.trade.methods import Method


@dataclass(frozen=True)
class ExceptionWords:
    """Exceptions as typed: `left_out` and `dry` numbers of lines, `swap` and `other` pairs such as `7=P14`, `9=cleft`, `made`
    the number of a batch and how many of it were made, such as `1=196`."""

    left_out: str | None = None
    dry: str | None = None
    swap: Sequence[str] = ()
    other: Sequence[str] = ()
    made: Sequence[str] = ()


@dataclass
class Exceptions:
    """Exceptions as read, by line: those not made, those of them whose stick was dry, other hosts, other methods. `problems`
    holds everything that is wrong with them."""

    plan: int
    left_out: set[int] = field(default_factory=set)
    dry: set[int] = field(default_factory=set)
    hosts: dict[int, Plant] = field(default_factory=dict)
    methods: dict[int, Method] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def object_to(self, line: int, what: str, found: str, accepted: str) -> None:
        """Note a problem with a line of the plan (0: with no line of it)."""
        self.problems.append(Problem(f"plan {self.plan}", line, 0, what, found, accepted))

    def made(self, line: int) -> bool:
        """Whether a line was made."""
        return line not in self.left_out and line not in self.dry


def read(
    session: Session, plan: int, lines: int, words: ExceptionWords, batches: Sequence[Sequence[int]] = ()
) -> Exceptions:
    """Exceptions with everything that is wrong with them noted; nothing is raised. `batches` are the lines of each batch."""
    found = Exceptions(plan)
    found.left_out = set(_numbers(found, "--except", words.left_out, lines))
    for number, made in _counts(found, words.made, batches):
        left = [line for line in batches[number - 1] if line not in found.left_out]
        if made > len(left):
            accepted = f"a count up to the {len(left)} planned; record others with graftbook graft"
            found.object_to(0, "--made", f"{number}={made}", accepted)
        found.left_out |= set(left[made:])
    found.dry = set(_numbers(found, "--dry", words.dry, lines))
    for line, code in _pairs(found, "--swap", words.swap, lines, "7=P14"):
        host = _plant(session, found, line, code)
        if host is not None:
            found.hosts[line] = host
    for line, name in _pairs(found, "--other", words.other, lines, "9=cleft"):
        try:
            found.methods[line] = own_tables.method_named(session, name)
        except GraftbookError as error:
            found.object_to(line, "--other", repr(name), f"{error.expected}. {error.next_step}".rstrip("."))
    for line in sorted((found.left_out | found.dry) & (found.hosts.keys() | found.methods.keys())):
        found.object_to(line, "--except", "both made otherwise and not made", "one of them")
    return found


def _numbers(found: Exceptions, option: str, text: str | None, lines: int) -> Iterator[int]:
    for part, named in wants.ranges(text or ""):
        if named and named.stop <= lines + 1:
            yield from named
        elif part:
            found.object_to(0, option, repr(part), f"lines of the plan, 1 to {lines}, such as 7,12 or 3-5")


def _pairs(found: Exceptions, option: str, texts: Sequence[str], lines: int, such_as: str) -> Iterator[tuple[int, str]]:
    parts = [part for text in texts for part in text.split(",") if part.strip()]
    pairs = [(part, *part.partition("=")[::2]) for part in parts]
    counted = Counter(line.strip() for _part, line, _value in pairs)
    for part, line, value in pairs:
        number = numbers.whole(line, 1, lines)
        if number is None or not value.strip():
            accepted = f"a line of the plan, 1 to {lines}, and what instead, such as {such_as}"
            found.object_to(0, option, repr(part), accepted)
        elif counted[line.strip()] > 1:
            found.object_to(number, option, repr(part), "each line once")
        else:
            yield number, value.strip()


def _counts(found: Exceptions, texts: Sequence[str], batches: Sequence[Sequence[int]]) -> Iterator[tuple[int, int]]:
    """Batches with how many of each were made."""
    parts = [part.strip() for text in texts for part in text.split(",") if part.strip()]
    seen: set[int] = set()
    for part in parts:
        number, given, made = part.partition("=")
        right = given and number.strip().isdecimal() and made.strip().isdecimal()
        if not right or not 1 <= int(number) <= len(batches) or int(number) in seen:
            which = (
                f"a batch, 1 to {len(batches)}, once" if batches else "no batch, as this plan has none: --except LINES"
            )
            found.object_to(0, "--made", repr(part), f"{which}, and how many were made, such as 1=196")
            continue
        seen.add(int(number))
        yield int(number), int(made)


def _plant(session: Session, found: Exceptions, line: int, text: str) -> Plant | None:
    try:
        row = find.one(session, read_one(text))
    except GraftbookError as error:
        found.object_to(line, "--swap", repr(text), error.message().rstrip("."))
        return None
    if not isinstance(row, Plant):
        found.object_to(line, "--swap", row.code, "a plant, such as P14")
        return None
    return row
