"""The winter review in words: what was found of a season, and the sentences on what was done, what took, and how sure that
is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from graftbook.actions.desk.results import Usual, count, first_of
from graftbook.actions.review import curve_text
from graftbook.actions.review.course_facts import Courses
from graftbook.actions.review.curve_facts import Curves
from graftbook.actions.review.graft_stages import STAGES, StageTally
from graftbook.actions.takes.advice import alike
from graftbook.actions.takes.confounders import listed
from graftbook.actions.takes.early import Waits, so_far, words
from graftbook.actions.takes.question import TakeQuestion
from graftbook.actions.takes.take_rows import name_of
from graftbook.paper.review import ReviewPart

ENOUGH = 10
MOST_KINDS = 8
_REACHED = {"standing at leaf fall": "stood at leaf fall", "established": "grew on into a later season"}


@dataclass(frozen=True)
class ReviewFindings:
    """Everything the review is written from: rates by kind and by method, those of earlier seasons, the courses of all and
    kind by kind, the curves over date and over the age of the wood, what comparing the two commonest methods says, and what
    waits by kind and unit. `instead_of` is the season asked about where nothing was grafted in it."""

    name: str
    asked: TakeQuestion
    level: float
    kinds: tuple[Any, ...]
    methods: tuple[Any, ...]
    earlier: tuple[Any, ...]
    whole: Courses
    courses: Courses
    by_date: Curves
    by_age: Curves
    compared: str | None
    compared_methods: tuple[str, ...]
    waits: Mapping[tuple[str | None, str], Waits]
    instead_of: str | None = None

    @property
    def dated(self) -> str:
        """`as of 2027-11-30, grafts made in the season 2026-27`."""
        return f"as of {self.asked.as_of.isoformat()}, grafts made in the season {self.asked.season}"


def sections(found: ReviewFindings) -> tuple[ReviewPart, ...]:
    """The parts of the page, in order; those with nothing to say are left out."""
    parts = (
        ("What was done", _done(found)), ("What took", _took(found)), ("By method", _methods(found)),
        ("By date", curve_text.sentences(found.by_date)), ("By age of the wood", _age(found)),
        ("Where they were lost", _lost(found)), ("What is not known", _not_known(found)), ("Next season", _next(found)),
    )  # fmt: skip
    texts = ((heading, tuple(type(text)(text[:1].upper() + text[1:]) for text in texts)) for heading, texts in parts)
    return tuple(ReviewPart(heading, sentences) for heading, sentences in texts if sentences)


def _done(found: ReviewFindings) -> Iterator[str]:
    grafts, buds = (sum(row.made for row in found.kinds if row.unit == unit) for unit in ("graft", "bud"))
    made = " and ".join(count(number, unit) for number, unit in ((grafts, "graft"), (buds, "bud")) if number)
    names = sorted({str(row.species or "a kind not recorded") for row in found.kinds})
    methods = sorted({row.method for row in found.methods if row.method is not None})
    yield f"You made {made} of {_some(names)}, by {_some(methods)}."
    for unit in ("graft", "bud"):
        yield from _stands(found, unit)


def _stands(found: ReviewFindings, unit: str) -> Iterator[str]:
    """What stage the season is at, for grafts or for buds."""
    rows = [row for row in found.kinds if row.unit == unit]
    made, waiting = sum(row.made for row in rows), sum(row.waiting for row in rows)
    if not made:
        return
    day = found.asked.as_of.isoformat()
    if not waiting:
        yield f"Stage on {day}: no {unit} waits any more; what can be decided of {count(made, unit)} is decided."
        return
    waits: Waits = sum((held for (_species, of), held in found.waits.items() if of == unit), Counter())
    early = any(row.n and row.rate is None for row in rows)
    yield (f"Stage on {day}: of {count(made, unit)} {count(waiting, 'waits', 'wait')} ({words(waits)}); "
           f"{sum(row.n for row in rows)} are decided{', too few for a rate of take' if early else ''}.")  # fmt: skip


def _some(names: Sequence[str]) -> str:
    return listed(names) if len(names) <= MOST_KINDS else first_of(names, MOST_KINDS, ", ")


def _name(row: Any) -> str:
    return name_of((row.species, row.unit))


def _took(found: ReviewFindings) -> Iterator[str]:
    """Kind by kind in the order of names, those with few together; beside each the book's own past."""
    early = [row for row in found.kinds if row.n and row.rate is None]
    for row in early:
        waits = found.waits[row.species, row.unit]
        yield f"{_name(row)}: {so_far(row.k, row.n, waits, 'took')}; too early for a rate.{_past(found, row)}"
    enough = [row for row in found.kinds if row.n >= ENOUGH and row not in early]
    for row in sorted(enough, key=lambda row: -row.n)[:MOST_KINDS]:
        range_ = f"{row.level * 100:.4g} % range {row.low * 100:.0f} to {row.high * 100:.0f}"
        yield f"{_name(row)}: {row.k} of {row.n} took, {row.rate * 100:.0f} % ({range_}).{_past(found, row)}"
    for row in sorted(enough, key=lambda row: -row.n)[MOST_KINDS:]:
        yield f"{_name(row)}: {row.k} of {row.n} took."
    few = [f"{_name(row)} {row.k} of {row.n}" for row in found.kinds if 0 < row.n < ENOUGH and row not in early]
    if few:
        yield f"Too few to say more than the count: {', '.join(few)}."
    none = [_name(row) for row in found.kinds if not row.n]
    if none:
        yield f"Nothing decided yet: {', '.join(none)}."


def _past(found: ReviewFindings, row: Any) -> str:
    past = [old for old in found.earlier if (old.species, old.unit) == (row.species, row.unit) and old.n]
    return f" In earlier seasons it was {sum(o.k for o in past)} of {sum(o.n for o in past)}." if past else ""


def _methods(found: ReviewFindings) -> Iterator[str]:
    if found.compared is not None:
        yield found.compared
    else:
        yield "Fewer than two methods of grafting have anything decided, so there is nothing to compare."


def _age(found: ReviewFindings) -> Iterator[str]:
    yield from curve_text.sentences(found.by_age)
    without = sum(one.counts.without for one in found.by_age.kinds)
    if without:
        yield Usual(f"Of {without} decided it is not recorded when the wood was cut.")


def _lost(found: ReviewFindings) -> Iterator[str]:
    for key, kind in found.whole.kinds.items():
        unit = "bud" if key[-1] == "bud" else "graft"
        steps = []
        for stage in STAGES[1:]:
            tally = kind.tallies.get(stage)
            if tally is not None and tally.known and not (tally.early and not tally.reached):
                steps.append(f"{tally.reached} of {tally.known} {_REACHED.get(stage, stage)}{_faults(tally)}")
        if steps:
            made = count(kind.tallies["made"].reached, unit)
            yield f"Of {made}: {'; '.join(steps)}. Each stage is of those that reached the one before."


def _faults(tally: StageTally) -> str:
    parts = (("the union", tally.union), ("another cause", tally.not_union), ("unsure", tally.unsure))
    counted = ", ".join(f"{number} {word}" for word, number in parts if number)
    return f" (lost: {counted})" if counted else ""


def _not_known(found: ReviewFindings) -> Iterator[str]:
    waiting, unknown = (sum(getattr(row, name) for row in found.kinds) for name in ("waiting", "unknown"))
    lost = sum(row.lost_otherwise for row in found.kinds)
    unseen = sum(kind.unseen for kind in found.whole.kinds.values())
    if waiting:
        never = f"; {count(unseen, 'was', 'were')} never looked at" if unseen else ""
        yield f"{count(waiting, 'is', 'are')} not decided by {found.asked.as_of.isoformat()} and counted neither way{never}."
    if unknown:
        counts = "counts" if unknown == 1 else "count"
        yield f"{count(unknown, 'was', 'were')} not found or went home unreported, and {counts} neither way."
    if lost:
        counts = "counts" if lost == 1 else "count"
        yield f"{count(lost, 'was', 'were')} lost too early to judge, for a cause that was not the union, and {counts} neither way."
    yield "Luck alone moves small counts far: read k of n and the range, not the percentage."


def _next(found: ReviewFindings) -> Iterator[str]:
    if found.compared_methods:
        yield (
            f"To tell {listed(found.compared_methods)} apart, give half of each bundle each way, {alike('method')}; "
            f"how many are needed: graftbook take next method={','.join(found.compared_methods)}."
        )
